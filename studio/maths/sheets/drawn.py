"""A sheet as the cutter gets it: lines to cut, lines to engrave, and words, apart.

    cut line        the outline, moved outward by half the kerf where the kerf is in
    engraved line   the seam inside the outline, where the piece is wide enough for it
    check line      100 mm exactly, in the edge along the longer side (less on a tiny sheet)

Millimetres from the top left corner, to the nearest 0.001 mm: finer than a cutter can
follow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from studio.lengths import show_millimetres
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import offsetting
from studio.maths.sheets.outline_kinds import SEAM_MM
from studio.maths.sheets.problem import Corner, Outline
from studio.maths.sheets.wording import Words, fitted_words

_CHECKS_MM = tuple(map(Fraction, (100, 50, 20, 10)))
_LEAST_INSIDE_MM = Fraction(5)


@dataclass(frozen=True)
class SheetDrawing:
    """One sheet, its layers kept apart."""

    title: str
    sheet: Sheet
    cut: tuple[Outline, ...]
    engraved: tuple[Outline, ...]
    words: tuple[Words, ...]
    check: tuple[Corner, Corner]
    notes: tuple[str, ...]


def drawn_outlines(
    title: str,
    outlines: Sequence[tuple[str, Outline]],
    sheet: Sheet,
    *,
    kerf_mm: Fraction = Fraction(0),
    seam_mm: Fraction = SEAM_MM,
) -> SheetDrawing:
    """Draw any outlines for the cutter, each with its name."""
    named = [(name, offsetting.one_way_round(corners)) for name, corners in outlines]
    seams = [_seam_line(corners, seam_mm) for _, corners in named]
    return SheetDrawing(
        title,
        sheet,
        tuple(offsetting.moved(corners, kerf_mm / 2) for _, corners in named),
        tuple(seam for seam in seams if seam),
        tuple(
            fitted_words(name, seam or corners)
            for (name, corners), seam in zip(named, seams, strict=True)
        ),
        _check_line(sheet),
        (_kerf_note(kerf_mm), _check_note(sheet)),
    )


def check_mm(sheet: Sheet) -> Fraction:
    """Give the length of the check line: 100 mm, less on a very small sheet."""
    longest = max(sheet.width_mm, sheet.height_mm) - 2 * sheet.edge_mm
    return next((mm for mm in _CHECKS_MM if mm <= longest), _CHECKS_MM[-1])


def _check_note(sheet: Sheet) -> str:
    length = show_millimetres(check_mm(sheet))
    return f"The check line is {length}; measure it before you cut."


def _kerf_note(kerf_mm: Fraction) -> str:
    if kerf_mm:
        return (
            f"A kerf of {show_millimetres(kerf_mm)} is in the cut lines already; "
            "allow for none at the machine."
        )
    return "Cut lines are at nominal size; allow for the kerf at the machine."


def _seam_line(corners: Outline, seam_mm: Fraction) -> Outline | None:
    """Engrave a seam only where enough is left inside it."""
    found = offsetting.inside(corners, seam_mm) if seam_mm else None
    if found is None:
        return None
    (left, top), (right, bottom) = _box(found)
    return found if min(right - left, bottom - top) > _LEAST_INSIDE_MM else None


def _box(corners: Outline) -> tuple[Corner, Corner]:
    across, down = [x for x, _ in corners], [y for _, y in corners]
    return (min(across), min(down)), (max(across), max(down))


def _check_line(sheet: Sheet) -> tuple[Corner, Corner]:
    middle, length = sheet.edge_mm / 2, check_mm(sheet)
    if sheet.width_mm >= sheet.height_mm:
        y = sheet.height_mm - middle
        return (sheet.edge_mm, y), (sheet.edge_mm + length, y)
    return (middle, sheet.edge_mm), (middle, sheet.edge_mm + length)
