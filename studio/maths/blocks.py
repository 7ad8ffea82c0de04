"""Blocks as patches on a grid, at any finished size.

    one step = finished width / steps across
    a cell of w × h steps is a unit of w × h × step inches, finished
    the finished areas of all faces add up to the block

The same block serves every size, seam and ruler. A block in a block's centre is its
cells, made smaller. A size is unkind if it asks for a cut finer than the step of the
ruler (an eighth of an inch, a millimetre); the nearest kind ones are named.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import count, islice
from math import ceil, floor

from studio.errors import StudioError
from studio.maths.cutting_list import CutPiece, gathered
from studio.maths.finished_sizes import MOST_INCHES, checked_finished
from studio.maths.metric import Ruler
from studio.maths.patch.recipe import USUAL, Cutting, Making, Piece, Recipe
from studio.maths.patches import Patch, patch_named
from studio.maths.shapes import Point

Ways = Mapping[str, str]
USUAL_WAYS: Ways = {}


class SizeUnkind(StudioError):
    """A block whose cut sizes fall between the marks that quilters cut by."""

    def __init__(
        self,
        block: str,
        finished_inches: Fraction,
        piece: CutPiece,
        kind_inches: tuple[Fraction, ...],
        ruler: Ruler,
    ) -> None:
        self.block = block
        self.finished_inches = finished_inches
        self.piece = piece
        self.kind_inches = kind_inches
        self.ruler = ruler
        super().__init__(block, finished_inches, piece, kind_inches, ruler)

    def __str__(self) -> str:
        show = self.ruler.show
        piece = self.ruler.show_by(self.piece.width_inches, self.piece.height_inches)
        return (
            f"At {show(self.finished_inches)} the {self.block} needs a "
            f"{self.piece.name} cut {piece}, finer than {show(self.ruler.step_inches)}. "
            f"{self._advice()}"
        )

    def _advice(self) -> str:
        kind = [self.ruler.show(size) for size in self.kind_inches]
        if not kind:
            return "No size near it is kind. Choose exact sizes."
        if len(kind) == 1:
            return f"The nearest kind size is {kind[0]}. Choose it, or exact sizes."
        return f"The nearest kind sizes are {' and '.join(kind)}. Choose one, or exact sizes."


@dataclass(frozen=True)
class Cell:
    """One patch on the grid: its roles of cloth, its box in steps, and its turn.

    ``turn`` counts quarter turns clockwise. ``label`` names the piece of a plain
    patch on the cutting list, if it is not just a square or a bar.
    """

    patch: Patch
    roles: tuple[str, ...]
    x: Fraction
    y: Fraction
    width: Fraction
    height: Fraction
    turn: int = 0
    label: str = ""

    @property
    def upright(self) -> tuple[Fraction, Fraction]:
        """Give the box as the patch stands before it is turned."""
        if self.turn % 2:
            return self.height, self.width
        return self.width, self.height

    def faces(self) -> Iterator[RoleFace]:
        """Give what is seen of the cell, in steps of the block."""
        width, height = self.upright
        for one in self.patch.layout(width, height):
            corners = (_turned(p, width, height, self.turn) for p in one.corners)
            yield RoleFace(
                self.roles[one.slot],
                tuple((x + self.x, y + self.y) for x, y in corners),
            )


@dataclass(frozen=True)
class RoleFace:
    """One patch as it is seen: its role of cloth and its corners, y downward."""

    role: str
    corners: tuple[Point, ...]


@dataclass(frozen=True)
class UnitCount:
    """So many units of one kind, size and set of roles in a block."""

    patch: Patch
    roles: tuple[str, ...]
    width_inches: Fraction
    height_inches: Fraction
    number: int
    label: str = ""


@dataclass(frozen=True)
class Block:
    """A block of so many steps across and down."""

    name: str
    across: Fraction
    down: Fraction
    cells: tuple[Cell, ...]

    @property
    def roles(self) -> tuple[str, ...]:
        """Give the roles of cloth, in order of first sight."""
        return tuple(dict.fromkeys(r for cell in self.cells for r in cell.roles))

    def faces(self) -> tuple[RoleFace, ...]:
        """Give every patch as it is seen, in steps."""
        return tuple(face for cell in self.cells for face in cell.faces())

    def height_inches(self, width_inches: Fraction) -> Fraction:
        """Give the finished height that goes with a finished width."""
        return width_inches * self.down / self.across


def square_block(name: str, steps: Fraction | int, cells: Sequence[Cell]) -> Block:
    """Give a block as many steps down as across."""
    return Block(name, Fraction(steps), Fraction(steps), tuple(cells))


def cell(
    patch: Patch,
    roles: Sequence[str],
    at: tuple[Fraction | int, Fraction | int],
    size: tuple[Fraction | int, Fraction | int] = (1, 1),
    turn: int = 0,
    label: str = "",
) -> Cell:
    """Give a cell from plain numbers."""
    x, y = (Fraction(n) for n in at)
    width, height = (Fraction(n) for n in size)
    made = Cell(patch, tuple(roles), x, y, width, height, turn % 4, label)
    patch.checked_box(*made.upright)
    return made


def nested(
    inner: Block,
    at: tuple[Fraction | int, Fraction | int],
    width: Fraction | int,
) -> tuple[Cell, ...]:
    """Give a block's cells, made smaller to stand in another block."""
    scale = Fraction(width) / inner.across
    return tuple(
        replace(
            one,
            x=at[0] + one.x * scale,
            y=at[1] + one.y * scale,
            width=one.width * scale,
            height=one.height * scale,
        )
        for one in inner.cells
    )


