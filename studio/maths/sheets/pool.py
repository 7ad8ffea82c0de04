"""Sheets found so far for one problem, and the ways to find more.

by weight   the saw's best sheet under the weights of a linear program
by filling  piece by piece, with some chance
by diving   fix the sheets the program uses most, look at what is left, go on
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from studio.maths.sheets import covering, filling, guillotine
from studio.maths.sheets.problem import Pattern, Problem, counts
from studio.maths.sheets.weighing import Weighing

_FINE = 10**6
_TRIES = 3
Counts = tuple[int, ...]


class Pool:
    """Every sheet found, one for each way of counting its pieces."""

    def __init__(self, problem: Problem, chance: Random) -> None:
        self.problem = problem
        self.chance = chance
        self.sheets: dict[Counts, Pattern] = {}
        self.table = guillotine.table_for(problem, over=False)
        self.over = self.table
        if problem.saw and self.table and self.table.unit > 1:
            self.over = guillotine.table_for(problem, over=True)
        self._fill_with_each_kind()

    def remember(self, pattern: Pattern) -> Counts:
        found = counts(pattern, len(self.problem.kinds))
        self.sheets.setdefault(found, pattern)
        return found

    def sharpened(self, wanted: Sequence[int]) -> Weighing | None:
        """Add the saw's best sheet under the program's weights, and weigh with them.

        None where the saw does not bind or its table would be too large.
        """
        weights = self._weights(wanted)
        if self.table:
            self.remember(self.table.best(weights))
        if not self.problem.saw or not self.over:
            return None
        return Weighing(weights, self.over.value(weights), "the saw's best sheet")

    def wandered(self, wanted: Sequence[int]) -> Counts:
        """Add the saw's best sheet under weights that are a little off."""
        if not self.table:
            return self.filled(wanted)
        weights = self._weights(wanted)
        off = [round(weight * self.chance.uniform(0.9, 1.1)) for weight in weights]
        return self.remember(self.table.best(off))

    def filled(self, limits: Sequence[int]) -> Counts:
        """Fill one sheet with at most so many pieces: the fullest of a few tries."""
        tries = [
            filling.filled(self.problem, limits, self.chance) for _ in range(_TRIES)
        ]
        return self.remember(max(tries, key=self._area))

    def sequence(self, wanted: Sequence[int]) -> list[Pattern]:
        """Fill sheet after sheet with what is left."""
        left, sheets = list(wanted), []
        while any(left):
            found = self.filled(left)
            pairs = zip(left, found, strict=True)
            times = min(n // count for n, count in pairs if count)
            sheets += [self.sheets[found]] * times
            left = [n - times * count for n, count in zip(left, found, strict=True)]
        return sheets

    def dived(self, wanted: Sequence[int]) -> list[Pattern]:
        """Fix what the program uses most, find sheets for what is left, and go on."""
        left, sheets = list(wanted), []
        while any(left):
            self.wandered(left)
            self.filled(left)
            columns = list(self.sheets)
            cover = covering.least_cover(columns, left)
            number, times = self._chosen(cover.times)
            sheets += [self.sheets[columns[number]]] * times
            left = [
                max(0, n - times * count)
                for n, count in zip(left, columns[number], strict=True)
            ]
        return sheets

    def picked(self, wanted: Sequence[int], *, seconds: float) -> list[Pattern] | None:
        """Pick the fewest of the sheets found, or None if that takes too long."""
        columns = list(self.sheets)
        times = covering.least_whole_cover(columns, wanted, seconds=seconds)
        if times is None:
            return None
        return [
            self.sheets[column]
            for column, often in zip(columns, times, strict=True)
            for _ in range(often)
        ]

    def _chosen(self, times: Sequence[float]) -> tuple[int, int]:
        """Take the most used sheet as often as it is used whole, or a part of one."""
        most = sorted(range(len(times)), key=lambda n: -times[n])
        number = most[0]
        if times[number] < 1:
            number = self.chance.choice([n for n in most[:3] if times[n] > 1e-6])
        return number, max(1, int(times[number] + 1e-6))

    def _fill_with_each_kind(self) -> None:
        problem = self.problem
        smallest = min(kind.area for kind in problem.kinds)
        plenty = problem.area // smallest + 1
        for number in range(len(problem.kinds)):
            self.filled([plenty * (n == number) for n in range(len(problem.kinds))])

    def _weights(self, wanted: Sequence[int]) -> tuple[int, ...]:
        cover = covering.least_cover(list(self.sheets), wanted)
        return tuple(max(0, round(weight * _FINE)) for weight in cover.weights)

    def _area(self, pattern: Pattern) -> int:
        return sum(self.problem.kinds[spot.kind].area for spot in pattern)
