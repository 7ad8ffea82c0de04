"""A sheet plan in sentences for people, and in exact fractions for programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from studio.lengths import show_millimetres
from studio.maths.sheet_layout import Sheet, count_in_rows
from studio.maths.sheets import cautions, offsetting, sizes
from studio.maths.sheets.laid import Laid, SheetPlan, counted
from studio.maths.sheets.problem import SheetPiece
from studio.maths.sheets.saw_cuts import SawCut, saw_cuts
from studio.maths.sheets.spare import NearMiss, Spare

_GLYPHS = {Fraction(1, 2): "½"}


def as_data(
    plan: SheetPlan, *, kerf_mm: Fraction, kerf_in: bool, miss: NearMiss | None
) -> dict[str, object]:
    """Give the plan with every length in millimetres as an exact fraction in text."""
    return {
        "unit": "mm",
        "sets": plan.sets,
        "sheets": plan.sheets,
        "stock_used": plan.sheets,
        "bound": plan.plan.bound,
        "proven": plan.plan.is_proven,
        "gap": plan.plan.gap,
        "sets_per_sheet": plan.full.sets,
        "sets_per_sheet_bound": plan.full.bound,
        "seconds": plan.plan.seconds,
        "pieces": [_size_data(one, kerf_mm, kerf_in=kerf_in) for one in plan.pieces],
        "placements": [
            {
                "name": one.name,
                "stock": one.stock,
                "x": str(one.x_mm),
                "y": str(one.y_mm),
                "width": str(one.width_mm),
                "height": str(one.height_mm),
                "turned": one.turned,
                "quarters": one.quarters,
            }
            for one in plan.laid
        ],
        "fullest": [
            {"name": name, "count": n} for name, n in counted(plan.full_laid).items()
        ],
        "cuts": [_cut_data(cut) for cut in _all_cuts(plan)],
        "near_miss": _miss_data(miss),
    }


def as_lines(
    plan: SheetPlan,
    *,
    kerf_mm: Fraction,
    kerf_in: bool,
    miss: NearMiss | None,
    extra: Spare | None,
) -> Iterator[str]:
    """Say the plan: the answer first, then the sheets, the sizes and the cautions."""
    yield answer_line(plan)
    yield sets_line(plan)
    for numbers, laid in plan.alike():
        yield f"  {sheets_words(numbers)}: {held_words(laid)}."
    if any(piece.fills for piece in plan.pieces):
        yield f"The fullest sheet holds {held_words(plan.full_laid)}."
    yield from _rows_lines(plan.set_pieces, plan.sheet)
    if extra:
        yield spare_line(extra)
    if miss:
        yield miss_line(miss, plan.sheet, what_more(plan.set_pieces, miss.more))
    for piece in plan.pieces:
        yield f"  {size_line(piece, kerf_mm, kerf_in=kerf_in)}"
        yield f"    {sizes.tolerance_line((piece.width_mm, piece.height_mm))}"
    longest = max(max(one.width_mm, one.height_mm) for one in plan.pieces)
    yield sizes.warmth_note(longest)
    yield from cautions.for_cutting(saw=plan.saw)


def answer_line(plan: SheetPlan) -> str:
    size = size_words(plan.sheet.width_mm, plan.sheet.height_mm)
    wanted = "One set needs" if plan.sets == 1 else f"{plan.sets} sets need"
    sheets = "1 sheet" if plan.sheets == 1 else f"{plan.sheets} sheets"
    if plan.plan.is_proven:
        return f"{wanted} {sheets} of {size}, the least possible."
    return f"{wanted} {sheets} of {size}, at most {plan.plan.gap} over the least."


def sets_line(plan: SheetPlan) -> str:
    """Say how much one sheet gives."""
    full, what = plan.full, _what_counts(plan.set_pieces, plan.full.sets)
    if full.is_proven:
        return f"One sheet gives {full.sets} {what}, and no sheet gives more."
    return (
        f"One sheet gives {full.sets} {what} as found here, "
        f"and none can give more than {full.bound}."
    )


def spare_line(extra: Spare) -> str:
    if not extra.count:
        return f"Beside one set no {extra.name} was found a place."
    return (
        f"Beside one set {extra.count} more of {extra.name} go on the sheet, "
        f"and no more than {extra.bound} can."
    )


def miss_line(miss: NearMiss, sheet: Sheet, what: str) -> str:
    """Say how little is missing for more."""
    more = (
        f"{miss.more} more {what} would fit a sheet, {miss.then} in place of {miss.now}"
    )
    if miss.gap_mm != sheet.gap_mm:
        return f"A near miss: with {_short(miss.gap_mm)} gap {more}."
    return f"A near miss: with {_short(miss.edge_mm)} edge {more}."


def size_line(piece: SheetPiece, kerf_mm: Fraction, *, kerf_in: bool) -> str:
    """Give a piece's nominal and drawn size."""
    nominal = size_words(piece.width_mm, piece.height_mm)
    drawn = size_words(*drawn_size(piece, kerf_mm, kerf_in=kerf_in))
    how = "kerf in" if kerf_in and kerf_mm else "kerf not in"
    return f"{piece.name}: {nominal} nominal, drawn {drawn} ({how})."


