"""What fills the rest of a sheet: by-products, and anything else that goes in a gap.

With the laser other pieces are put into the places left, outline by outline; for the
saw the whole sheet is laid again, its sets first, so that it can still be cut from side
to side. Each count has really been laid; a larger one may exist.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import floor
from random import Random
from time import monotonic

from studio.maths.nesting_shapes import MICRONS
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import filling
from studio.maths.sheets.laid import Laid, SheetPlan, placed
from studio.maths.sheets.outlined import Laying
from studio.maths.sheets.problem import (
    Pattern,
    Problem,
    SheetPiece,
    Spot,
    counts,
    in_units,
    refuse_unfit,
)

_SECONDS = 0.3
_FEWEST_TRIES = 12
_MOST_FILLERS = 500


def filled_up(plan: SheetPlan, fillers: Sequence[SheetPiece]) -> SheetPlan:
    """Add to the fullest sheet of a plan as many other pieces as find a place."""
    pieces = (*plan.pieces, *fillers)
    first = len(plan.pieces)
    if plan.saw:
        laid = _filled_for_the_saw(plan, fillers)
    else:
        laid = _filled_for_the_laser(plan, pieces, range(first, len(pieces)))
    return replace(plan, pieces=pieces, full_laid=laid or plan.full_laid)


def more_of_each(plan: SheetPlan, extras: Sequence[SheetPiece]) -> list[int]:
    """Count for each of some more pieces how many go on the fullest sheet of a plan.

    Each is tried alone, with all that lies there kept. Raises PieceTooLarge.
    """
    refuse_unfit(extras, plan.sheet)
    if plan.saw:
        return [_more_for_the_saw(plan, extra) for extra in extras]
    laying = Laying((*plan.pieces, *extras), plan.sheet)
    there = tuple(_in_microns(one, plan.sheet) for one in plan.full_laid)
    first = len(plan.pieces)
    return [
        len(laying.filled_on(laying.grids[0], there, [first + n]))
        for n in range(len(extras))
    ]


def _more_for_the_saw(plan: SheetPlan, extra: SheetPiece) -> int:
    laid = _filled_for_the_saw(plan, [replace(extra, fills=True)])
    return max(0, len(laid) - len(plan.full_laid))


def _filled_for_the_laser(
    plan: SheetPlan, pieces: Sequence[SheetPiece], fillers: Sequence[int]
) -> tuple[Laid, ...]:
    laying = Laying(pieces, plan.sheet)
    there = tuple(_in_microns(one, plan.sheet) for one in plan.full_laid)
    added = laying.filled_up(there, fillers)
    more = placed(pieces, plan.sheet, laying.problem, added, 1)
    return tuple(sorted((*plan.full_laid, *more), key=lambda one: (one.y_mm, one.x_mm)))


def _filled_for_the_saw(
    plan: SheetPlan, fillers: Sequence[SheetPiece]
) -> tuple[Laid, ...]:
    """Lay the whole sheet again, sets first, and take the one that holds most."""
    pieces = (*plan.pieces, *fillers)
    problem = in_units(pieces, plan.sheet, saw=True)
    fixed = [piece.count * plan.full.sets for piece in plan.pieces]
    fixed += [0] * (len(pieces) - len(fixed))
    best: Pattern = ()
    for pattern in beside(problem, fixed, _MOST_FILLERS, _SECONDS):
        best = max(best, pattern, key=len)
    return placed(pieces, plan.sheet, problem, best, 1)


def _in_microns(one: Laid, sheet: Sheet) -> Spot:
    x, y = (floor((at - sheet.edge_mm) * MICRONS) for at in (one.x_mm, one.y_mm))
    return Spot(one.kind, x, y, one.turned, one.quarters > 1)


def beside(
    problem: Problem, fixed: Sequence[int], most: int, seconds: float
) -> Iterator[Pattern]:
    """Fill the sheet again and again, with what is fixed or not at all.

    Kinds of which none is fixed come last, at most so many of each.
    """
    # Chance in a search guards no secret.
    chance = Random(1)  # noqa: S311
    last = [kind for kind, count in enumerate(fixed) if not count]
    limits = [count or most for count in fixed]
    until, tries = monotonic() + seconds, 0
    while tries < _FEWEST_TRIES or monotonic() < until:
        tries += 1
        pattern = filling.filled(problem, limits, chance, last=last)
        found = counts(pattern, len(problem.kinds))
        if all(found[n] == count for n, count in enumerate(fixed) if count):
            yield pattern
