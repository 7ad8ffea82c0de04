"""Plans of whole patterns: fill one after another, dive, and settle the last few.

A pattern is a strip off the bolt, or one pre-cut piece; its height is what it costs.
A dive fixes the whole part of what the linear program wants, or what is nearest to a
whole, and solves again; shaken prices make the next dive end elsewhere. What is left
when few patterns are still to come is settled exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random
from time import monotonic
from typing import Generic, Protocol, TypeVar

import numpy as np

from studio.maths.cutting.candidates import Candidates, Cut
from studio.maths.cutting.kinds import Kind
from studio.maths.cutting.listing import Filled, Floors
from studio.maths.cutting.programs import (
    Filling,
    Pattern,
    PatternProgram,
    choose_whole,
    shortest_whole,
)

FINENESS = 1_000_000
TINY = 1e-7
MOST_WAYS = 6000
MOST_PROMISING = 300
FEW_CUTS = 5
MOST_CHOOSING = 0.1
SETTLING = 0.4
HURRIED = 0.7
FEW_PATTERNS = 8
FEW_WAYS = 300

P = TypeVar("P", bound=Pattern)
Made = TypeVar("Made", bound=Pattern, covariant=True)


class Prices(Protocol[Made]):
    """Under some weights: no pattern of a row is worth more than its value.

    A hope is what a pattern that ``strip`` gives may be worth; never more than that.
    """

    @property
    def values(self) -> Sequence[int]: ...

    @property
    def hopes(self) -> Sequence[int]: ...

    def strip(self, row: int) -> Made: ...


class Pricer(Protocol[Made]):
    """One way of cutting, and what its patterns are worth."""

    heights: tuple[int, ...]
    is_exact: bool

    def price(self, weights: Sequence[int], limits: Sequence[int]) -> Prices[Made]: ...

    def every_filling(self, row: int) -> Filled | None: ...

    def fillings_above(self, row: int, floors: Floors) -> Filled | None: ...

    def strip_of(self, row: int, counts: Sequence[int]) -> Made: ...

    def quick(self, left: Sequence[int], room: int | None = None) -> Made: ...

    def deepen(self, seconds: float, tallest: int) -> bool: ...


class Plans(Generic[P]):
    """The best plan so far, and the ways to a better one."""

    def __init__(
        self,
        kinds: Sequence[Kind],
        pricer: Pricer[P],
        seconds: float,
        tidy: Callable[[Sequence[P], Sequence[Kind]], tuple[P, ...]],
    ) -> None:
        self.began = monotonic()
        self.ends = self.began + seconds
        self.kinds = tuple(kinds)
        self.demand = [kind.count for kind in kinds]
        self.areas = tuple(kind.area for kind in kinds)
        self.pricer = pricer
        self.heights = pricer.heights
        self.tidy = tidy
        self.program: PatternProgram[P] = PatternProgram(self.heights, self.areas)
        self.best: tuple[P, ...] = ()
        self.length = 0
        # The same cut list gives the same plan every time; chance guards no secret.
        self.chance = Random(1)  # noqa: S311
        # Weights, and the most that a pattern of each height is worth under them.
        self.cuts: list[Cut] = []

    @property
    def left(self) -> float:
        return self.ends - self.now()

    def now(self) -> float:
        return monotonic()

    def take(self, patterns: Sequence[P]) -> None:
        """Keep the patterns, without what nobody asked for, if they are the shortest."""
        kept = self.tidy(patterns, self.kinds)
        length = sum(pattern.height for pattern in kept)
        if kept and (not self.best or length < self.length):
            self.best, self.length = kept, length

    def start(self) -> None:
        """Take the better of two first plans: one at once, one strip by strip."""
        self.take(self.greedy(0.0))
        self.take(self.greedy(HURRIED))

    def greedy(self, share: float) -> list[P]:
        """Fill one strip after another with the most cloth for its height.

        What is left after a share of the time is filled as it comes.
        """
        left, strips = list(self.demand), []
        hurried = (1 - share) * self.left
        while any(left):
            if self.left > hurried:
                strip = self.densest(left)
                self.program.add(strip)
            else:
                strip = self.pricer.quick(left)
            for _one in range(self.times(left, strip)):
                strips.append(strip)
                left = self.without(left, strip)
        return strips

    def densest(self, left: Sequence[int]) -> P:
        """Give the strip with the most cloth for its height."""
        prices = self.pricer.price(self.areas, left)
        rows = range(len(self.heights))
        return prices.strip(
            max(rows, key=lambda row: (prices.hopes[row] / self.heights[row], row))
        )

    def times(self, left: Sequence[int], strip: P) -> int:
        """Say how often a strip gives nothing but what is wanted; once at least."""
        made = strip.counts(len(self.kinds))
        return max(
            1, min((a // b for a, b in zip(left, made, strict=True) if b), default=1)
        )

    def without(self, left: Sequence[int], strip: P) -> list[int]:
        counts = strip.counts(len(self.kinds))
        return [max(0, count - made) for count, made in zip(left, counts, strict=True)]

    def dives(self, strips: list[int] | None, times: int, share: float = 1.0) -> bool:
        """Dive several times, shaken, as long as a share of the time that is left lasts.

        Say whether a shorter plan came of it.
        """
        before, keeps = self.length, (1 - share) * self.left
        for time in range(times):
            if self.left <= keeps:
                break
            if time:
                self.program.shake(self.chance)
            self.take(self.dive(strips))
            if self.length < before and strips is not None:
                break
        self.program.calm()
        return self.length < before

    def dive(self, strips: list[int] | None) -> list[P]:
        """Fix whole strips one after another; give none if that leads nowhere."""
        left, chosen = list(self.demand), list[P]()
        rest = None if strips is None else list(strips)
        while any(left):
            if rest is not None and sum(rest) <= FEW_PATTERNS:
                last = self.finish(left, rest)
                if last is not None:
                    return [*chosen, *last] if last else []
            amounts = self.amounts_for(left, rest)
            if amounts is None:
                return []
            for strip in self.whole_strips(amounts):
                chosen.append(strip)
                left = self.without(left, strip)
                if rest is not None:
                    rest[self.heights.index(strip.height)] -= 1
        return chosen

    def finish(self, left: Sequence[int], rest: Sequence[int]) -> list[P] | None:
        """Settle the last few strips exactly: none if they will not do.

        None is given where there are too many ways to list.
        """
        among = Candidates(self.pricer, rest, left, self.cuts[-FEW_CUTS:])
        every = among.found(FEW_WAYS, lists_more=False)
        if every is None:
            return None
        wanted = {h: s for h, s in zip(self.heights, rest, strict=True) if s}
        said, numbers = choose_whole(every, left, wanted, min(self.left, MOST_CHOOSING))
        return self.strips_of(every, numbers) if said == "found" else []

    def strips_of(self, fillings: Sequence[Filling], numbers: Sequence[int]) -> list[P]:
        return [
            self.pricer.strip_of(self.heights.index(height), counts)
            for (height, counts), number in zip(fillings, numbers, strict=True)
            for _one in range(number)
        ]

    def amounts_for(
        self, left: Sequence[int], rest: Sequence[int] | None
    ) -> list[float] | None:
        """Solve what is left in fractions; None if that cannot be done."""
        if rest is None:
            self.program.leave_heights_free()
        else:
            self.program.fix_heights(rest)
        self.program.want(left)
        while self.left > 0 and self.program.solve(self.left):
            if rest is not None and self.program.missing() < TINY:
                return self.program.amounts()
            weights, levels = self.program.weights()
            prices = self.pricer.price(self.whole(weights), left)
            if rest is None:
                levels = [float(height) for height in self.heights]
            if not self.add_better(prices, levels, weights):
                return self.program.amounts() if rest is None else None
        return None

    def whole_strips(self, amounts: Sequence[float]) -> list[P]:
        """Give the whole part of each strip, or the one nearest to a whole."""
        chosen: list[P] = []
        for strip, amount in zip(self.program.strips, amounts, strict=True):
            chosen += [strip] * int(amount + 1e-6)
        if chosen:
            return chosen
        best = max(range(len(amounts)), key=lambda place: amounts[place])
        return [self.program.strips[best]]

    def choose(self, wanted: dict[int, int]) -> bool:
        """Choose whole patterns among those seen so far."""
        seen = [strip for strip in self.program.strips if strip.height in wanted]
        fillings = [(s.height, s.counts(len(self.kinds))) for s in seen]
        seconds = min(self.left, MOST_CHOOSING)
        said, numbers = choose_whole(fillings, self.demand, wanted, seconds)
        if said != "found":
            return False
        self.take([s for s, n in zip(seen, numbers, strict=True) for _one in range(n)])
        return True

    def shorten(self, seconds: float) -> bool:
        """Choose whole patterns among those seen, of any height; say if any is better."""
        before, seen = self.length, self.program.strips
        fillings = [(s.height, s.counts(len(self.kinds))) for s in seen]
        numbers = shortest_whole(fillings, self.demand, before, min(self.left, seconds))
        self.take([s for s, n in zip(seen, numbers, strict=False) for _one in range(n)])
        return self.length < before

    def add_promising(self, weights: tuple[int, ...], unit: float) -> None:
        """Take in the listed patterns that lose least under the weights."""
        losses = []
        for row, height in enumerate(self.heights):
            held = self.pricer.every_filling(row)
            if held is not None:
                loss = height - held @ np.array(weights, dtype=np.float64) * unit
                for place in np.argsort(loss)[:MOST_PROMISING]:
                    losses.append((float(loss[place]), row, held[place]))
        losses.sort(key=lambda one: one[0])
        for _loss, row, counts in losses[:MOST_PROMISING]:
            self.program.add(self.pricer.strip_of(row, counts.astype(int).tolist()))

    def settle(self, every: list[Filling] | None, wanted: dict[int, int]) -> str:
        """Say whether these heights hold a whole plan: "found", "none" or "late"."""
        if every is None:
            return "late"
        said, numbers = choose_whole(every, self.demand, wanted, SETTLING * self.left)
        if said == "found":
            self.take(self.strips_of(every, numbers))
        return said

    def deepen(self, share: float) -> bool:
        """Let the pricer find out more in a share of the time; say whether it did."""
        return self.pricer.deepen(share * self.left, self.length)

    def whole(self, weights: Sequence[float]) -> tuple[int, ...]:
        """Scale weights to whole numbers, rounding down what is no number."""
        top = max((abs(weight) for weight in weights), default=0.0)
        if top <= TINY:
            return (0,) * len(weights)
        return tuple(max(0, round(weight / top * FINENESS)) for weight in weights)

    def add_better(
        self, prices: Prices[P], levels: Sequence[float], weights: Sequence[float]
    ) -> int:
        """Add the strips that are worth more than their height costs."""
        added = 0
        for row, level in enumerate(levels):
            least = level * (1 + TINY) + TINY
            if self.left <= 0:
                break
            if prices.hopes[row] * self.unit(weights) > least:
                strip = prices.strip(row)
                if self.held(strip, weights) > least:
                    added += self.program.add(strip)
        return added

    def unit(self, weights: Sequence[float]) -> float:
        """Give what one of the whole weights stands for."""
        return max((abs(weight) for weight in weights), default=0.0) / FINENESS

    def held(self, strip: P, weights: Sequence[float]) -> float:
        counts = strip.counts(len(self.kinds))
        return sum(w * c for w, c in zip(weights, counts, strict=True))
