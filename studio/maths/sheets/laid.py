"""Pieces as they lie on sheets, every place in millimetres.

Places are measured from the top left corner of the sheet to the near corner of the
piece's box, at its nominal size. The distance kept is the gap, or the kerf where that
is wider: a cut cannot be narrower than what cuts it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from studio.maths.sheet_layout import Sheet
from studio.maths.sheets.plan import FullSheet, Plan
from studio.maths.sheets.problem import Outline, Pattern, Problem, SheetPiece


@dataclass(frozen=True)
class Laid:
    """One piece on its sheet; width and height are as it lies.

    ``kind`` is its number in the list of pieces, ``quarters`` its quarter turns.
    """

    name: str
    stock: int
    x_mm: Fraction
    y_mm: Fraction
    width_mm: Fraction
    height_mm: Fraction
    turned: bool
    kind: int = 0
    quarters: int = 0


@dataclass(frozen=True)
class SheetPlan:
    """So many sets of pieces on sheets, and what is known about how few there can be.

    What only fills the rest of a sheet is the last of the pieces, and lies on the
    fullest sheet alone.
    """

    pieces: tuple[SheetPiece, ...]
    sheet: Sheet
    sets: int
    saw: bool
    problem: Problem
    plan: Plan
    full: FullSheet
    laid: tuple[Laid, ...]
    full_laid: tuple[Laid, ...]

    @property
    def sheets(self) -> int:
        return len(self.plan.sheets)

    @property
    def set_pieces(self) -> tuple[SheetPiece, ...]:
        return tuple(piece for piece in self.pieces if not piece.fills)

    def alike(self) -> list[tuple[tuple[int, ...], tuple[Laid, ...]]]:
        """Group sheets that are cut alike: their numbers, and the first as it lies."""
        found: dict[Pattern, list[int]] = {}
        for number, pattern in enumerate(self.plan.sheets, start=1):
            found.setdefault(pattern_key(pattern), []).append(number)
        by_stock = {n: tuple(ones) for n, ones in groupby(self.laid, _stock)}
        return [(tuple(numbers), by_stock[numbers[0]]) for numbers in found.values()]


def kept_apart(sheet: Sheet, kerf_mm: Fraction) -> Sheet:
    """Let the kerf be the gap where it is wider than the gap asked for."""
    return replace(sheet, gap_mm=max(sheet.gap_mm, kerf_mm))


def goes_by_outline(pieces: Iterable[SheetPiece], *, saw: bool) -> bool:
    """Say whether any piece is to be laid by more than its box."""
    return not saw and any(piece.outline_mm for piece in pieces)


def placed(
    pieces: Sequence[SheetPiece],
    sheet: Sheet,
    problem: Problem,
    pattern: Pattern,
    stock: int,
) -> tuple[Laid, ...]:
    """Write a sheet in millimetres, top row first."""
    return tuple(
        lie(
            pieces,
            spot.kind,
            (sheet.edge_mm + problem.mm(spot.x), sheet.edge_mm + problem.mm(spot.y)),
            spot.quarters,
            stock,
        )
        for spot in sorted(pattern, key=lambda spot: (spot.y, spot.x))
    )


def lie(
    pieces: Sequence[SheetPiece],
    kind: int,
    at_mm: tuple[Fraction, Fraction],
    quarters: int,
    stock: int = 1,
) -> Laid:
    """Give a piece as it lies at a place, turned by so many quarters."""
    piece = pieces[kind]
    size = piece.width_mm, piece.height_mm
    width, height = reversed(size) if quarters % 2 else size
    turned = bool(quarters % 2)
    return Laid(piece.name, stock, *at_mm, width, height, turned, kind, quarters)


def outline_of(piece: SheetPiece, one: Laid) -> Outline:
    """Give the corners of a piece where it lies on the sheet."""
    corners, high, wide = piece.corners_mm, piece.height_mm, piece.width_mm
    for _ in range(one.quarters % 4):
        corners = tuple((high - y, x) for x, y in corners)
        high, wide = wide, high
    return tuple((one.x_mm + x, one.y_mm + y) for x, y in corners)


def counted(laid: Sequence[Laid]) -> Counter[str]:
    """Count the pieces by name, in the order of the list of pieces."""
    return Counter(one.name for one in sorted(laid, key=lambda one: one.kind))


def pattern_key(pattern: Pattern) -> Pattern:
    return tuple(sorted(pattern, key=lambda spot: (spot.y, spot.x, spot.kind)))


def _stock(one: Laid) -> int:
    return one.stock
