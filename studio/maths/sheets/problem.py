"""Pieces and a sheet as given in millimetres, and the same counted in one exact unit.

    unit = 1 mm ÷ (least common multiple of all denominators)

so 117.475 mm and a gap of 2 mm become 4699 and 80 fortieths, with nothing rounded.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from studio.maths.cutting.kinds import Kind
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets.refusals import (
    PieceTooLarge,
    SheetSmallerThanEdges,
)

Corner = tuple[Fraction, Fraction]
Outline = tuple[Corner, ...]


@dataclass(frozen=True)
class SheetPiece:
    """So many of one piece in a set; ``turns`` allows turns by quarters.

    Width and height are those of its box; a piece that is no rectangle has its corners
    in ``outline_mm``, from the near corner of the box. What only ``fills`` the rest of
    a sheet is in no set.
    """

    name: str
    width_mm: Fraction
    height_mm: Fraction
    count: int = 1
    turns: bool = True
    outline_mm: Outline = ()
    fills: bool = False

    @property
    def corners_mm(self) -> Outline:
        """Give the corners in order, a rectangle's too."""
        if self.outline_mm:
            return self.outline_mm
        left, wide, high = Fraction(0), self.width_mm, self.height_mm
        return ((left, left), (wide, left), (wide, high), (left, high))


@dataclass(frozen=True)
class Problem:
    """What is to be laid, in whole units: the room holds kinds with no gap between."""

    width: int
    height: int
    kinds: tuple[Kind, ...]
    per_mm: int = 1
    saw: bool = False

    @property
    def area(self) -> int:
        return self.width * self.height

    def mm(self, units: int) -> Fraction:
        return Fraction(units, self.per_mm)


@dataclass(frozen=True)
class Spot:
    """One piece in the room, by the near corner of its box, in units.

    ``turned`` is a quarter turn, ``half`` a half turn on top of it.
    """

    kind: int
    x: int
    y: int
    turned: bool
    half: bool = False

    @property
    def quarters(self) -> int:
        return self.turned + 2 * self.half


Pattern = tuple[Spot, ...]


def counts(pattern: Pattern, kinds: int) -> tuple[int, ...]:
    """Count the pieces of each kind on a sheet."""
    found = [0] * kinds
    for spot in pattern:
        found[spot.kind] += 1
    return tuple(found)


def size_of(problem: Problem, spot: Spot) -> tuple[int, int]:
    """Give the width and height a piece takes where it lies, gap included."""
    kind = problem.kinds[spot.kind]
    return (kind.height, kind.width) if spot.turned else (kind.width, kind.height)


def in_units(
    pieces: Sequence[SheetPiece], sheet: Sheet, *, saw: bool = False
) -> Problem:
    """Count everything in one unit, and refuse what can never lie on the sheet.

    Raises SheetSmallerThanEdges and PieceTooLarge.
    """
    refuse_unfit(pieces, sheet)
    lengths = [sheet.width_mm, sheet.height_mm, sheet.edge_mm, sheet.gap_mm]
    lengths += [side for one in pieces for side in (one.width_mm, one.height_mm)]
    per_mm = lcm(*(length.denominator for length in lengths))
    across, down = (int((side + sheet.gap_mm) * per_mm) for side in sheet.room_mm)
    return Problem(
        across, down, tuple(_kind(one, sheet, per_mm) for one in pieces), per_mm, saw
    )


def refuse_unfit(pieces: Sequence[SheetPiece], sheet: Sheet) -> None:
    """Refuse a sheet without room, and a piece that it cannot hold in any turn.

    Raises SheetSmallerThanEdges and PieceTooLarge.
    """
    if min(sheet.room_mm) <= 0:
        raise SheetSmallerThanEdges(sheet)
    for piece in pieces:
        if not fits(piece, sheet):
            raise PieceTooLarge(piece.name, piece.width_mm, piece.height_mm, sheet)


def _kind(piece: SheetPiece, sheet: Sheet, per_mm: int) -> Kind:
    width, height = (
        int((side + sheet.gap_mm) * per_mm)
        for side in (piece.width_mm, piece.height_mm)
    )
    return Kind(width, height, piece.count, piece.turns)


def fits(piece: SheetPiece, sheet: Sheet) -> bool:
    """Say whether a sheet has room for one of a piece in a turn it may take."""
    across, down = sheet.room_mm
    upright = piece.width_mm <= across and piece.height_mm <= down
    turned = piece.height_mm <= across and piece.width_mm <= down
    return upright or (piece.turns and turned)
