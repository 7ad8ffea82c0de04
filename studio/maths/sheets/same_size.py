"""Kinds of one size taken together, so that none of them is overlooked.

A table that looks for the heaviest sheet cannot tell two kinds of one size apart, and
would use the first of them only. They are laid as one kind and shared out afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from studio.maths.cutting.kinds import Kind
from studio.maths.sheets.problem import Pattern, Problem, Spot
from studio.maths.sheets.weighing import Weighing


@dataclass(frozen=True)
class Together:
    """A problem as given, and the same with one kind for each size."""

    given: Problem
    problem: Problem
    became: tuple[int, ...]

    def shared_out(self, sheets: Sequence[Pattern], sets: int) -> tuple[Pattern, ...]:
        """Name the given kind of every piece: so many sets, and nothing over."""
        left: list[list[int]] = [[] for _ in self.problem.kinds]
        for number, kind in enumerate(self.given.kinds):
            left[self.became[number]] += [number] * (kind.count * sets)
        named = [tuple(_named(pattern, left)) for pattern in sheets]
        return tuple(pattern for pattern in named if pattern)

    def told_apart(self, weighing: Weighing) -> Weighing:
        """Give the weighing with a weight for each given kind."""
        weights = tuple(weighing.weights[one] for one in self.became)
        return replace(weighing, weights=weights)


def together(given: Problem) -> Together:
    """Take kinds of one size as one."""
    numbers: dict[tuple[int, int, bool], int] = {}
    became = []
    counts: list[int] = []
    for kind in given.kinds:
        number = numbers.setdefault((kind.width, kind.height, kind.turns), len(numbers))
        counts += [0] * (number + 1 - len(counts))
        counts[number] += kind.count
        became.append(number)
    kinds = tuple(
        Kind(width, height, count, turns)
        for (width, height, turns), count in zip(numbers, counts, strict=True)
    )
    return Together(given, replace(given, kinds=kinds), tuple(became))


def _named(pattern: Pattern, left: list[list[int]]) -> Iterator[Spot]:
    for spot in pattern:
        if left[spot.kind]:
            yield replace(spot, kind=left[spot.kind].pop(0))
