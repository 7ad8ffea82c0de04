"""Tables of a block: its cut list by role for a page, and over several sizes for print.

    cm for display = mm / 10, rounded to 0.1, and never computed onward from
    cloth = sum of count × width × height, rounded up to whole square inches
    exact sizes stand in millimetres too, as they are rounded outward to 0.001 mm

A block is cut into the same pieces at every size, so one row holds one piece and one
column one finished size. Pieces that are alike at all of the sizes share a row.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor

from studio.errors import StudioError
from studio.lengths import show_mm, to_mm
from studio.maths.block_asking import Asked
from studio.maths.blocks import UnitCount
from studio.maths.cutting_list import CutPiece, by_role, cloth_square_inches
from studio.maths.metric import Ruler
from studio.maths.patch.recipe import Cutting, Making, Piece, Recipe

SQUARE_CM_PER_SQUARE_INCH = Fraction(254, 100) ** 2
NOTHING_OVER = "Nothing here is cut oversize: made so, no unit is trimmed."


@dataclass(frozen=True)
class Row:
    """One line of a cut list, as it is read."""

    piece: CutPiece
    size: str
    beside: str


@dataclass(frozen=True)
class RoleList:
    """What is cut from one role of cloth, and the cloth it takes."""

    role: str
    rows: tuple[Row, ...]
    cloth: str


@dataclass(frozen=True)
class Sum:
    """Where the size and the count of one piece come from."""

    name: str
    role: str
    because: str
    size: str
    count: int
    counted: str


@dataclass(frozen=True)
class UnitMade:
    """One kind of unit: how many, how it is made, and the sums of its pieces."""

    unit: UnitCount
    recipe: Recipe
    size: str
    trim: str
    roles: str
    sums: tuple[Sum, ...]
    waste: str

    @property
    def name(self) -> str:
        return self.unit.label or self.unit.patch.name

    @property
    def words(self) -> tuple[str, ...]:
        return tuple(step.words for step in self.recipe.steps)


@dataclass(frozen=True)
class Cell:
    """A cut size in a table over sizes, and the same in the other system."""

    size: str
    beside: str


@dataclass(frozen=True)
class TableRow:
    """One piece over all sizes of a table."""

    name: str
    role: str
    count: int
    then: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class SizeTable:
    """A cutting table: finished sizes across, pieces down, and the cloth they take."""

    sized: tuple[Asked, ...]
    sizes: tuple[Cell, ...]
    rows: tuple[TableRow, ...]
    trims: tuple[TableRow, ...]
    cloth: tuple[tuple[str, tuple[str, ...]], ...]


def note_of(asked: Asked) -> str:
    """Say what a maker should know of the sizes of this block, or nothing."""
    making = asked.making
    if making.cutting is Cutting.OVERSIZE:
        is_trimmed = any(recipe.trim_inches for _unit, recipe in asked.recipes())
        return making.note if is_trimmed else NOTHING_OVER
    if making.cutting is Cutting.EXACT:
        sides = (
            side
            for piece in asked.cut_list()
            for side in (piece.width_inches, piece.height_inches)
        )
        return "" if all(map(making.ruler.is_kind, sides)) else making.note
    return making.note


def about_cm(inches: Fraction) -> str:
    """Write a length in centimetres to the nearest tenth, for display only."""
    return _tenths(to_mm(inches) / 10)


def beside(making: Making, width_inches: Fraction, height_inches: Fraction) -> str:
    """Write an inch size in centimetres too; a metric pattern stays metric.

    A size that is exact and on no mark is written in millimetres, as it is to be cut.
    """
    sides = dict.fromkeys((width_inches, height_inches))
    if making.cutting is Cutting.EXACT and not all(map(making.ruler.is_kind, sides)):
        millimetres = (show_mm(side).removesuffix(" mm") for side in sides)
        return f"{' × '.join(millimetres)} mm"
    if making.ruler.is_metric:
        return ""
    return f"{' × '.join(map(about_cm, sides))} cm"


def show_cloth(pieces: Sequence[CutPiece], ruler: Ruler) -> str:
    """Write the cloth that pieces take, rounded up, with nothing between them."""
    square_inches = cloth_square_inches(pieces)
    square_cm = ceil(square_inches * SQUARE_CM_PER_SQUARE_INCH)
    if ruler.is_metric:
        return f"{square_cm} sq cm"
    return f"{ceil(square_inches)} sq in ({square_cm} sq cm)"


def show_waste(recipe: Recipe, units: int, ruler: Ruler) -> str:
    """Write what does not stay in so many units, or nothing where it is not known."""
    waste = recipe.waste_square_inches(units)
    if waste is None:
        return ""
    times, unit = (
        (SQUARE_CM_PER_SQUARE_INCH, "sq cm") if ruler.is_metric else (1, "sq in")
    )
    lost = (waste * times).nearest(Fraction(1, 10))
    if lost <= 0:
        return "Nothing is trimmed away or left over."
    cloth = _tenths(recipe.cloth_square_inches(units) * times)
    return f"Trimmed away or left over: {_tenths(lost)} of {cloth} {unit}."


def role_lists(asked: Asked, number: int = 1) -> tuple[RoleList, ...]:
    """Part the cut list by role of cloth."""
    return role_lists_of(asked.cut_list(number), asked.making)


def role_lists_of(pieces: Sequence[CutPiece], making: Making) -> tuple[RoleList, ...]:
    """Part any cut list by role of cloth."""
    return tuple(
        RoleList(
            role,
            tuple(_row(piece, making) for piece in listed),
            show_cloth(listed, making.ruler),
        )
        for role, listed in by_role(pieces).items()
    )


def units_made(asked: Asked, number: int = 1) -> tuple[UnitMade, ...]:
    """Give every kind of unit with its sums, one for those made alike."""
    return tuple(
        _unit_made(asked.ruler, replace(unit, number=unit.number * number), recipe)
        for unit, recipe in asked.recipes()
    )


def units_drawn(units: Sequence[UnitMade]) -> tuple[UnitMade, ...]:
    """Give the units worth a drawing: sewn ones, the first of each patch and way."""
    sewn = [one for one in units if len(one.recipe.pieces) > 1]
    kinds = {(one.unit.patch.name, one.recipe.method): one for one in reversed(sewn)}
    return tuple(one for one in sewn if one in kinds.values())


def in_tables(
    sized: Sequence[Asked], most_columns: int
) -> tuple[tuple[SizeTable, ...], tuple[str, ...]]:
    """Give tables of so many sizes each, and a sentence for each size left out."""
    good: list[Asked] = []
    refused: list[str] = []
    for asked in sized:
        try:
            asked.cut_list()
        except StudioError as error:
            refused.append(str(error))
        else:
            good.append(asked)
    chunks = (good[at : at + most_columns] for at in range(0, len(good), most_columns))
    return tuple(size_table(chunk) for chunk in chunks), tuple(refused)


def size_table(sized: Sequence[Asked]) -> SizeTable:
    """Set the cut lists of one block at several sizes beside each other."""
    columns = [list(_pieces(asked)) for asked in sized]
    counts: dict[tuple[CutPiece, ...], int] = {}
    for alike in zip(*columns, strict=True):
        key = tuple(replace(piece, count=1) for piece in alike)
        counts[key] = counts.get(key, 0) + alike[0].count
    making = sized[0].making
    rows = [_table_row(pieces, count, making) for pieces, count in counts.items()]
    order = {role: n for n, role in enumerate(sized[0].known.block.roles)}
    return SizeTable(
        tuple(sized),
        tuple(_head(asked) for asked in sized),
        tuple(sorted(rows, key=lambda row: order[row.role])),
        tuple(_trims(sized)),
        tuple(_cloth_by_role(sized)),
    )


def _tenths(number: Fraction) -> str:
    whole, rest = divmod(floor(number * 10 + Fraction(1, 2)), 10)
    return f"{whole}.{rest}"


def _trims(sized: Sequence[Asked]) -> Iterator[TableRow]:
    made = [units_made(asked) for asked in sized]
    for alike in zip(*made, strict=True):
        first = alike[0]
        if first.trim:
            cells = tuple(Cell(one.trim.removesuffix(" square"), "") for one in alike)
            yield TableRow(first.name, first.roles, first.unit.number, "", cells)


def _pieces(asked: Asked) -> Iterator[CutPiece]:
    for unit, recipe in asked.recipes():
        for piece in recipe.pieces_for(unit.number, unit.roles):
            yield replace(piece, name=unit.label) if unit.label else piece


def _head(asked: Asked) -> Cell:
    sides = (asked.finished_inches, asked.height_inches)
    return Cell(asked.size.removesuffix(" square"), beside(asked.making, *sides))


def _table_row(pieces: Sequence[CutPiece], count: int, making: Making) -> TableRow:
    first, ruler = pieces[0], making.ruler
    cells = tuple(
        Cell(
            ruler.show_by(p.width_inches, p.height_inches).removesuffix(" square"),
            beside(making, p.width_inches, p.height_inches),
        )
        for p in pieces
    )
    return TableRow(first.name, first.role, count, first.then, cells)


def _cloth_by_role(
    sized: Sequence[Asked],
) -> Iterator[tuple[str, tuple[str, ...]]]:
    parted = [by_role(asked.cut_list()) for asked in sized]
    for role in sized[0].known.block.roles:
        yield (
            role,
            tuple(
                show_cloth(roles[role], asked.ruler)
                for asked, roles in zip(sized, parted, strict=True)
            ),
        )


def _row(piece: CutPiece, making: Making) -> Row:
    sides = (piece.width_inches, piece.height_inches)
    other = beside(making, *sides)
    about = "about " if other.endswith(" cm") else ""
    return Row(piece, making.ruler.show_by(*sides), f"{about}{other}")


def _unit_made(ruler: Ruler, unit: UnitCount, recipe: Recipe) -> UnitMade:
    cut = recipe.pieces_for(unit.number, unit.roles)
    sums = tuple(
        _sum(ruler, unit, recipe, piece, listed)
        for piece, listed in zip(recipe.pieces, cut, strict=True)
    )
    size = ruler.show_by(unit.width_inches, unit.height_inches)
    trim = ruler.show_by(*recipe.trim_inches) if recipe.trim_inches else ""
    roles = " and ".join(dict.fromkeys(unit.roles))
    waste = show_waste(recipe, unit.number, ruler)
    return UnitMade(unit, recipe, size, trim, roles, sums, waste)


def _sum(
    ruler: Ruler, unit: UnitCount, recipe: Recipe, piece: Piece, listed: CutPiece
) -> Sum:
    because = piece.because or "the finished size and what the drawing shows"
    made = f"{piece.count} make{'s' * (piece.count == 1)} {recipe.units}"
    return Sum(
        unit.label or piece.name,
        listed.role,
        f"{because.rstrip('.')}.",
        ruler.show_by(piece.width_inches, piece.height_inches),
        listed.count,
        f"{unit.number} wanted, {made}.",
    )
