"""Fill one pre-cut piece with strips, one after another, never more than is wanted.

Which strips go together is a knapsack over their heights, worked out anew after each
strip, because what it took is then wanted no longer. Both directions are tried: strips
across the piece and strips along it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from studio.maths.cutting.kinds import Kind, Strip
from studio.maths.cutting.layout import Place, lay_strips
from studio.maths.cutting.three_stage import ThreeStage


class PieceFiller:
    """Fills one size of pre-cut piece with strips of stacks."""

    def __init__(self, kinds: Sequence[Kind], stock: tuple[int, int]) -> None:
        upright = [Kind(k.height, k.width, k.count, k.turns) for k in kinds]
        self._ways = [
            (_Strips(kinds, *stock), False),
            (_Strips(upright, stock[1], stock[0]), True),
        ]
        self.kinds = len(kinds)

    def fill(self, weights: Sequence[int], limits: Sequence[int]) -> list[Place]:
        """Give the better of the two fillings, strips across and strips along."""
        fillings = [self._laid(way, weights, limits) for way in self._ways]
        return max(fillings, key=lambda places: sum(weights[p.kind] for p in places))

    def _laid(
        self, way: tuple[_Strips, bool], weights: Sequence[int], limits: Sequence[int]
    ) -> list[Place]:
        strips, is_along = way
        places = lay_strips(strips.fill(weights, limits))
        if not is_along:
            return list(places)
        return [
            Place(p.kind, p.stock, p.y, p.x, p.height, p.width, p.turned)
            for p in places
        ]


class _Strips:
    """Strips across one piece, as many as its height takes."""

    def __init__(self, kinds: Sequence[Kind], width: int, height: int) -> None:
        self.height = height
        self.pricer = ThreeStage(kinds, width, equal=False, lists=False)

    def fill(self, weights: Sequence[int], limits: Sequence[int]) -> list[Strip]:
        left, room, strips = list(limits), self.height, list[Strip]()
        while any(left):
            wanted = [w if n else 0 for w, n in zip(weights, left, strict=True)]
            prices = self.pricer.price(wanted, left)
            row = self._tallest(prices.values, room)
            if row is None:
                break
            strip = prices.strip(row).cut()
            counts = strip.counts(len(left))
            left = [a - b for a, b in zip(left, counts, strict=True)]
            room -= strip.height
            strips.append(strip)
        return strips

    def _tallest(self, values: Sequence[int], room: int) -> int | None:
        """Give the tallest of the strips that are worth most together."""
        heights = self.pricer.heights
        best = [0] * (room + 1)
        # The tallest row among the strips of the best filling of each height.
        tallest: list[int | None] = [None] * (room + 1)
        for h in range(1, room + 1):
            best[h], tallest[h] = best[h - 1], tallest[h - 1]
            for row in range(bisect_right(heights, h)):
                under = h - heights[row]
                if best[under] + values[row] > best[h]:
                    best[h] = best[under] + values[row]
                    tallest[h] = max(row, tallest[under] or 0)
        return tallest[room]
