"""Everything that one piece of cloth can give, by cuts from edge to edge.

    P(x, y) = what fits alone, or P(x₁, y) + P(x − x₁, y), or P(x, y₁) + P(x, y − y₁)

with counts that no other beats kept at each step: the Pareto set, exact for any number
of stages. Cuts are only made at sums of sides (Herz 1972, from memory). With up to
three sizes this takes a fraction of a second; with four it may take many.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from time import monotonic

import numpy as np
from numpy.typing import NDArray

from studio.maths.cutting.kinds import Kind
from studio.maths.cutting.layout import Place

Vectors = NDArray[np.int64]
Part = tuple[int, int, int, int, Vectors]


class ParetoSets:
    """The Pareto set of every rectangle that cuts can leave of one piece of cloth."""

    def __init__(
        self,
        kinds: Sequence[Kind],
        width: int,
        height: int,
        *,
        seconds: float = 60.0,
        known: Sequence[Vectors] = (),
    ) -> None:
        self.kinds = tuple(kinds)
        self.ends = monotonic() + seconds
        self.across = cut_points([way[0] for k in kinds for way in k.ways], width)
        self.along = cut_points([way[1] for k in kinds for way in k.ways], height)
        self.limits = np.array(
            [min(kind.count, width * height // kind.area) for kind in kinds],
            dtype=np.int64,
        )
        self._shape = tuple(int(limit) + 1 for limit in self.limits[:-1])
        self._sets: dict[tuple[int, int], Vectors] = dict(
            zip(self._cells, known, strict=False)
        )
        self.is_late = not self._fill()

    @property
    def top(self) -> Vectors:
        """Give what the whole piece can be cut into."""
        return self._sets[len(self.across) - 1, len(self.along) - 1]

    @property
    def done(self) -> list[Vectors]:
        """Give the sets that are worked out, in the order of the cells."""
        return list(self._sets.values())

    @property
    def _cells(self) -> list[tuple[int, int]]:
        along = range(len(self.along))
        return [(x, y) for x in range(len(self.across)) for y in along]

    def at(self, x: int, y: int) -> Vectors:
        return self._sets[x, y]

    def places(self, counts: Sequence[int]) -> list[Place]:
        """Say where so many of each kind lie; more of a kind may be laid."""
        found: list[Place] = []
        target = np.array(counts, dtype=np.int64)
        todo = [(len(self.across) - 1, len(self.along) - 1, 0, 0, target)]
        while todo:
            part = todo.pop()
            if part[4].any():
                todo += self._step(part, found)
        return found

    def _step(self, part: Part, found: list[Place]) -> list[Part]:
        """Part a rectangle in two, each with its own counts, or lay one piece in it."""
        x, y, left, low, target = part
        if target.sum() == 1:
            found.append(self._lone(part))
            return []
        for first, rest in splits(self.across, x):
            pair = self._pair(self._sets[first, y], self._sets[rest, y], target)
            if pair is not None:
                beside = left + self.across[first]
                return [(first, y, left, low, pair[0]), (rest, y, beside, low, pair[1])]
        for first, rest in splits(self.along, y):
            pair = self._pair(self._sets[x, first], self._sets[x, rest], target)
            if pair is not None:
                above = low + self.along[first]
                return [(x, first, left, low, pair[0]), (x, rest, left, above, pair[1])]
        if x and self._holds(self._sets[x - 1, y], target):
            return [(x - 1, y, left, low, target)]
        return [(x, y - 1, left, low, target)]

    def _pair(
        self, one: Vectors, other: Vectors, target: Vectors
    ) -> tuple[Vectors, Vectors] | None:
        """Give what each of two parts holds of the target, if they hold all of it."""
        enough = (one[:, None, :] + other[None, :, :] >= target).all(axis=2)
        places = np.argwhere(enough)
        if not len(places):
            return None
        first = np.minimum(one[places[0][0]], target)
        return first, target - first

    def _holds(self, vectors: Vectors, target: Vectors) -> bool:
        return bool((vectors >= target).all(axis=1).any())

    def _lone(self, part: Part) -> Place:
        x, y, left, low, target = part
        number = int(np.argmax(target))
        for width, height, turned in self.kinds[number].ways:
            if width <= self.across[x] and height <= self.along[y]:
                return Place(number, 0, left, low, width, height, turned)
        raise LookupError(part)

    def _fill(self) -> bool:
        for x, y in self._cells[len(self._sets) :]:
            if monotonic() > self.ends:
                return False
            self._sets[x, y] = self._set_at(x, y)
        return True

    def _set_at(self, x: int, y: int) -> Vectors:
        parts = [self._alone(x, y)]
        if x:
            parts.append(self._sets[x - 1, y])
        if y:
            parts.append(self._sets[x, y - 1])
        for first, rest in splits(self.across, x):
            parts.append(self._sums(self._sets[first, y], self._sets[rest, y]))
        for first, rest in splits(self.along, y):
            parts.append(self._sums(self._sets[x, first], self._sets[x, rest]))
        return self._unbeaten(np.concatenate(parts))

    def _alone(self, x: int, y: int) -> Vectors:
        width, height = self.across[x], self.along[y]
        rows = [np.zeros(len(self.kinds), dtype=np.int64)]
        for number, kind in enumerate(self.kinds):
            if any(way[0] <= width and way[1] <= height for way in kind.ways):
                row = np.zeros(len(self.kinds), dtype=np.int64)
                row[number] = min(1, self.limits[number])
                rows.append(row)
        return np.array(rows)

    def _sums(self, one: Vectors, other: Vectors) -> Vectors:
        both = (one[:, None, :] + other[None, :, :]).reshape(-1, len(self.kinds))
        capped: Vectors = np.minimum(both, self.limits)
        return capped

    def _unbeaten(self, vectors: Vectors) -> Vectors:
        """Keep what no other beats, by the most of the last kind beside the others."""
        if not self._shape:
            return np.array([vectors.max(axis=0)], dtype=np.int64)
        best = np.full(self._shape, -1, dtype=np.int64)
        np.maximum.at(best, tuple(vectors[:, :-1].T), vectors[:, -1])
        least = best
        for axis in range(best.ndim):
            least = np.flip(np.maximum.accumulate(np.flip(least, axis), axis), axis)
        kept = (best == least) & (best >= 0)
        for axis in range(best.ndim):
            beyond = np.full_like(least, -1)
            ahead, here = [slice(None)] * best.ndim, [slice(None)] * best.ndim
            ahead[axis], here[axis] = slice(1, None), slice(None, -1)
            beyond[tuple(here)] = least[tuple(ahead)]
            kept &= best > beyond
        places = np.argwhere(kept)
        return np.column_stack([places, best[kept]]).astype(np.int64)


def cells_in(kinds: Sequence[Kind], width: int, height: int) -> int:
    """Count the rectangles that cuts can leave of one piece of cloth."""
    across = cut_points([way[0] for k in kinds for way in k.ways], width)
    along = cut_points([way[1] for k in kinds for way in k.ways], height)
    return len(across) * len(along)


def cut_points(sides: Sequence[int], most: int) -> list[int]:
    """Give the sums of sides up to a length, the whole length last."""
    reached = {0}
    for side in sorted(set(sides)):
        todo = sorted(reached)
        for start in todo:
            while (start := start + side) <= most:
                reached.add(start)
    return sorted((reached - {0}) | {most})


def splits(points: Sequence[int], place: int) -> list[tuple[int, int]]:
    """Pair the places of a first part with those of what it leaves, half of them."""
    whole = points[place]
    found = []
    for first in range(place):
        rest = bisect_right(points, whole - points[first]) - 1
        if rest < 0 or points[first] * 2 > whole:
            break
        found.append((first, rest))
    return found
