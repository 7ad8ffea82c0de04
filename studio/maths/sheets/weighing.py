"""Weights that no sheet can exceed: the proof beside every answer.

    sheets ≥ Σ weight × count / limit,  rounded up
    sets on one sheet ≤ limit / Σ weight × count of one set,  rounded down

Plain area is one such weighing. Others come from functions f with f(a) + f(b) + … at
most f(whole) whenever a + b + … is at most the whole: a piece weighs the lesser of
f(width) g(height) both ways round, a sheet f(its width) g(its height), saw or laser
(dual feasible functions: Fekete and Schepers 2004, Carlier, Clautiaux and Moukrim 2007,
both from memory). All in whole numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from studio.maths.sheets.problem import Problem

Function = Callable[[int], int]
Values = dict[int, int]
_FINEST_PART = 12
_FEW_STEPS = 40


@dataclass(frozen=True)
class Weighing:
    """A weight for each kind, and what no sheet weighs more than."""

    weights: tuple[int, ...]
    limit: int
    how: str

    def sheets(self, wanted: Sequence[int]) -> int:
        """Give a number of sheets below which the wanted pieces cannot be cut."""
        weight = self.of(wanted)
        return -(-weight // self.limit) if self.limit else 0

    def sets(self, one_set: Sequence[int]) -> int | None:
        """Give a number of sets above which no sheet goes; None where it is silent."""
        weight = self.of(one_set)
        return self.limit // weight if weight else None

    def beats(self, other: Weighing, pieces: Sequence[int]) -> bool:
        """Say whether this weighing asks for more sheets, parts of sheets counted."""
        return self.of(pieces) * other.limit > other.of(pieces) * self.limit

    def of(self, pieces: Sequence[int]) -> int:
        pairs = zip(self.weights, pieces, strict=True)
        return sum(weight * count for weight, count in pairs)


def by_area(problem: Problem) -> Weighing:
    """Weigh every piece by its area."""
    return Weighing(tuple(kind.area for kind in problem.kinds), problem.area, "area")


def sides_of(problem: Problem) -> tuple[list[Values], list[Values]]:
    """List the functions that treat these widths, and these heights, differently."""
    return (
        list(_functions(problem.width, _lengths(problem, problem.width))),
        list(_functions(problem.height, _lengths(problem, problem.height))),
    )


def _lengths(problem: Problem, whole: int) -> set[int]:
    sides = {side for kind in problem.kinds for side in (kind.width, kind.height)}
    return {side for side in sides if side <= whole} | {whole}


def _functions(whole: int, lengths: set[int]) -> Iterator[Values]:
    seen = set()
    for function in _families(whole, lengths):
        values = {length: function(length) for length in sorted(lengths)}
        most = values[whole]
        shares = tuple(Fraction(value, most) for value in values.values())
        if shares not in seen:
            seen.add(shares)
            yield values


def _families(whole: int, lengths: set[int]) -> Iterator[Function]:
    counted = [_counted(whole, part) for part in range(1, _FINEST_PART)]
    steps = sorted(_steps(whole, lengths))
    stepped = [_in_steps(whole, step) for step in steps]
    yield lambda x: x
    yield from counted
    yield from stepped
    few = len(steps) <= _FEW_STEPS
    for step in steps:
        plain = _without_small(whole, step)
        yield plain
        for other in (*counted, *stepped) if few else ():
            yield _one_after_the_other(plain, other)


def _one_after_the_other(first: Function, then: Function) -> Function:
    """Both keep sums within the whole, so one after the other does, too."""
    return lambda x: then(first(x))


def _steps(whole: int, lengths: set[int]) -> set[int]:
    """Where a family changes: a length, what is left beside it, and just over it."""
    marks = {mark for x in lengths for mark in (x, x + 1, whole - x, whole - x + 1)}
    return {mark for mark in marks if 0 < mark <= whole // 2}


def _without_small(whole: int, least: int) -> Function:
    """Nothing below the least, the whole above its opposite, plain between."""

    def weigh(x: int) -> int:
        if x > whole - least:
            return whole
        return x if x >= least else 0

    return weigh


def _counted(whole: int, parts: int) -> Function:
    """So many parts and one more, where the length is not on a mark."""

    def weigh(x: int) -> int:
        count, rest = divmod((parts + 1) * x, whole)
        return count * whole if rest else parts * x

    return weigh


def _in_steps(whole: int, step: int) -> Function:
    """Count whole steps below the middle, and what they leave above it."""
    most = whole // step

    def weigh(x: int) -> int:
        if 2 * x > whole:
            return 2 * (most - (whole - x) // step)
        return most if 2 * x == whole else 2 * (x // step)

    return weigh
