"""Template pieces on a sheet of acrylic: how many, and where.

    in a row: floor((room + gap) / (piece + gap)), room = sheet − 2 edges
    tapered pieces head to tail: the first is as wide as its top, each further one adds
    (top + base) / 2 and the gap measured along the row

Counts use the nominal size: the gap between pieces already takes in the kerf. A mixed
sheet is laid in shelves, highest pieces first (first fit, from memory); a mixture
that is not found a place gives None, and never a sheet with pieces missing.
A laser needs an eye on it while it cuts, air drawn away, and its manual read first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import floor

from studio.lengths import to_mm
from studio.maths.surds import square_root


@dataclass(frozen=True)
class Sheet:
    """One sheet, the edge left all round, and the gap between pieces."""

    width_mm: Fraction = Fraction(600)
    height_mm: Fraction = Fraction(400)
    edge_mm: Fraction = Fraction(5)
    gap_mm: Fraction = Fraction(2)

    @property
    def room_mm(self) -> tuple[Fraction, Fraction]:
        """Give the width and height inside the edges."""
        return self.width_mm - 2 * self.edge_mm, self.height_mm - 2 * self.edge_mm


USUAL_SHEET = Sheet()


@dataclass(frozen=True)
class PerSheet:
    """How many of one rectangle a sheet holds in rows, upright and turned."""

    upright: int
    turned: int

    @property
    def best(self) -> int:
        """Give the larger count."""
        return max(self.upright, self.turned)

    @property
    def is_turned(self) -> bool:
        """Say whether turning the piece gives more."""
        return self.turned > self.upright


@dataclass(frozen=True)
class Wanted:
    """So many rectangles of one code."""

    code: str
    width_mm: Fraction
    height_mm: Fraction
    count: int


@dataclass(frozen=True)
class Placement:
    """One piece on the sheet, measured from its top left corner."""

    code: str
    x_mm: Fraction
    y_mm: Fraction
    width_mm: Fraction
    height_mm: Fraction


@dataclass
class _Shelf:
    top_mm: Fraction
    height_mm: Fraction
    used_mm: Fraction


def per_sheet(
    width_inches: Fraction, height_inches: Fraction, sheet: Sheet = USUAL_SHEET
) -> PerSheet:
    """Count one rectangle in plain rows and columns, both ways round."""
    return count_in_rows(to_mm(width_inches), to_mm(height_inches), sheet)


def count_in_rows(
    width_mm: Fraction, height_mm: Fraction, sheet: Sheet = USUAL_SHEET
) -> PerSheet:
    """Count one rectangle of so many millimetres in plain rows, both ways round."""
    return PerSheet(
        _grid(width_mm, height_mm, sheet), _grid(height_mm, width_mm, sheet)
    )


def tapered_per_sheet(
    top_inches: Fraction,
    base_inches: Fraction,
    height_inches: Fraction,
    sheet: Sheet = USUAL_SHEET,
) -> int:
    """Count tapered pieces laid head to tail in rows."""
    top, base, height = (
        to_mm(inches) for inches in (top_inches, base_inches, height_inches)
    )
    slope = square_root(height**2 + ((top - base) / 2) ** 2)
    along = (slope * (sheet.gap_mm / height)).rounded_up(Fraction(1, 1000))
    room = sheet.room_mm[0]
    widest = max(top, base)
    if widest > room:
        return 0
    in_a_row = 1 + floor((room - widest) / ((top + base) / 2 + along))
    return in_a_row * _in_a_line(height, sheet.room_mm[1], sheet.gap_mm)


def in_rows(
    code: str, width_inches: Fraction, height_inches: Fraction, sheet: Sheet
) -> tuple[Placement, ...]:
    """Place as many of one rectangle as the sheet holds, turned where that is more."""
    width, height = to_mm(width_inches), to_mm(height_inches)
    if per_sheet(width_inches, height_inches, sheet).is_turned:
        width, height = height, width
    across = _in_a_line(width, sheet.room_mm[0], sheet.gap_mm)
    down = _in_a_line(height, sheet.room_mm[1], sheet.gap_mm)
    return tuple(
        Placement(
            code,
            sheet.edge_mm + column * (width + sheet.gap_mm),
            sheet.edge_mm + row * (height + sheet.gap_mm),
            width,
            height,
        )
        for row, column in product(range(down), range(across))
    )


def wanted(
    code: str, width_inches: Fraction, height_inches: Fraction, count: int
) -> Wanted:
    """Ask for pieces by their size in inches."""
    return Wanted(code, to_mm(width_inches), to_mm(height_inches), count)


def lay_out(
    pieces: Sequence[Wanted], sheet: Sheet = USUAL_SHEET
) -> tuple[Placement, ...] | None:
    """Place every piece in shelves, or give None where no way tried holds them all.

    None does not prove that there is no way. Each kind is tried both ways round.
    """
    for kinds in _ways_round(pieces):
        placed = _in_shelves(kinds, sheet)
        if placed is not None:
            return placed
    return None


def _grid(width: Fraction, height: Fraction, sheet: Sheet) -> int:
    across, down = sheet.room_mm
    return _in_a_line(width, across, sheet.gap_mm) * _in_a_line(
        height, down, sheet.gap_mm
    )


def _in_a_line(size: Fraction, room: Fraction, gap: Fraction) -> int:
    return max(0, floor((room + gap) / (size + gap)))


def _ways_round(pieces: Sequence[Wanted]) -> Iterator[tuple[Wanted, ...]]:
    both = [
        [kind]
        if kind.width_mm == kind.height_mm
        else [kind, Wanted(kind.code, kind.height_mm, kind.width_mm, kind.count)]
        for kind in pieces
    ]
    return product(*both)


def _in_shelves(kinds: Sequence[Wanted], sheet: Sheet) -> tuple[Placement, ...] | None:
    shelves: list[_Shelf] = []
    placed = []
    for kind in sorted(kinds, key=lambda kind: (-kind.height_mm, -kind.width_mm)):
        for _ in range(kind.count):
            shelf = _shelf_for(kind, shelves, sheet)
            if shelf is None:
                return None
            placed.append(_put_on(shelf, kind, sheet))
    return tuple(placed)


def _shelf_for(kind: Wanted, shelves: list[_Shelf], sheet: Sheet) -> _Shelf | None:
    across, down = sheet.room_mm
    if kind.width_mm > across:
        return None
    for shelf in shelves:
        if shelf.used_mm + kind.width_mm <= across:
            return shelf
    top = sum((shelf.height_mm + sheet.gap_mm for shelf in shelves), Fraction(0))
    if top + kind.height_mm > down:
        return None
    shelves.append(_Shelf(top, kind.height_mm, Fraction(0)))
    return shelves[-1]


def _put_on(shelf: _Shelf, kind: Wanted, sheet: Sheet) -> Placement:
    x, y = sheet.edge_mm + shelf.used_mm, sheet.edge_mm + shelf.top_mm
    shelf.used_mm += kind.width_mm + sheet.gap_mm
    return Placement(kind.code, x, y, kind.width_mm, kind.height_mm)
