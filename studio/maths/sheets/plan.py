"""Few sheets for so many sets, and the most sets on one sheet, each with its bound.

Sheets are proposed by weighing (column generation with the saw's table), by filling
and by diving; a small whole-number program picks among all of them. What is cut over
is left off the last sheets. The bound comes from the weighings and is exact.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from random import Random
from time import monotonic

from studio.maths.sheets import same_size, weighing
from studio.maths.sheets.pool import Counts, Pool
from studio.maths.sheets.problem import Pattern, Problem
from studio.maths.sheets.threads import Weigher
from studio.maths.sheets.weighing import Weighing

USUAL_SECONDS = 1.0
_ROUNDS = 4
_FEWEST_TRIES = 20


@dataclass(frozen=True)
class Plan:
    """Sheets that hold exactly the wanted pieces, and why no fewer can."""

    sheets: tuple[Pattern, ...]
    bound: int
    proof: Weighing
    seconds: float

    @property
    def is_proven(self) -> bool:
        return len(self.sheets) == self.bound

    @property
    def gap(self) -> int:
        """Give by how many sheets the answer may be over the least."""
        return len(self.sheets) - self.bound


@dataclass(frozen=True)
class FullSheet:
    """The most complete sets found on one sheet, and what no sheet goes above."""

    pattern: Pattern
    sets: int
    bound: int

    @property
    def is_proven(self) -> bool:
        return self.sets == self.bound


class Planner:
    """One problem, its weighings and the sheets found so far."""

    def __init__(
        self, problem: Problem, *, seconds: float = USUAL_SECONDS, seed: int = 1
    ) -> None:
        self.together = same_size.together(problem)
        self.problem = self.together.problem
        self.one_set = tuple(kind.count for kind in self.problem.kinds)
        self.started = monotonic()
        self.until = self.started + seconds
        # Chance in a search guards no secret.
        self.pool = Pool(self.problem, Random(seed))  # noqa: S311
        self.weighings = list(self._weighings())

    def go_on(self, seconds: float) -> None:
        """Allow so many seconds more from now."""
        self.until = monotonic() + seconds

    def plan(self, sets: int) -> Plan:
        """Lay out so many sets on few sheets."""
        wanted = tuple(count * sets for count in self.one_set)
        proof = max(self.weighings, key=lambda one: one.sheets(wanted))
        bound = proof.sheets(wanted)
        best = self.pool.sequence(wanted)
        while len(best) > bound:
            picked = self._picked(wanted)
            best = min(best, picked or best, key=len)
            if len(best) == bound or monotonic() > self.until:
                break
            best = min(best, self._tried(wanted, bound), key=len)
        return Plan(
            self.together.shared_out(best, sets),
            bound,
            self.together.told_apart(proof),
            round(monotonic() - self.started, 3),
        )

    def full_sheet(self) -> FullSheet:
        """Put as many complete sets on one sheet as can be found."""
        bound = self._most_sets()
        best = max(self.pool.sheets, key=self._sets)
        tries = 0
        while self._sets(best) < bound and (
            tries < _FEWEST_TRIES or monotonic() < self.until
        ):
            tries += 1
            more = [count * (self._sets(best) + 1) for count in self.one_set]
            tried = (self.pool.filled(more), self.pool.wandered(self.one_set))
            best = max(best, *tried, key=self._sets)
        sets = self._sets(best)
        shared = self.together.shared_out([self.pool.sheets[best]], sets)
        return FullSheet(next(iter(shared), ()), sets, bound)

    def _weighings(self) -> Iterator[Weighing]:
        """Weigh by area, by threads, and by the saw until nothing new turns up."""
        yield weighing.by_area(self.problem)
        third = monotonic() + (self.until - monotonic()) / 3
        yield Weigher(self.problem).heaviest(until=third)
        halfway = monotonic() + (self.until - monotonic()) / 2
        while monotonic() < halfway:
            known = len(self.pool.sheets)
            weighed = self.pool.sharpened(self.one_set)
            if weighed and weighed.limit:
                yield weighed
            if len(self.pool.sheets) == known:
                break

    def _tried(self, wanted: Counts, bound: int) -> list[Pattern]:
        """Try a few other ways, and give the best of them."""
        best = self.pool.dived(wanted)
        for _ in range(_ROUNDS):
            if len(best) == bound or monotonic() > self.until:
                break
            best = min(best, self.pool.sequence(wanted), key=len)
        return best

    def _picked(self, wanted: Counts) -> list[Pattern] | None:
        seconds = (self.until - monotonic()) / 2
        return self.pool.picked(wanted, seconds=seconds)

    def _most_sets(self) -> int:
        limits = [one.sets(self.one_set) for one in self.weighings]
        return min(limit for limit in limits if limit is not None)

    def _sets(self, found: Sequence[int]) -> int:
        pairs = zip(found, self.one_set, strict=True)
        return min(count // each for count, each in pairs)
