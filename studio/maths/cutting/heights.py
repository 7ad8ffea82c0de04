"""How many strips of each height: branch and bound over whole numbers, under cuts.

    least Σ h F_h,  Σ V_h F_h ≥ R for every cut so far,  F whole

Branches are made on F and on C_h, the strips of height h or taller, the tallest
first; the branch with the lowest bound is taken next. Whoever asks brings new cuts
while the search goes on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import count
from math import ceil, gcd

import numpy as np
from numpy.typing import NDArray

from studio.maths.cutting.programs import HeightProgram

Bounds = NDArray[np.float64]
ALMOST_WHOLE = 1e-6


@dataclass(order=True)
class Branch:
    """Bounds on F and C, and the least length there."""

    bound: int
    depth: int
    number: int
    low: Bounds = field(compare=False)
    high: Bounds = field(compare=False)


class HeightSearch:
    """Gives one promising F after another, each no shorter than what is proven."""

    def __init__(self, heights: Sequence[int], most: int) -> None:
        self.heights = heights
        self.step = gcd(*heights)
        # Strictly the lowest bound first; else what is whole is given at once.
        self.is_strict = False
        self.program = HeightProgram(heights)
        self._numbers = count()
        self._open: list[Branch] = []
        # Nothing as long as the best plan is looked for.
        high = [(most - 1) // height for height in heights] + [most] * len(heights)
        self._push(0, 0, np.zeros(len(high)), np.array(high, dtype=np.float64))

    @property
    def bound(self) -> int | None:
        """Give the least length of all open branches; None if none is open."""
        return self._open[0].bound if self._open else None

    def cut(self, values: Sequence[int], least: int) -> None:
        """Take in a cut that holds for every plan."""
        self.program.cut(values, least)

    def step_once(self, most: int) -> tuple[Branch, list[int]] | None:
        """Work on the lowest branch; give it with its F if that is whole."""
        branch = heappop(self._open)
        self.program.hold(branch.low, branch.high)
        solved = self.program.solve()
        if solved is None:
            return None
        value, point = solved
        bound = max(branch.bound, self.rounded_up(value))
        if bound >= most:
            return None
        if self.is_strict and self._open and self._open[0].bound < bound:
            self._push(bound, branch.depth, branch.low, branch.high)
            return None
        place = _first_broken(point)
        if place is None:
            branch.bound = bound
            return branch, [round(amount) for amount in point[: len(self.heights)]]
        self._part(branch, bound, place, point[place])
        return None

    def put_back(self, branch: Branch) -> None:
        """Leave a branch open, for there is a new cut."""
        self._push(branch.bound, branch.depth, branch.low, branch.high)

    def put_back_without(
        self, branch: Branch, strips: Sequence[int], *, taller_will_do: bool
    ) -> None:
        """Leave open what is in a branch beside F and all that is no better."""
        rows = len(strips)
        counts = [sum(strips[r:]) if taller_will_do else strips[r] for r in range(rows)]
        first = rows if taller_will_do else 0
        low, high = branch.low, branch.high
        for row in reversed(range(rows)):
            place = first + row
            more = low.copy()
            more[place] = max(more[place], counts[row] + 1)
            if more[place] <= high[place]:
                self._push(branch.bound, branch.depth + 1, more, high)
            high = high.copy()
            high[place] = min(high[place], counts[row])

    def rounded_up(self, value: float) -> int:
        """Give the shortest length that strips can add up to, from a value on."""
        return self.step * ceil(value / self.step - ALMOST_WHOLE)

    def _part(self, branch: Branch, bound: int, place: int, amount: float) -> None:
        high = branch.high.copy()
        high[place] = np.floor(amount)
        low = branch.low.copy()
        low[place] = np.ceil(amount)
        self._push(bound, branch.depth + 1, branch.low, high)
        self._push(bound, branch.depth + 1, low, branch.high)

    def _push(self, bound: int, depth: int, low: Bounds, high: Bounds) -> None:
        heappush(self._open, Branch(bound, -abs(depth), next(self._numbers), low, high))


def _first_broken(point: Bounds) -> int | None:
    """Give the place of a broken amount, tallest C first; None if all are whole."""
    broken = np.flatnonzero(np.abs(point - np.round(point)) > ALMOST_WHOLE)
    if not len(broken):
        return None
    return int(broken[-1])
