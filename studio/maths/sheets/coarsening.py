"""The same problem in a coarser unit, where an exact one would have too many places.

rounded up    pieces a little too large, the sheet a little too small: what is laid
              can be laid
rounded down  what no sheet can exceed then, no real sheet can: parts rounded down
              never add up to more than the whole rounded down
"""

from __future__ import annotations

from studio.maths.cutting.kinds import Kind
from studio.maths.sheets.problem import Problem

LONGEST = 12_000


def rounded_up(problem: Problem, unit: int) -> Problem:
    return _counted(problem, unit, unit - 1)


def rounded_down(problem: Problem, unit: int) -> Problem:
    return _counted(problem, unit, 0)


def first_unit(problem: Problem) -> int:
    """Give the finest unit that leaves no side too long to go through place by place."""
    return max(1, -(-max(problem.width, problem.height) // LONGEST))


def weighable(problem: Problem) -> Problem:
    """Round down only as far as needed, and never a piece to nothing."""
    smallest = min(min(kind.width, kind.height) for kind in problem.kinds)
    return rounded_down(problem, min(first_unit(problem), smallest))


def _counted(problem: Problem, unit: int, more: int) -> Problem:
    if unit == 1:
        return problem
    kinds = tuple(
        Kind(
            (kind.width + more) // unit,
            (kind.height + more) // unit,
            kind.count,
            kind.turns,
        )
        for kind in problem.kinds
    )
    return Problem(problem.width // unit, problem.height // unit, kinds)
