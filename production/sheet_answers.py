"""What the sheet page answers: sheets to look at, to take to the cutter and to keep."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from django.utils.safestring import SafeString, mark_safe

from production.queries.loose_shapes import KnownPiece
from production.sheet_forms import SheetAsked
from studio.lengths import show_millimetres
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import (
    cautions,
    fillers,
    keeping,
    layout,
    saw_cuts,
    sizes,
    spare,
    telling,
)
from studio.maths.sheets.keeping import KeptSheet
from studio.maths.sheets.laid import Laid, SheetPlan
from studio.maths.sheets.picturing import kept_svg
from studio.maths.sheets.problem import SheetPiece, fits
from studio.maths.sheets.spare import NearMiss

PICTURE_PX = 640
MOST_TRIED = 12


@dataclass(frozen=True)
class Sawing:
    """How one sheet is sawn: what to know before, and every cut in order."""

    blade: str
    boxes_first: bool
    cautions: tuple[str, ...]
    cuts: tuple[str, ...]


@dataclass(frozen=True)
class ShownSheet:
    """One sheet of the answer: its drawing, what it holds, and all of it as text."""

    title: str
    holds: str
    picture: SafeString
    text: str
    sawing: Sawing | None = None


@dataclass(frozen=True)
class SizeRow:
    """One piece: its nominal size, what is drawn, and what may be measured."""

    name: str
    nominal: str
    drawn: str
    measured: str


@dataclass(frozen=True)
class FillRow:
    """A loose piece of the goods, and how many of it go in what is left."""

    code: str
    name: str
    count: int


@dataclass(frozen=True)
class SheetAnswer:
    """Everything the page says about what was asked."""

    sentences: tuple[str, ...]
    near: str
    fullest: ShownSheet | None
    sheets: tuple[ShownSheet, ...]
    sizes: tuple[SizeRow, ...]
    fills: tuple[FillRow, ...]
    tried_goods: bool
    warmth: str
    cautions: tuple[str, ...]


def answered(asked: SheetAsked, known: Sequence[KnownPiece]) -> SheetAnswer:
    """Lay out what was asked. Raises StudioError where it cannot be laid."""
    plan = laid_out(asked.pieces, asked.sheet, asked.sets or 1, asked.saw)
    miss = nearly(asked.pieces, asked.sheet, plan.full.sets, asked.kerf_mm, asked.saw)
    longest = max(max(one.width_mm, one.height_mm) for one in plan.pieces)
    fullest = _fullest(plan, asked)
    sheets = tuple(_sheets(plan, asked)) if _shows_all(plan, asked) else ()
    is_there = fullest is not None and fullest.text in {one.text for one in sheets}
    return SheetAnswer(
        sentences=tuple(_sentences(plan, asked)),
        near=_near_words(miss, plan),
        fullest=None if is_there else fullest,
        sheets=sheets,
        sizes=tuple(
            _size_row(piece, asked.kerf_mm, kerf_in=asked.kerf_in)
            for piece in plan.pieces
        ),
        fills=tuple(_fills(plan, known)) if asked.tries_goods else (),
        tried_goods=asked.tries_goods,
        warmth=sizes.warmth_note(longest),
        cautions=cautions.for_cutting(saw=asked.saw),
    )


# Working a sheet out takes seconds, and the same page is asked for again and again.
@lru_cache(maxsize=32)
def laid_out(
    pieces: tuple[SheetPiece, ...], sheet: Sheet, sets: int, saw: bool
) -> SheetPlan:
    return layout.lay_out(pieces, sheet, sets=sets, saw=saw)


@lru_cache(maxsize=32)
def nearly(
    pieces: tuple[SheetPiece, ...], sheet: Sheet, now: int, kerf: Fraction, saw: bool
) -> NearMiss | None:
    in_a_set = [piece for piece in pieces if not piece.fills]
    return spare.near_miss(in_a_set, sheet, now, kerf_mm=kerf, saw=saw)


def picture_of(kept: KeptSheet, title: str, width_px: int = PICTURE_PX) -> SafeString:
    return mark_safe(kept_svg(title, kept, width_px))  # noqa: S308 (own drawing)


def _sentences(plan: SheetPlan, asked: SheetAsked) -> Iterator[str]:
    if plan.full.sets or not asked.sets:
        yield telling.sets_line(plan)
    if _shows_all(plan, asked):
        yield telling.answer_line(plan)
    if asked.kerf_mm > 0 and asked.sheet.gap_mm == asked.kerf_mm:
        kerf = show_millimetres(asked.kerf_mm)
        yield f"Pieces lie {kerf} apart: no nearer than the kerf is wide."


def _near_words(miss: NearMiss | None, plan: SheetPlan) -> str:
    if miss is None:
        return ""
    what = telling.what_more(plan.set_pieces, miss.more)
    return telling.miss_line(miss, plan.sheet, what)


def _shows_all(plan: SheetPlan, asked: SheetAsked) -> bool:
    """Show every sheet where more or fewer sets are wanted than one sheet gives."""
    return not plan.full.sets or asked.sets not in (0, plan.full.sets)


def _fullest(plan: SheetPlan, asked: SheetAsked) -> ShownSheet | None:
    if not plan.full.sets:
        return None
    return _shown(plan, plan.full_laid, asked, "The fullest sheet")


def _sheets(plan: SheetPlan, asked: SheetAsked) -> Iterator[ShownSheet]:
    for numbers, laid in plan.alike():
        title = f"{telling.sheets_words(numbers)} of {plan.sheets}"
        yield _shown(plan, laid, asked, title)


def _shown(
    plan: SheetPlan, laid: Sequence[Laid], asked: SheetAsked, title: str
) -> ShownSheet:
    kept = keeping.keep(plan, laid, kerf_mm=asked.kerf_mm, kerf_in=asked.kerf_in)
    words = telling.held_words(laid)
    picture, sawing = picture_of(kept, title), sawing_of(kept)
    return ShownSheet(title, words, picture, kept.as_text(), sawing)


def sawing_of(kept: KeptSheet) -> Sawing | None:
    """Say how a sheet is sawn; None where it is laid for the laser.

    Without a kerf the blade is taken to be as wide as the gap.
    """
    if not kept.saw:
        return None
    blade = kept.kerf_mm or kept.sheet.gap_mm
    cuts = saw_cuts.saw_cuts(kept.laid, kept.sheet, blade_mm=blade)
    return Sawing(
        show_millimetres(blade),
        any(piece.outline_mm for piece, _ in kept.counts),
        cautions.SAW,
        tuple(map(telling.cut_words, cuts)),
    )


def size_rows(kept: KeptSheet) -> tuple[SizeRow, ...]:
    """Give the sizes of what lies on a kept sheet."""
    return tuple(
        _size_row(piece, kept.kerf_mm, kerf_in=kept.kerf_in) for piece, _ in kept.counts
    )


def _size_row(piece: SheetPiece, kerf_mm: Fraction, *, kerf_in: bool) -> SizeRow:
    nominal = piece.width_mm, piece.height_mm
    drawn = telling.drawn_size(piece, kerf_mm, kerf_in=kerf_in)
    return SizeRow(
        piece.name,
        telling.size_words(*nominal),
        telling.size_words(*drawn),
        sizes.range_words(nominal),
    )


def _fills(plan: SheetPlan, known: Sequence[KnownPiece]) -> Iterator[FillRow]:
    """Try loose pieces in what is left, the largest that could go first."""
    there = {piece.name.lower() for piece in plan.pieces}
    left = _area_left(plan)
    others = [
        one
        for one in known
        if one.item.code.lower() not in there and _area(one.piece) <= left
    ]
    others.sort(key=lambda one: -_area(one.piece))
    tried = [one for one in others if fits(one.piece, plan.sheet)][:MOST_TRIED]
    counts = fillers.more_of_each(plan, [one.piece for one in tried])
    for one, count in zip(tried, counts, strict=True):
        if count:
            yield FillRow(one.item.code, one.item.name, count)


def _area(piece: SheetPiece) -> Fraction:
    return piece.width_mm * piece.height_mm / (2 if piece.outline_mm else 1)


def _area_left(plan: SheetPlan) -> Fraction:
    across, down = plan.sheet.room_mm
    used = (_area(plan.pieces[one.kind]) for one in plan.full_laid)
    return across * down - sum(used, Fraction(0))
