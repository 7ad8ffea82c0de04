"""The most that cuts from edge to edge can make of a rectangle, kinds without limit.

    V(x, y) = most of  the best kind that fits,  V(x₁, y) + V(x − x₁, y),
                       V(x, y₁) + V(x, y − y₁)

(Gilmore and Gomory 1965, from memory), at sums of sides only. In a column of one
width the second sort of cut is repeated by doubling, so that few steps are needed.
No plan with limits can be worth more, so V also bounds what one piece can give.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from studio.maths.cutting.kinds import Kind
from studio.maths.cutting.layout import Place
from studio.maths.cutting.rectangles import cut_points, splits

Whole = NDArray[np.int64]
NOTHING = -(2**60)


class WorthTable:
    """Finds V for any weights; sides and cuts are worked out once."""

    def __init__(self, kinds: Sequence[Kind], width: int, height: int) -> None:
        self.kinds = tuple(kinds)
        self.across = cut_points([way[0] for k in kinds for way in k.ways], width)
        self.along = cut_points([way[1] for k in kinds for way in k.ways], height)
        self.splits_across = [splits(self.across, x) for x in range(len(self.across))]
        self.splits_along = [splits(self.along, y) for y in range(len(self.along))]
        self._firsts, self._rests = _padded(self.splits_along)
        self._fits = [_fits(kind, self.across, self.along) for kind in kinds]

    def worth(self, weights: Sequence[int]) -> Whole:
        """Give V at all cut points, those across first."""
        alone = np.zeros((len(self.across), len(self.along)), dtype=np.int64)
        for fits, weight in zip(self._fits, weights, strict=True):
            np.maximum(alone, fits * weight, out=alone)
        worth = alone
        for x in range(len(self.across)):
            line = worth[x].copy()
            if x:
                np.maximum(line, worth[x - 1], out=line)
            if self.splits_across[x]:
                first, rest = np.array(self.splits_across[x]).T
                np.maximum(line, (worth[first] + worth[rest]).max(axis=0), out=line)
            worth[x] = self._stacked(line)
        return worth

    def places(self, weights: Sequence[int], worth: Whole) -> list[Place]:
        """Follow V of the whole piece back to where each kind lies."""
        found: list[Place] = []
        todo = [(len(self.across) - 1, len(self.along) - 1, 0, 0)]
        while todo:
            x, y, left, low = todo.pop()
            if worth[x, y] > 0:
                todo += self._step(weights, worth, (x, y, left, low), found)
        return found

    def _stacked(self, line: Whole) -> Whole:
        line = np.maximum.accumulate(line)
        while True:
            longer = np.append(line, NOTHING)
            both = (longer[self._firsts] + longer[self._rests]).max(axis=1)
            better = np.maximum.accumulate(np.maximum(line, both))
            if (better == line).all():
                return line
            line = better

    def _step(
        self,
        weights: Sequence[int],
        worth: Whole,
        at: tuple[int, int, int, int],
        found: list[Place],
    ) -> list[tuple[int, int, int, int]]:
        x, y, left, low = at
        value = worth[x, y]
        if x and worth[x - 1, y] == value:
            return [(x - 1, y, left, low)]
        if y and worth[x, y - 1] == value:
            return [(x, y - 1, left, low)]
        for first, rest in self.splits_across[x]:
            if worth[first, y] + worth[rest, y] == value:
                beside = left + self.across[first]
                return [(first, y, left, low), (rest, y, beside, low)]
        for first, rest in self.splits_along[y]:
            if worth[x, first] + worth[x, rest] == value:
                above = low + self.along[first]
                return [(x, first, left, low), (x, rest, left, above)]
        found.append(self._alone(weights, at, int(value)))
        return []

    def _alone(
        self, weights: Sequence[int], at: tuple[int, int, int, int], value: int
    ) -> Place:
        x, y, left, low = at
        for number, kind in enumerate(self.kinds):
            for width, height, turned in kind.ways:
                fits = width <= self.across[x] and height <= self.along[y]
                if weights[number] == value and fits:
                    return Place(number, 0, left, low, width, height, turned)
        raise LookupError(at)


def _fits(kind: Kind, across: Sequence[int], along: Sequence[int]) -> Whole:
    fits = np.zeros((len(across), len(along)), dtype=np.int64)
    for width, height, _turned in kind.ways:
        fits |= np.outer(np.array(across) >= width, np.array(along) >= height)
    return fits


def _padded(pairs: Sequence[Sequence[tuple[int, int]]]) -> tuple[Whole, Whole]:
    """Give first and rest parts as tables; the place after the last stands for none."""
    most = max((len(row) for row in pairs), default=0) or 1
    tables = np.full((2, len(pairs), most), len(pairs), dtype=np.int64)
    for place, row in enumerate(pairs):
        for column, (first, rest) in enumerate(row):
            tables[:, place, column] = first, rest
    return tables[0], tables[1]
