"""The most that one strip can hold in 2E and 2N, for every strip height at once.

    V_h(w) = most of Σ w_i a_i with Σ width_i a_i ≤ width of the cloth, a_i ≤ limit_i

a bounded knapsack in whole numbers (from memory: Gilmore and Gomory 1965). A piece
lies the way that takes least width among those its strip allows; turning it the other
way can only need more. Counts are parted into 1, 2, 4 … so that few steps are needed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from studio.maths.cutting.fillings import binary_parts
from studio.maths.cutting.kinds import Column, Cut, Kind, Planned, Strip, strip_heights
from studio.maths.cutting.listing import Filled, Floors, Stack, list_strips, useful

LISTING_WORK = 20_000
WORK_ABOVE = 300_000

Whole = NDArray[np.int64]


@dataclass(frozen=True)
class Span:
    """The rows of heights in which a kind lies one way."""

    first: int
    end: int
    cut: Cut


class TwoStage:
    """Strips of single pieces, all as high as the strip (``equal``) or lower too."""

    is_exact = True

    def __init__(self, kinds: Sequence[Kind], width: int, *, equal: bool) -> None:
        self.kinds = tuple(kinds)
        self.width = width
        self.equal = equal
        self.heights = strip_heights(kinds, width)
        self.spans = [self._spans(number) for number in range(len(kinds))]
        self._listed: dict[int, Filled | None] = {}

    def price(self, weights: Sequence[int], limits: Sequence[int]) -> TwoStagePrices:
        """Give the worth of the best strip of each height under the weights."""
        layer = np.zeros((len(self.heights), self.width + 1), dtype=np.int64)
        layers, parts = [layer], [(0, 0)]
        for number, weight in enumerate(weights):
            for size in self._parts(number, weight, limits[number]):
                layer = self._with_part(layer, number, size, weight)
                layers.append(layer)
                parts.append((number, size))
        return TwoStagePrices(self, weights, limits, layers, parts)

    def deepen(self, seconds: float, tallest: int) -> bool:
        """Say that there is nothing more to find out."""
        return False

    def every_filling(self, row: int) -> Filled | None:
        """Give what the full strips of a row hold; None if there are too many."""
        if row not in self._listed:
            self._listed[row] = self._list(row, LISTING_WORK, None)
        return self._listed[row]

    def fillings_above(self, row: int, floors: Floors) -> Filled | None:
        """Give what the full strips of a row hold that are worth enough, if few are."""
        return self._list(row, WORK_ABOVE, floors)

    def _list(self, row: int, work: int, floors: Floors | None) -> Filled | None:
        cuts = [self.cut_in(number, row) for number in range(len(self.kinds))]
        stacks = useful([self._alone(cut) for cut in cuts if cut is not None])
        limits = [kind.count for kind in self.kinds]
        listed = list_strips(stacks, self.width, limits, work, floors)
        return None if listed is None else listed.counts

    def _alone(self, cut: Cut) -> Stack:
        counts = tuple(int(cut.kind == kind) for kind in range(len(self.kinds)))
        return Stack(cut.kind, cut.width, counts)

    def quick(self, left: Sequence[int], room: int | None = None) -> Planned:
        """Give a strip for the tallest piece that is left, filled as it comes.

        With ``room`` no strip is taller; it is empty where no piece fits.
        """
        found = [self._lowest(number, room) for number, n in enumerate(left) if n]
        row = max((one for one in found if one is not None), default=None)
        counts, across = [0] * len(left), self.width
        for cut in [] if row is None else self._tallest_first(row):
            counts[cut.kind] = min(left[cut.kind], across // cut.width)
            across -= counts[cut.kind] * cut.width
        return self.strip_of(row or 0, counts)

    def _tallest_first(self, row: int) -> list[Cut]:
        cuts = [self.cut_in(number, row) for number in range(len(self.kinds))]
        return sorted(
            (cut for cut in cuts if cut is not None), key=lambda cut: -cut.height
        )

    def _lowest(self, number: int, room: int | None) -> int | None:
        """Give the row of the lowest strip that holds a kind, if the room is enough."""
        row = min((span.first for span in self.spans[number]), default=None)
        if row is None or (room is not None and self.heights[row] > room):
            return None
        return row

    def strip_of(self, row: int, counts: Sequence[int]) -> Planned:
        """Give the strip of a row that holds so many of each kind."""
        return Planned(self.heights[row], tuple(counts), lambda: self._cut(row, counts))

    def _cut(self, row: int, counts: Sequence[int]) -> Strip:
        columns = []
        for number, count in enumerate(counts):
            cut = self.cut_in(number, row)
            if cut is not None:
                columns += [Column(cut.width, (cut,))] * count
        columns.sort(key=lambda column: (-column.height, -column.width))
        return Strip(self.heights[row], tuple(columns))

    def cut_in(self, number: int, row: int) -> Cut | None:
        """Give the way a kind lies in a strip of this row, if it can."""
        for span in self.spans[number]:
            if span.first <= row < span.end:
                return span.cut
        return None

    def _spans(self, number: int) -> tuple[Span, ...]:
        ways = [self._way(number, height) for height in self.heights]
        spans = []
        for cut, rows in groupby(range(len(ways)), key=ways.__getitem__):
            found = list(rows)
            if cut is not None:
                spans.append(Span(found[0], found[-1] + 1, cut))
        return tuple(spans)

    def _way(self, number: int, height: int) -> Cut | None:
        fitting = [
            Cut(number, *way)
            for way in self.kinds[number].ways
            if way[0] <= self.width
            and (way[1] == height if self.equal else way[1] <= height)
        ]
        return min(fitting, key=lambda cut: (cut.width, cut.turned), default=None)

    def _parts(self, number: int, weight: int, limit: int) -> Iterator[int]:
        if weight <= 0 or not self.spans[number]:
            return
        narrowest = min(span.cut.width for span in self.spans[number])
        yield from binary_parts(min(limit, self.width // narrowest))

    def _with_part(self, layer: Whole, number: int, size: int, weight: int) -> Whole:
        better = layer.copy()
        for span in self.spans[number]:
            step = size * span.cut.width
            if step <= self.width:
                rows = slice(span.first, span.end)
                np.maximum(
                    layer[rows, step:],
                    layer[rows, : self.width + 1 - step] + size * weight,
                    out=better[rows, step:],
                )
        return better


class TwoStagePrices:
    """What the best strip of each height is worth, and which strip that is."""

    def __init__(
        self,
        pricer: TwoStage,
        weights: Sequence[int],
        limits: Sequence[int],
        layers: list[Whole],
        parts: list[tuple[int, int]],
    ) -> None:
        self._pricer = pricer
        self._weights = weights
        self._limits = limits
        self._layers = layers
        self._parts = parts
        self.values: list[int] = layers[-1][:, -1].tolist()
        self.hopes = self.values

    @property
    def worth(self) -> Whole:
        """Give the most that each row holds in each width up to the whole."""
        return self._layers[-1]

    def strip(self, row: int) -> Planned:
        """Follow the best strip of a row back to its pieces, and fill its rest."""
        counts, room = self._followed(row, self._pricer.width)
        return self._pricer.strip_of(row, self._filled(row, counts, room))

    def counts(self, row: int, room: int) -> list[int]:
        """Give what the best filling of a room holds."""
        return self._followed(row, room)[0]

    def _followed(self, row: int, room: int) -> tuple[list[int], int]:
        counts = [0] * len(self._pricer.kinds)
        for step in range(len(self._parts) - 1, 0, -1):
            if self._layers[step][row, room] == self._layers[step - 1][row, room]:
                continue
            number, size = self._parts[step]
            cut = self._pricer.cut_in(number, row)
            if cut is not None:
                counts[number] += size
                room -= size * cut.width
        return counts, room

    def _filled(self, row: int, counts: list[int], room: int) -> list[int]:
        for number, limit in enumerate(self._limits):
            cut = self._pricer.cut_in(number, row)
            if cut is not None:
                more = min(limit - counts[number], room // cut.width)
                counts[number] += more
                room -= more * cut.width
        return counts