def with_roles(block: Block, roles: Mapping[str, str]) -> Block:
    """Give the block with some roles of cloth called otherwise."""
    cells = (
        replace(one, roles=tuple(roles.get(role, role) for role in one.roles))
        for one in block.cells
    )
    return replace(block, cells=tuple(cells))


def turned(block: Block, quarters: int = 1) -> Block:
    """Give the block turned so many quarters clockwise."""
    for _ in range(quarters % 4):
        cells = tuple(
            replace(
                one,
                x=block.down - one.y - one.height,
                y=one.x,
                width=one.height,
                height=one.width,
                turn=(one.turn + 1) % 4,
            )
            for one in block.cells
        )
        block = Block(block.name, block.down, block.across, cells)
    return block


def unit_counts(block: Block, finished_inches: Fraction) -> tuple[UnitCount, ...]:
    """Count the units that are made alike, in order of first sight."""
    step = finished_inches / block.across
    counts: dict[UnitCount, int] = {}
    for one in block.cells:
        width, height = (side * step for side in one.upright)
        alike = UnitCount(one.patch, _batch(one), width, height, 0, one.label)
        counts[alike] = counts.get(alike, 0) + 1
    return tuple(replace(alike, number=number) for alike, number in counts.items())


def recipes(
    block: Block,
    finished_inches: Fraction,
    making: Making = USUAL,
    ways: Ways = USUAL_WAYS,
) -> tuple[tuple[UnitCount, Recipe], ...]:
    """Give the recipe of every kind of unit in the block."""
    return tuple(
        (unit, _recipe(unit, making, ways))
        for unit in unit_counts(block, finished_inches)
    )


def cut_list(
    block: Block,
    finished_inches: Fraction,
    making: Making = USUAL,
    ways: Ways = USUAL_WAYS,
    number: int = 1,
) -> tuple[CutPiece, ...]:
    """Give what to cut for so many blocks.

    ``ways`` names how to make a kind of patch, where it is not the usual way.
    Raises SizeUnkind, SizeImpossible, SizeAbsurd, SizeTooFine, PatchUnknown, WayUnknown.
    """
    checked_finished(block.name, finished_inches, making.ruler)
    for name in ways:
        patch_named(name)
    pieces = _pieces(block, finished_inches, making, ways, number)
    if making.cutting is not Cutting.EXACT:
        for piece in pieces:
            if _is_unkind(piece, making.ruler):
                kind = kind_sizes(block, finished_inches, making, ways)
                raise SizeUnkind(block.name, finished_inches, piece, kind, making.ruler)
    return pieces


def kind_sizes(
    block: Block,
    finished_inches: Fraction,
    making: Making = USUAL,
    ways: Ways = USUAL_WAYS,
) -> tuple[Fraction, ...]:
    """Give the nearest kind size below, if there is one, and the nearest above."""
    step = making.ruler.step_inches
    below = count(ceil(finished_inches / step) - 1, -1)
    above = count(floor(finished_inches / step) + 1)
    most = floor(MOST_INCHES / step)
    searched = (islice(below, 1000), islice(above, 1000))
    # The smallest units first: they are the ones that miss a mark.
    units = sorted(unit_counts(block, block.across), key=lambda one: one.height_inches)
    found = []
    for numbers in searched:
        sizes = (n * step for n in numbers if 0 < n <= most)
        kind = next(
            (s for s in sizes if _is_kind(units, s / block.across, making, ways)), None
        )
        found += [kind] if kind is not None else []
    return tuple(found)


def _is_kind(
    units: Sequence[UnitCount], step_inches: Fraction, making: Making, ways: Ways
) -> bool:
    """Tell whether units, counted in steps, are all cut by the marks of the ruler."""
    return not any(
        _is_unkind(piece, making.ruler)
        for unit in units
        for piece in _recipe(_at_step(unit, step_inches), making, ways).pieces
    )


def _at_step(unit: UnitCount, step_inches: Fraction) -> UnitCount:
    return replace(
        unit,
        width_inches=unit.width_inches * step_inches,
        height_inches=unit.height_inches * step_inches,
    )


def _is_unkind(piece: CutPiece | Piece, ruler: Ruler) -> bool:
    sides = (piece.width_inches, piece.height_inches)
    return not all(map(ruler.is_kind, sides))


def _pieces(
    block: Block, finished: Fraction, making: Making, ways: Ways, number: int
) -> tuple[CutPiece, ...]:
    return gathered(
        _labelled(piece, unit.label)
        for unit, recipe in recipes(block, finished, making, ways)
        for piece in recipe.pieces_for(unit.number * number, unit.roles)
    )


def _labelled(piece: CutPiece, label: str) -> CutPiece:
    return replace(piece, name=label) if label else piece


def _recipe(unit: UnitCount, making: Making, ways: Ways) -> Recipe:
    way = ways.get(unit.patch.name, "")
    return unit.patch.recipe(unit.width_inches, unit.height_inches, making, way)


def _batch(one: Cell) -> tuple[str, ...]:
    return tuple(sorted(one.roles)) if one.patch.turns_over else one.roles


def _turned(point: Point, width: Fraction, height: Fraction, turn: int) -> Point:
    x, y = point
    for _ in range(turn % 4):
        x, y, width, height = height - y, x, height, width
    return x, y
