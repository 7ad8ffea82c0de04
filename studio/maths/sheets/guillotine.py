"""The heaviest sheet a saw can cut, each kind used as often as it fits.

    V(x, y) = most of  a piece that fits,
                       V(p, y) + V(x − p, y),  V(x, q) + V(x, y − q)

over the raster places of both sides, in whole numbers (Gilmore and Gomory 1966, from
memory). Where the places are too many, sizes are counted in a coarser unit
(coarsening).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from studio.maths.sheets import coarsening, points
from studio.maths.sheets.problem import Pattern, Problem, Spot

Whole = NDArray[np.int64]
MOST_PLACES = 12_000


class SawTable:
    """The places of one problem, ready to weigh sheets under any weights."""

    def __init__(self, problem: Problem, unit: int = 1) -> None:
        self.problem = problem
        self.unit = unit
        sides = _sides(self.problem)
        self.across = points.raster(sides[0], self.problem.width)
        self.down = points.raster(sides[1], self.problem.height)
        self.splits_across = [_splits(self.across, i) for i in range(len(self.across))]
        self.splits_down = [_splits(self.down, j) for j in range(len(self.down))]
        self.padded_down = _padded(self.splits_down)

    def value(self, weights: Sequence[int]) -> int:
        """Give the most that one sheet can weigh."""
        return int(self._filled(weights)[-1, -1])

    def best(self, weights: Sequence[int]) -> Pattern:
        """Lay out one sheet of most weight, in the units of the problem."""
        values = self._filled(weights)
        spots: list[Spot] = []
        todo = [(len(self.across) - 1, len(self.down) - 1, 0, 0)]
        while todo:
            i, j, x, y = todo.pop()
            if not values[i, j]:
                continue
            placed = self._piece_at(weights, i, j, int(values[i, j]))
            if placed:
                spots.append(Spot(placed[0], x * self.unit, y * self.unit, placed[1]))
            else:
                todo += self._parted(values, i, j, (x, y))
        return tuple(spots)

    def _filled(self, weights: Sequence[int]) -> Whole:
        base = self._single(weights)
        values = np.zeros_like(base)
        for i, (first, other) in enumerate(self.splits_across):
            row = base[i]
            if first:
                row = np.maximum(row, (values[first] + values[other]).max(axis=0))
            values[i] = _closed(row, *self.padded_down)
        return values

    def _single(self, weights: Sequence[int]) -> Whole:
        across, down = np.array(self.across), np.array(self.down)
        base = np.zeros((len(across), len(down)), dtype=np.int64)
        for kind, weight in zip(self.problem.kinds, weights, strict=True):
            for width, height, _ in kind.ways:
                fits = np.outer(across >= width, down >= height)
                base = np.maximum(base, np.where(fits, weight, 0))
        return base

    def _piece_at(
        self, weights: Sequence[int], i: int, j: int, value: int
    ) -> tuple[int, bool] | None:
        for number, kind in enumerate(self.problem.kinds):
            for width, height, turned in kind.ways:
                fits = width <= self.across[i] and height <= self.down[j]
                if fits and weights[number] == value:
                    return number, turned
        return None

    def _parted(
        self, values: Whole, i: int, j: int, at: tuple[int, int]
    ) -> list[tuple[int, int, int, int]]:
        x, y = at
        first, other = self.splits_across[i]
        for a, b in zip(first, other, strict=True):
            if values[a, j] + values[b, j] == values[i, j]:
                return [(a, j, x, y), (b, j, x + self.across[a], y)]
        first, other = self.splits_down[j]
        for a, b in zip(first, other, strict=True):
            if values[i, a] + values[i, b] == values[i, j]:
                return [(i, a, x, y), (i, b, x, y + self.down[a])]
        return []


def table_for(problem: Problem, *, over: bool) -> SawTable | None:
    """Give the finest table of not too many places, or None where none is of use.

    ``over`` asks for weights that no sheet can exceed, else for real sheets.
    """
    smallest = min(min(kind.width, kind.height) for kind in problem.kinds)
    unit = coarsening.first_unit(problem)
    rounded = coarsening.rounded_down if over else coarsening.rounded_up
    while unit <= smallest:
        coarser = rounded(problem, unit)
        if _places(coarser) <= MOST_PLACES:
            return SawTable(coarser, unit)
        unit = unit * 5 // 4 + 1
    return None


def _places(problem: Problem) -> int:
    across, down = _sides(problem)
    wide = points.raster(across, problem.width)
    return len(wide) * len(points.raster(down, problem.height))


def _sides(problem: Problem) -> tuple[list[int], list[int]]:
    ways = [
        (width, height)
        for kind in problem.kinds
        for width, height, _ in kind.ways
        if width <= problem.width and height <= problem.height
    ]
    return [width for width, _ in ways], [height for _, height in ways]


def _splits(places: Sequence[int], i: int) -> tuple[list[int], list[int]]:
    first = [n for n in range(1, i) if places[n] * 2 <= places[i]]
    return first, [points.snapped(places, places[i] - places[n]) for n in first]


def _padded(both: Sequence[tuple[list[int], list[int]]]) -> tuple[Whole, Whole]:
    """Write the ways to part each place in two as a table; place 0 is worth nothing."""
    longest = max(len(first) for first, _ in both)
    shape = (len(both), max(1, longest))
    lower, rest = np.zeros(shape, dtype=np.int64), np.zeros(shape, dtype=np.int64)
    for i, (first, other) in enumerate(both):
        lower[i, : len(first)] = first
        rest[i, : len(other)] = other
    return lower, rest


def _closed(row: Whole, lower: Whole, rest: Whole) -> Whole:
    """Cut downward again and again until nothing grows."""
    while True:
        grown: Whole = np.maximum(row, (row[lower] + row[rest]).max(axis=1))
        if np.array_equal(grown, row):
            return grown
        row = grown
