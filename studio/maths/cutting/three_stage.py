"""The most that one strip can hold in 3E and 3N, for every strip height at once.

    s_w(h) = worth of the best stack of width w and height h, at most limit_i of a kind
    g_h(x) = most of g_h(x − w) + s_w(h) over the widths w ≤ x,   V_h ≤ g_h(cloth)

A stack is a strip that stands upright, so that two_stage prices it with the sides
changed over. g looks at the limits in each stack, not in the whole strip: where its
best strip holds no kind too often, V_h = g_h exactly; elsewhere ``closer`` lists
columns one after another, under g as the bound of what may still come.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from studio.maths.cutting.fillings import binary_parts, full_counts
from studio.maths.cutting.kinds import Column, Cut, Kind, Strip, strip_heights
from studio.maths.cutting.lattice import is_small, list_from_table
from studio.maths.cutting.listing import Listed, Stack, list_strips, unbeaten
from studio.maths.cutting.two_stage import TwoStage, TwoStagePrices, Whole

MOST_STACKS = 200
MOST_IN_TABLE = 3000


@dataclass(frozen=True)
class Across:
    """g_h(x) after each part, and the parts: so many columns of one width."""

    layers: list[Whole]
    parts: list[tuple[int, int]]
    widths: list[int]

    def places(self, row: int, room: int) -> list[int]:
        """Follow g back to its columns, widest first."""
        found: list[int] = []
        for step in range(len(self.parts) - 1, 0, -1):
            if self.layers[step][row, room] != self.layers[step - 1][row, room]:
                place, size = self.parts[step]
                found += [place] * size
                room -= size * self.widths[place]
        return found


LISTING_STEPS = 4000
STEPS_A_SECOND = 40_000
FEW_PIECES = 40
WITHOUT_END = 10**6
FEW_STEPS = 1500


class ThreeStage:
    """Strips of stacks; ``equal`` says that a stack is of one width throughout."""

    is_exact = False

    def __init__(
        self, kinds: Sequence[Kind], width: int, *, equal: bool, lists: bool = True
    ) -> None:
        self.kinds = tuple(kinds)
        self.width = width
        self.lists = lists
        self.heights = strip_heights(kinds, width)
        upright = [Kind(k.height, k.width, k.count, k.turns) for k in kinds]
        self.stacks = TwoStage(upright, self.heights[-1], equal=equal)
        widths = [w for w in self.stacks.heights if w <= width]
        self.widths = np.array(widths, dtype=np.int64)
        # Below twice the least side nothing can be stacked, and two_stage is exact.
        self.flat = TwoStage(kinds, width, equal=False)
        least = min(min(kind.width, kind.height) for kind in kinds)
        self.flat_rows = bisect_left(self.heights, 2 * least)
        self._demand = [kind.count for kind in kinds]
        self.steps = LISTING_STEPS
        self.most_stacks = MOST_STACKS
        self._alone: dict[int, list[int]] = {}
        self._lists: dict[int, Listed | None] = {}
        self._stacks_of: dict[
            tuple[int, tuple[int, ...]], tuple[tuple[Stack, ...], tuple[int, ...]]
        ] = {}
        self._columns = np.array(self.heights, dtype=np.int64)

    def price(self, weights: Sequence[int], limits: Sequence[int]) -> ThreeStagePrices:
        """Give what the best strip of each height may be worth under the weights."""
        stacks = self.stacks.price(weights, limits)
        flat = self.flat.price(weights, limits) if self._has_flat_unlisted else None
        worth = stacks.worth[: len(self.widths), self._columns]
        return ThreeStagePrices(self, (weights, limits), stacks, worth, flat)

    @property
    def _has_flat_unlisted(self) -> bool:
        return any(self.known(row) is None for row in range(self.flat_rows))

    def across(self, worth: Whole, room: int) -> Across:
        """Fill a room with columns, one row for each height of the worths."""
        layer = np.zeros((worth.shape[1], room + 1), dtype=np.int64)
        layers, parts = [layer], [(0, 0)]
        for place, width in enumerate(self.widths.tolist()):
            for size in binary_parts(room // width):
                step, more = size * width, (size * worth[place])[:, None]
                better = layer.copy()
                np.maximum(
                    layer[:, step:], layer[:, :-step] + more, out=better[:, step:]
                )
                layer = better
                layers.append(layer)
                parts.append((place, size))
        return Across(layers, parts, self.widths.tolist())

    def listed(self, row: int, limits: Sequence[int], steps: int) -> Listed | None:
        """List the strips of a row that no other beats; None if there are too many."""
        limits = [min(pair) for pair in zip(limits, self._most(row), strict=True)]
        small = is_small(limits)
        most = MOST_IN_TABLE if small else self.most_stacks
        stacks = self.full_stacks(row, limits, most)
        if stacks is None:
            return None
        listed = list_from_table(stacks, self.width, limits) if small else None
        return listed or list_strips(stacks, self.width, limits, steps)

    def full_stacks(
        self, row: int, limits: Sequence[int], most: int
    ) -> list[Stack] | None:
        """List the full stacks of a row; None if one width has too many."""
        height, stacks = self.heights[row], list[Stack]()
        for place, width in enumerate(self.widths.tolist()):
            cuts = [self.stacks.cut_in(n, place) for n in range(len(self.kinds))]
            sizes = [cut.width if cut else height + 1 for cut in cuts]
            full = full_counts(sizes, limits, height, most)
            if full is None:
                return None
            stacks += [Stack(place, width, counts) for counts in full]
        return stacks

    def _most(self, row: int) -> list[int]:
        """Give how many of each kind alone a strip of a row can hold."""
        if row not in self._alone:
            kinds = range(len(self.kinds))
            self._alone[row] = [self._alone_in(row, kind) for kind in kinds]
        return self._alone[row]

    def _alone_in(self, row: int, kind: int) -> int:
        many = len(self.kinds)
        weights = [int(kind == other) for other in range(many)]
        stacks = self.stacks.price(weights, [WITHOUT_END] * many)
        worth = stacks.worth[: len(self.widths), [self.heights[row]]]
        return int(self.across(worth, self.width).layers[-1][0, -1])

    def full_counts(
        self, row: int, limits: Sequence[int], most: int
    ) -> list[tuple[int, ...]] | None:
        """List what the strips of a row hold that no other beats, up to the limits."""
        listed = self.known(row)
        if listed is None and row < self.flat_rows:
            return self.flat.full_counts(row, limits, most)
        if listed is None and sum(limits) <= FEW_PIECES:
            listed = self.listed(row, limits, FEW_STEPS)
        if listed is None:
            return None
        held = np.minimum(listed.counts, np.array(limits, dtype=np.int64))
        # One way for each; what it holds beyond the limits is left out when it is cut.
        held, first = np.unique(held, axis=0, return_index=True)
        kept = unbeaten(held)
        if len(kept) > most:
            return None
        found = []
        for place in kept:
            counts = tuple(held[place].tolist())
            self._stacks_of[row, counts] = listed.stacks[first[place]], counts
            found.append(counts)
        return found

    def strip_of(self, row: int, counts: tuple[int, ...]) -> Strip:
        """Give a strip that was listed."""
        if (row, counts) not in self._stacks_of:
            return self.flat.strip_of(row, counts)
        stacks, limits = self._stacks_of[row, counts]
        return self.strip_from(row, stacks, limits)

    def strip_from(
        self, row: int, stacks: Sequence[Stack], limits: Sequence[int]
    ) -> Strip:
        """Set stacks side by side, leaving out what is beyond a limit."""
        left, columns = list(limits), list[Column]()
        for stack in stacks:
            taken = [min(a, b) for a, b in zip(stack.counts, left, strict=True)]
            left = [a - b for a, b in zip(left, taken, strict=True)]
            columns.append(self.column(stack.place, taken))
        return Strip(self.heights[row], tuple(c for c in columns if c.cuts))

    def deepen(self, seconds: float, tallest: int) -> bool:
        """List what was too much at first; say whether there is anything new."""
        rows = [
            row
            for row, listed in self._lists.items()
            if listed is None and self.heights[row] <= tallest
        ]
        self.steps = int(seconds * STEPS_A_SECOND / (len(rows) or 1))
        self.most_stacks *= 4
        for row in rows:
            self._lists[row] = self.listed(row, self._demand, self.steps)
        return any(self._lists[row] is not None for row in rows)

    def known(self, row: int) -> Listed | None:
        if not self.lists:
            return None
        if row not in self._lists:
            self._lists[row] = self.listed(row, self._demand, self.steps)
        return self._lists[row]

    def column(self, place: int, counts: Sequence[int]) -> Column:
        """Stack so many of each kind in a column of one width and strip height."""
        cuts: list[Cut] = []
        for number, count in enumerate(counts):
            cut = self.stacks.cut_in(number, place)
            if cut is not None:
                cuts += [Cut(number, cut.height, cut.width, cut.turned)] * count
        cuts.sort(key=lambda cut: (-cut.width, -cut.height))
        return Column(int(self.widths[place]), tuple(cuts))


class ThreeStagePrices:
    """What the best strip of each height may be worth, and strips that are."""

    def __init__(
        self,
        pricer: ThreeStage,
        asked: tuple[Sequence[int], Sequence[int]],
        stacks: TwoStagePrices,
        worth: Whole,
        flat: TwoStagePrices | None,
    ) -> None:
        weights, limits = asked
        self._pricer = pricer
        self._weights = weights
        self._limits = limits
        self._stacks = stacks
        self._flat = flat
        self._unlisted = [
            row for row in range(len(pricer.heights)) if pricer.known(row) is None
        ]
        self.values = [0] * len(pricer.heights)
        if self._unlisted:
            self._across = pricer.across(worth[:, self._unlisted], pricer.width)
            all_of_it = sum(w * n for w, n in zip(weights, limits, strict=True))
            for place, row in enumerate(self._unlisted):
                worth_at_most = int(self._across.layers[-1][place, -1])
                self.values[row] = min(all_of_it, worth_at_most)
        self._best: dict[int, int] = {}
        for row in range(len(pricer.heights)):
            self._look_up(row)
        self.hopes = self.values

    def strip(self, row: int) -> Strip:
        """Give a strip of the list that is worth most, or follow g back."""
        listed = self._pricer.known(row)
        if listed is None and self._flat and row < self._pricer.flat_rows:
            return self._flat.strip(row)
        if listed is None:
            return self._trace(row)
        stacks = listed.stacks[self._best[row]]
        return self._pricer.strip_from(row, stacks, self._limits)

    def _look_up(self, row: int) -> None:
        """Take the worth of the best strip of the list, where there is a list."""
        listed = self._pricer.known(row)
        if listed is None and self._flat and row < self._pricer.flat_rows:
            self.values[row] = self._flat.values[row]
        if listed is None:
            return
        held = np.minimum(listed.counts, np.array(self._limits, dtype=np.int64))
        worth = held @ np.array(self._weights, dtype=np.int64)
        self._best[row] = int(np.argmax(worth))
        self.values[row] = int(worth[self._best[row]])

    def _trace(self, row: int) -> Strip:
        """Follow g back, and again over what is left once a kind is used up."""
        pricer, height = self._pricer, self._pricer.heights[row]
        left, columns, room = list(self._limits), list[Column](), self._pricer.width
        stacks = self._stacks
        places = self._across.places(self._unlisted.index(row), room)
        while places:
            for place in places:
                counts = stacks.counts(place, height)
                if any(c > a for a, c in zip(left, counts, strict=True)):
                    break
                columns.append(pricer.column(place, counts))
                left = [a - c for a, c in zip(left, counts, strict=True)]
                room -= int(pricer.widths[place])
            else:
                break
            stacks = pricer.stacks.price(self._weights, left)
            worth = stacks.worth[: len(pricer.widths), [height]]
            places = pricer.across(worth, room).places(0, room)
        return Strip(height, tuple(column for column in columns if column.cuts))