def drawn_size(
    piece: SheetPiece, kerf_mm: Fraction, *, kerf_in: bool
) -> tuple[Fraction, Fraction]:
    """Give the box to draw: of an outline, of the whole of it moved outward."""
    if piece.outline_mm and kerf_in and kerf_mm:
        grown = offsetting.moved(
            offsetting.one_way_round(piece.outline_mm), kerf_mm / 2
        )
        across, down = ([at[n] for at in grown] for n in (0, 1))
        return max(across) - min(across), max(down) - min(down)
    width, height = (
        sizes.drawn_mm(side, kerf_mm, kerf_in=kerf_in)
        for side in (piece.width_mm, piece.height_mm)
    )
    return width, height


def _rows_lines(pieces: Sequence[SheetPiece], sheet: Sheet) -> Iterator[str]:
    """Say what plain rows give, where there is one piece alone to lay."""
    if len(pieces) != 1 or pieces[0].outline_mm:
        return
    (piece,) = pieces
    rows = count_in_rows(piece.width_mm, piece.height_mm, sheet)
    turned = f", {rows.turned} turned" if piece.turns else ""
    yield f"In plain rows a sheet gives {rows.upright} upright{turned}."


def what_more(pieces: Sequence[SheetPiece], count: int) -> str:
    """Name what a near miss counts: one kind alone is counted by the piece."""
    if len(pieces) == 1:
        return f"of {pieces[0].name}"
    return "complete set" if count == 1 else "complete sets"


def _what_counts(pieces: Sequence[SheetPiece], count: int) -> str:
    if len(pieces) == 1 and pieces[0].count == 1:
        return f"of {pieces[0].name}"
    return "complete set" if count == 1 else "complete sets"


def held_words(laid: Sequence[Laid]) -> str:
    """Say what a sheet holds: 12 × A, 4 × B."""
    return ", ".join(f"{n} × {name}" for name, n in counted(laid).items())


def sheets_words(numbers: Sequence[int]) -> str:
    if len(numbers) == 1:
        return f"Sheet {numbers[0]}"
    listed = ", ".join(str(number) for number in numbers[:-1])
    return f"Sheets {listed} and {numbers[-1]}"


def _all_cuts(plan: SheetPlan) -> Iterator[SawCut]:
    if plan.saw:
        for numbers, laid in plan.alike():
            for number in numbers:
                yield from saw_cuts(laid, plan.sheet, stock=number)


def cut_words(cut: SawCut) -> str:
    """Say one cut: where its line lies on the sheet, and how to set it on the part."""
    way, side = ("Down", "left") if cut.down else ("Across", "top")
    at, inside = show_millimetres(cut.at_mm), show_millimetres(cut.in_part_mm)
    where = f"{way}, {show_millimetres(cut.length_mm)} long, {at} from the {side}"
    if cut.begins:
        return f"{where}: take {inside} off the {side} of this part, blade and all."
    return f"{where}: keep {inside} from the {side} of this part to the blade."


def _cut_data(cut: SawCut) -> dict[str, object]:
    return {
        "stock": cut.stock,
        "number": cut.number,
        "direction": "down" if cut.down else "across",
        "at": str(cut.at_mm),
        "from": str(cut.from_mm),
        "to": str(cut.to_mm),
        "begins": cut.begins,
    }


def _size_data(
    piece: SheetPiece, kerf_mm: Fraction, *, kerf_in: bool
) -> dict[str, object]:
    drawn = drawn_size(piece, kerf_mm, kerf_in=kerf_in)
    return {
        "name": piece.name,
        "width": str(piece.width_mm),
        "height": str(piece.height_mm),
        "count": piece.count,
        "turn": piece.turns,
        "fills": piece.fills,
        "outline": [[str(x), str(y)] for x, y in piece.outline_mm],
        "drawn_width": str(drawn[0]),
        "drawn_height": str(drawn[1]),
    }


def _miss_data(miss: NearMiss | None) -> dict[str, object] | None:
    if miss is None:
        return None
    return {
        "gap": str(miss.gap_mm),
        "edge": str(miss.edge_mm),
        "now": miss.now,
        "then": miss.then,
    }


def size_words(width_mm: Fraction, height_mm: Fraction) -> str:
    width = show_millimetres(width_mm).removesuffix(" mm")
    return f"{width} × {show_millimetres(height_mm)}"


def _short(length_mm: Fraction) -> str:
    whole, rest = divmod(length_mm, 1)
    if rest in _GLYPHS:
        return f"{whole or ''}{_GLYPHS[rest]} mm"
    return show_millimetres(length_mm)
