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
from studio.maths.cutting.kinds import Column, Cut, Kind, Planned, Strip, strip_heights
from studio.maths.cutting.listing import Filled, Floors, Listed, Stack
from studio.maths.cutting.strip_lists import StripLists
from studio.maths.cutting.two_stage import TwoStage, Whole

WITHOUT_END = 10**6
# Of more kinds than these nothing worth having can be listed in time.
MOST_KINDS = 24
# How many strips of a long list are looked at for what is left of the demand.
PROMISING = 2000


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


class ThreeStage:
    """Strips of stacks; ``equal`` says that a stack is of one width throughout."""

    is_exact = False

    def __init__(
        self, kinds: Sequence[Kind], width: int, *, equal: bool, lists: bool = True
    ) -> None:
        self.kinds = tuple(kinds)
        self.width = width
        self.heights = strip_heights(kinds, width)
        upright = [Kind(k.height, k.width, k.count, k.turns) for k in kinds]
        self.stacks = TwoStage(upright, self.heights[-1], equal=equal)
        widths = [w for w in self.stacks.heights if w <= width]
        self.widths = np.array(widths, dtype=np.int64)
        # Below twice the least side nothing can be stacked, and two_stage is exact.
        self.flat = TwoStage(kinds, width, equal=False)
        least = min(min(kind.width, kind.height) for kind in kinds)
        self.flat_rows = bisect_left(self.heights, 2 * least)
        self.demand = [kind.count for kind in kinds]
        self.columns = np.array(self.heights, dtype=np.int64)
        self.lists: StripLists | None = None
        if lists and len(kinds) <= MOST_KINDS:
            self.lists = StripLists(
                self.heights, width, self.full_stacks, self.most_of_each
            )

    def price(self, weights: Sequence[int], limits: Sequence[int]) -> ThreeStagePrices:
        """Give what the best strip of each height may be worth under the weights."""
        return ThreeStagePrices(self, weights, limits)

    @property
    def unlisted(self) -> list[int]:
        return [row for row in range(len(self.heights)) if self.known(row) is None]

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

    def most_of_each(self) -> Whole:
        """Give how many of each kind that are wanted a strip of each row can hold."""
        many = len(self.kinds)
        found = np.zeros((len(self.heights), many), dtype=np.int64)
        for kind in range(many):
            weights = [int(kind == other) for other in range(many)]
            stacks = self.stacks.price(weights, [WITHOUT_END] * many)
            worth = stacks.worth[: len(self.widths), self.columns]
            found[:, kind] = self.across(worth, self.width).layers[-1][:, -1]
        return np.minimum(found, self.demand)

    def known(self, row: int) -> Listed | None:
        """Give the list of all full strips of a row, if there is one."""
        return None if self.lists is None else self.lists.known(row)

    def every_filling(self, row: int) -> Filled | None:
        """Give what the full strips of a row hold; None if they are not all listed."""
        listed = self.known(row)
        return None if listed is None else listed.counts

    def fillings_above(self, row: int, floors: Floors) -> Filled | None:
        """Give what the full strips of a row hold that are worth enough, if few are."""
        return None if self.lists is None else self.lists.above(row, floors)

    def quick(self, left: Sequence[int], room: int | None = None) -> Planned:
        """Give a strip without stacks, at once."""
        return self.flat.quick(left, room)

    def strip_of(self, row: int, counts: Sequence[int]) -> Planned:
        """Give a strip of the list that holds so many of each kind."""
        lists = self.lists
        if lists is None:
            raise LookupError(row)
        return Planned(
            self.heights[row],
            tuple(counts),
            lambda: self.cut(row, lists.stacks_for(row, counts), counts),
        )

    def cut(self, row: int, stacks: Sequence[Stack], limits: Sequence[int]) -> Strip:
        """Set stacks side by side, leaving out what is beyond a limit."""
        left, columns = list(limits), list[Column]()
        for stack in stacks:
            taken = [min(a, b) for a, b in zip(stack.counts, left, strict=True)]
            left = [a - b for a, b in zip(left, taken, strict=True)]
            columns.append(self.column(stack.place, taken))
        return Strip(self.heights[row], tuple(c for c in columns if c.cuts))

    def deepen(self, seconds: float, tallest: int) -> bool:
        """List what was too much at first; say whether there is anything new."""
        return self.lists is not None and self.lists.deepen(seconds, tallest)

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
        self, pricer: ThreeStage, weights: Sequence[int], limits: Sequence[int]
    ) -> None:
        self._pricer = pricer
        self._weights = weights
        self._limits = limits
        self._unlisted = pricer.unlisted
        self.values = [0] * len(pricer.heights)
        if self._unlisted:
            self._bound_unlisted()
        self.hopes = list(self.values)
        self._best: dict[int, int] = {}
        self._wanted = np.array(limits, dtype=np.float64)
        self._scales = np.array(weights, dtype=np.float64)
        self._are_all_wanted = list(limits) == pricer.demand
        for row in range(len(pricer.heights)):
            self._look_up(row)

    def _bound_unlisted(self) -> None:
        """Take g where there is no list, and flat strips where nothing is stacked."""
        pricer, weights, limits = self._pricer, self._weights, self._limits
        self._stacks = pricer.stacks.price(weights, limits)
        worth = self._stacks.worth[: len(pricer.widths), pricer.columns]
        self._across = pricer.across(worth[:, self._unlisted], pricer.width)
        all_of_it = sum(w * n for w, n in zip(weights, limits, strict=True))
        for place, row in enumerate(self._unlisted):
            self.values[row] = min(all_of_it, int(self._across.layers[-1][place, -1]))
        if self._unlisted[0] < pricer.flat_rows:
            self._flat = pricer.flat.price(weights, limits)
            for row in self._flat_unlisted:
                self.values[row] = self._flat.values[row]

    @property
    def _flat_unlisted(self) -> list[int]:
        return [row for row in self._unlisted if row < self._pricer.flat_rows]

    def strip(self, row: int) -> Planned:
        """Give a strip of the list that is worth most, or follow g back."""
        listed = self._pricer.known(row)
        if listed is None and row < self._pricer.flat_rows:
            return self._flat.strip(row)
        if listed is None:
            return self._trace(row)
        place, pricer, limits = self._best[row], self._pricer, self._limits
        made = np.minimum(listed.counts[place], self._wanted).astype(np.int64)
        return Planned(
            pricer.heights[row],
            tuple(made.tolist()),
            lambda: pricer.cut(row, listed.stacks_of(place), limits),
        )

    def _look_up(self, row: int) -> None:
        """Take the worth of the best strip of the list, where there is a list."""
        listed = self._pricer.known(row)
        if listed is None:
            return
        worth = listed.counts @ self._scales
        self._best[row] = int(np.argmax(worth))
        self.values[row] = self.hopes[row] = int(worth[self._best[row]])
        if not self._are_all_wanted:
            self._look_among(row, listed, worth)

    def _look_among(self, row: int, listed: Listed, worth: Filled) -> None:
        """Look for what is worth most of what is still wanted, among the best."""
        among = np.arange(len(worth))
        if len(worth) > PROMISING:
            among = np.argpartition(worth, -PROMISING)[-PROMISING:]
        held = np.minimum(listed.counts[among], self._wanted)
        still = held @ self._scales
        best = int(np.argmax(still))
        self._best[row], self.hopes[row] = int(among[best]), int(still[best])

    def _trace(self, row: int) -> Planned:
        """Follow g back, and again over what is left once a kind is used up."""
        pricer, height = self._pricer, self._pricer.heights[row]
        left, stacked, room = list(self._limits), list[Stack](), self._pricer.width
        stacks = self._stacks
        places = self._across.places(self._unlisted.index(row), room)
        while places:
            for place in places:
                counts = stacks.counts(place, height)
                if any(c > a for a, c in zip(left, counts, strict=True)):
                    break
                stacked.append(Stack(place, int(pricer.widths[place]), tuple(counts)))
                left = [a - c for a, c in zip(left, counts, strict=True)]
                room -= int(pricer.widths[place])
            else:
                break
            stacks = pricer.stacks.price(self._weights, left)
            worth = stacks.worth[: len(pricer.widths), [height]]
            places = pricer.across(worth, room).places(0, room)
        made = tuple(a - b for a, b in zip(self._limits, left, strict=True))
        return Planned(height, made, lambda: pricer.cut(row, stacked, made))
