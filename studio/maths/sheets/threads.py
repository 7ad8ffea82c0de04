"""The heaviest weighing found: threads through the sheet, and functions of its sides.

    a thread down the sheet crosses pieces whose heights add up to at most its height
    u_io, v_io  what one thread is worth to kind i lying way o, down and across
    A = most Σ u a over heights that fit,  B = most Σ v a over widths that fit
    weight of i = least over o of  width_o u_io + height_o v_io + Σ λ f(width_o) g(height_o)
    limit = width of the sheet × A + height of the sheet × B + Σ λ f(its width) g(its height)

(bar relaxation: Scheithauer 1999, from memory; the functions: see weighing). A linear
program proposes u, v and λ; they are made whole, and A and B found exactly, before
they count for anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import lcm
from time import monotonic

import numpy as np
from numpy.typing import NDArray

from studio.maths.sheets import coarsening, linear, points, weighing
from studio.maths.sheets.problem import Problem
from studio.maths.sheets.weighing import Values, Weighing

_FINE = 10**6
_MOST_ROUNDS = 60
_SURE = 1e-6
Thread = tuple[int, ...]
Whole = NDArray[np.int64]


@dataclass(frozen=True)
class _Way:
    kind: int
    width: int
    height: int


@dataclass(frozen=True)
class _Side:
    """One direction: the room along a thread, and what each way takes of it."""

    room: int
    takes: tuple[int, ...]
    places: tuple[int, ...]
    steps: tuple[tuple[Whole, Whole], ...]  # For each way: where to, where from.

    def best(self, worth: Sequence[int]) -> tuple[int, Thread]:
        """Give the most one thread is worth, and how often it crosses each way."""
        values = np.zeros(len(self.places), dtype=np.int64)
        came = np.full(len(self.places), -1)
        for way, each in enumerate(worth):
            at, before = self.steps[way]
            while each and len(at):
                better = values[before] + each > values[at]
                if not better.any():
                    break
                at_better = at[better]
                values[at_better] = values[before[better]] + each
                came[at_better] = way
        return self._read_back(values, came)

    def _read_back(self, values: Whole, came: Whole) -> tuple[int, Thread]:
        n = int(values.argmax())
        most, crossed = int(values[n]), [0] * len(self.takes)
        while came[n] >= 0:
            way = int(came[n])
            crossed[way] += 1
            n = points.snapped(self.places, self.places[n] - self.takes[way])
        return most, tuple(crossed)


@dataclass
class _Found:
    """The threads and pairs of functions that the program knows so far."""

    down: set[Thread]
    across: set[Thread]
    pairs: set[tuple[int, int]] = field(default_factory=set)


@dataclass(frozen=True)
class _Proposal:
    u: list[int]
    v: list[int]
    shares: dict[tuple[int, int], Fraction]
    lies: tuple[float, ...]  # How many pieces lie each way, in the program's view.
    value: float


class Weigher:
    """One problem, ready to be weighed."""

    def __init__(self, problem: Problem) -> None:
        problem = coarsening.weighable(problem)
        self.problem = problem
        self.ways = [
            _Way(number, width, height)
            for number, kind in enumerate(problem.kinds)
            for width, height, _ in kind.ways
            if width <= problem.width and height <= problem.height
        ]
        self.down = _side(problem.height, [way.height for way in self.ways])
        self.across = _side(problem.width, [way.width for way in self.ways])
        self.f, self.g = weighing.sides_of(problem)
        self.f_shares = self._shares(self.f, problem.width, 0)
        self.g_shares = self._shares(self.g, problem.height, 1)

    def heaviest(self, *, until: float) -> Weighing:
        """Find the weighing that asks for most sheets for one set, or the best in time.

        ``until`` is a moment of the monotonic clock.
        """
        found = _Found(_first_threads(self.down), _first_threads(self.across))
        best = weighing.by_area(self.problem)
        one_set = [kind.count for kind in self.problem.kinds]
        for _ in range(_MOST_ROUNDS):
            proposal = self._proposed(found)
            weighed = self._weighed(proposal)
            if weighed.limit and weighed.beats(best, one_set):
                best = weighed
            if not self._sharpened(found, proposal) or monotonic() > until:
                break
        return best

    def _sharpened(self, found: _Found, proposal: _Proposal) -> bool:
        """Add what the proposal overlooked; say whether there was anything."""
        known = len(found.down) + len(found.across) + len(found.pairs)
        found.down.add(self.down.best(proposal.u)[1])
        found.across.add(self.across.best(proposal.v)[1])
        scores = (self.f_shares * np.array(proposal.lies)) @ self.g_shares.T
        n, m = np.unravel_index(int(np.argmax(scores)), scores.shape)
        if scores[n, m] > proposal.value * (1 + _SURE):
            found.pairs.add((int(n), int(m)))
        return len(found.down) + len(found.across) + len(found.pairs) > known

    def _weighed(self, proposal: _Proposal) -> Weighing:
        """Weigh exactly with the numbers proposed."""
        problem = self.problem
        least: dict[int, Fraction] = {}
        for n, way in enumerate(self.ways):
            threads = way.width * proposal.u[n] + way.height * proposal.v[n]
            weight = threads + sum(
                (
                    share * self.f[f][way.width] * self.g[g][way.height]
                    for (f, g), share in proposal.shares.items()
                ),
                Fraction(0),
            )
            least[way.kind] = min(weight, least.get(way.kind, weight))
        limit = (
            problem.width * self.down.best(proposal.u)[0]
            + problem.height * self.across.best(proposal.v)[0]
            + sum(
                share * self.f[f][problem.width] * self.g[g][problem.height]
                for (f, g), share in proposal.shares.items()
            )
        )
        return _whole([least[n] for n in range(len(problem.kinds))], Fraction(limit))

    def _shares(
        self, functions: Sequence[Values], whole: int, axis: int
    ) -> NDArray[np.float64]:
        lengths = [(way.width, way.height)[axis] for way in self.ways]
        return np.array(
            [[each[length] / each[whole] for length in lengths] for each in functions]
        )

    def _proposed(self, found: _Found) -> _Proposal:
        """Ask the linear program; lengths are shares of the sheet's in there."""
        program, problem = linear.Most(), self.problem
        weight = [program.unknown(kind.count) for kind in problem.kinds]
        u = [program.unknown() for _ in self.ways]
        v = [program.unknown() for _ in self.ways]
        most = program.unknown(), program.unknown()
        pairs = {pair: program.unknown() for pair in sorted(found.pairs)}
        for n, way in enumerate(self.ways):
            terms = {weight[way.kind]: 1.0}
            terms[u[n]] = -way.width / problem.width
            terms[v[n]] = -way.height / problem.height
            for (f, g), unknown in pairs.items():
                terms[unknown] = -float(self.f_shares[f, n] * self.g_shares[g, n])
            program.at_most(terms, 0.0)
        program.at_most(dict.fromkeys((*most, *pairs.values()), 1.0), 1.0)
        for side, worth, limit in ((found.down, u, 0), (found.across, v, 1)):
            for thread in sorted(side):
                crossed = {worth[n]: float(a) for n, a in enumerate(thread) if a}
                program.at_most({**crossed, most[limit]: -1.0}, 0.0)
        solved = program.solved()
        return _Proposal(
            [_made_whole(solved.unknowns[n], problem.height) for n in u],
            [_made_whole(solved.unknowns[n], problem.width) for n in v],
            {
                (f, g): Fraction(
                    _made_whole(solved.unknowns[n], problem.area),
                    self.f[f][problem.width] * self.g[g][problem.height],
                )
                for (f, g), n in pairs.items()
            },
            solved.prices[: len(self.ways)],
            solved.value,
        )


def _side(room: int, takes: Sequence[int]) -> _Side:
    places = np.array(points.reachable(takes, room), dtype=np.int64)
    steps = []
    for take in takes:
        before = np.searchsorted(places, places - take)
        at = np.flatnonzero(places[before] == places - take)
        steps.append((at, before[at]))
    return _Side(room, tuple(takes), tuple(places.tolist()), tuple(steps))


def _made_whole(number: float, scale: int) -> int:
    return max(0, round(number * _FINE * scale))


def _first_threads(side: _Side) -> set[Thread]:
    return {
        tuple(side.room // take if n == way else 0 for n in range(len(side.takes)))
        for way, take in enumerate(side.takes)
    }


def _whole(weights: Sequence[Fraction], limit: Fraction) -> Weighing:
    scale = lcm(limit.denominator, *(weight.denominator for weight in weights))
    return Weighing(
        tuple(int(weight * scale) for weight in weights),
        int(limit * scale),
        "threads across and down the sheet",
    )
