"""A set of pieces laid on sheets: every place in millimetres, counts and bounds.

Places are measured from the top left corner of the sheet to the piece's own corner, at
its nominal size. The distance kept is the gap, or the kerf where that is wider: a cut
cannot be narrower than what cuts it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import problem as problems
from studio.maths.sheets.plan import USUAL_SECONDS, FullSheet, Plan, Planner
from studio.maths.sheets.problem import Pattern, Problem, SheetPiece

_FOR_THE_PLAN = 0.6


@dataclass(frozen=True)
class Laid:
    """One piece on its sheet; width and height are as it lies."""

    name: str
    stock: int
    x_mm: Fraction
    y_mm: Fraction
    width_mm: Fraction
    height_mm: Fraction
    turned: bool


@dataclass(frozen=True)
class SheetPlan:
    """So many sets of pieces on sheets, and what is known about how few there can be."""

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


def lay_out(
    pieces: Sequence[SheetPiece],
    sheet: Sheet,
    *,
    sets: int = 1,
    saw: bool = False,
    seconds: float = USUAL_SECONDS,
) -> SheetPlan:
    """Lay so many sets on few sheets, and as many sets as possible on one.

    Raises SheetSmallerThanEdges and PieceTooLarge.
    """
    problem = problems.in_units(pieces, sheet, saw=saw)
    planner = Planner(problem, seconds=seconds * _FOR_THE_PLAN)
    plan = planner.plan(sets)
    planner.go_on(seconds * (1 - _FOR_THE_PLAN))
    full = planner.full_sheet()
    return SheetPlan(
        tuple(pieces),
        sheet,
        sets,
        saw,
        problem,
        plan,
        full,
        tuple(
            one
            for number, pattern in enumerate(plan.sheets, start=1)
            for one in placed(pieces, sheet, problem, pattern, number)
        ),
        placed(pieces, sheet, problem, full.pattern, 1),
    )


def placed(
    pieces: Sequence[SheetPiece],
    sheet: Sheet,
    problem: Problem,
    pattern: Pattern,
    stock: int,
) -> tuple[Laid, ...]:
    """Write a sheet in millimetres, top row first."""
    laid = []
    for spot in sorted(pattern, key=lambda spot: (spot.y, spot.x)):
        piece = pieces[spot.kind]
        size = piece.width_mm, piece.height_mm
        width, height = reversed(size) if spot.turned else size
        x, y = (sheet.edge_mm + problem.mm(at) for at in (spot.x, spot.y))
        laid.append(Laid(piece.name, stock, x, y, width, height, spot.turned))
    return tuple(laid)


def counted(laid: Sequence[Laid]) -> Counter[str]:
    """Count the pieces by name."""
    return Counter(one.name for one in laid)


def pattern_key(pattern: Pattern) -> Pattern:
    return tuple(sorted(pattern, key=lambda spot: (spot.y, spot.x, spot.kind)))


def _stock(one: Laid) -> int:
    return one.stock
