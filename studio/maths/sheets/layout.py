"""A set of pieces laid on sheets: few sheets, the most on one, and what fills the rest.

Rectangles, and whatever the saw cuts, are laid by their boxes; with the laser other
outlines are laid as they are.
"""

from __future__ import annotations

from collections.abc import Sequence

from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import outlined, plan, refusals
from studio.maths.sheets import problem as problems
from studio.maths.sheets.fillers import filled_up
from studio.maths.sheets.laid import SheetPlan, goes_by_outline, placed
from studio.maths.sheets.outlined import OutlinePlanner
from studio.maths.sheets.plan import FullSheet, Plan, Planner
from studio.maths.sheets.problem import Problem, SheetPiece

_FOR_THE_PLAN = 0.6


def lay_out(
    pieces: Sequence[SheetPiece],
    sheet: Sheet,
    *,
    sets: int = 1,
    saw: bool = False,
    seconds: float | None = None,
) -> SheetPlan:
    """Lay so many sets on few sheets, and as many sets as possible on one.

    Raises SheetSmallerThanEdges, PieceTooLarge, SheetImpossible and OutlineUnfit.
    """
    wanted = [piece for piece in pieces if not piece.fills]
    fillers = [piece for piece in pieces if piece.fills]
    if not wanted:
        raise refusals.SheetImpossible(
            "A sheet of nothing but what fills it", "at least one piece makes the set"
        )
    problems.refuse_unfit(fillers, sheet)
    answer = _answered(wanted, sheet, sets, saw=saw, seconds=seconds)
    return filled_up(answer, fillers) if fillers else answer


def _answered(
    pieces: Sequence[SheetPiece],
    sheet: Sheet,
    sets: int,
    *,
    saw: bool,
    seconds: float | None,
) -> SheetPlan:
    if goes_by_outline(pieces, saw=saw):
        found = OutlinePlanner(pieces, sheet, seconds=seconds or outlined.USUAL_SECONDS)
        full = found.full_sheet()
        return _written(pieces, sheet, sets, found.problem, found.plan(sets), full, saw)
    problem = problems.in_units(pieces, sheet, saw=saw)
    seconds = seconds or plan.USUAL_SECONDS
    planner = Planner(problem, seconds=seconds * _FOR_THE_PLAN)
    laid = planner.plan(sets)
    planner.go_on(seconds * (1 - _FOR_THE_PLAN))
    return _written(pieces, sheet, sets, problem, laid, planner.full_sheet(), saw)


def _written(
    pieces: Sequence[SheetPiece],
    sheet: Sheet,
    sets: int,
    problem: Problem,
    laid: Plan,
    full: FullSheet,
    saw: bool,
) -> SheetPlan:
    return SheetPlan(
        tuple(pieces),
        sheet,
        sets,
        saw,
        problem,
        laid,
        full,
        tuple(
            one
            for number, pattern in enumerate(laid.sheets, start=1)
            for one in placed(pieces, sheet, problem, pattern, number)
        ),
        placed(pieces, sheet, problem, full.pattern, 1),
    )
