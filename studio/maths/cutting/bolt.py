"""The least length off a bolt, with a proof beside it.

    F_h = strips of height h;  least Σ h F_h
    for all weights w ≥ 0:  Σ V_h(w) F_h ≥ Σ w_i d_i      (a cut, whole numbers)

V_h(w) is the most that one strip of height h can hold under the weights, so every
integer F that some plan uses keeps every cut, and the least F under the cuts is a lower
bound. Column generation (Gilmore and Gomory 1965, from memory) finds a violated cut
or says that F will do in fractions; then whole strips are fixed one after another.
Where that fails, F is settled by listing all strips, or the bound stays where it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random
from time import monotonic
from typing import Protocol

from studio.maths.cutting.heights import Branch, HeightSearch
from studio.maths.cutting.kinds import Kind, Stages, Strip, without_surplus
from studio.maths.cutting.programs import Filling, StripProgram, choose_whole
from studio.maths.cutting.two_stage import TwoStage

FINENESS = 1_000_000
TINY = 1e-7
MOST_STRIPS = 6000
FIRST_DIVES = 8
DIVES = 24
MOST_CHOOSING = 0.1
FEW_STRIPS = 5
FEW_WAYS = 300
DEPTHS = (0.2, 0.5, 1.0)


class Prices(Protocol):
    """The worth of one strip of each height under some weights."""

    values: list[int]
    found: list[int]

    def strip(self, row: int) -> Strip: ...


class Pricer(Protocol):
    """One of the four ways of cutting, and what its strips are worth."""

    heights: tuple[int, ...]

    def price(self, weights: Sequence[int], limits: Sequence[int]) -> Prices: ...

    def full_counts(
        self, row: int, limits: Sequence[int], most: int
    ) -> list[tuple[int, ...]] | None: ...

    def strip_of(self, row: int, counts: Sequence[int]) -> Strip: ...


@dataclass(frozen=True)
class Certificate:
    """Why no shorter length will do: weights that give cuts, and refused strips."""

    heights: tuple[int, ...]
    weights: tuple[tuple[int, ...], ...]
    refused: tuple[tuple[int, ...], ...] = ()


@dataclass(frozen=True)
class BoltAnswer:
    """Strips that give all pieces, their length, and the least that is possible."""

    strips: tuple[Strip, ...]
    length: int
    bound: int
    certificate: Certificate
    seconds: float

    @property
    def is_proven(self) -> bool:
        return self.length == self.bound


def least_length(
    kinds: Sequence[Kind], width: int, stages: Stages, *, seconds: float = 1.0
) -> BoltAnswer:
    """Cut all pieces from the least length of cloth that can be found in the time."""
    return Search(kinds, width, stages, seconds).run()


def pricer_for(kinds: Sequence[Kind], width: int, stages: Stages) -> Pricer:
    """Give what prices the strips of one way of cutting."""
    return TwoStage(kinds, width, equal=stages == Stages.TWO_EXACT)


class Search:
    """One search, from the first plan to the last cut."""

    def __init__(
        self, kinds: Sequence[Kind], width: int, stages: Stages, seconds: float
    ) -> None:
        self.began = monotonic()
        self.ends = self.began + seconds
        self.kinds = tuple(kinds)
        self.stages = stages
        self.demand = [kind.count for kind in kinds]
        self.pricer = pricer_for(kinds, width, stages)
        self.heights = self.pricer.heights
        self.program = StripProgram(self.heights, [kind.area for kind in kinds])
        self.best: tuple[Strip, ...] = ()
        self.length = 0
        self.bound = 0
        self.cuts: list[tuple[tuple[int, ...], list[int]]] = []
        self.refused: list[tuple[int, ...]] = []
        self.stuck_at = sum(kind.count * max(kind.width, kind.height) for kind in kinds)
        self.told = 0
        # The same cut list gives the same plan every time; chance guards no secret.
        self.chance = Random(1)  # noqa: S311
        self.listed: dict[int, list[tuple[int, ...]] | None] = {}

    @property
    def left(self) -> float:
        return self.ends - monotonic()

    def run(self) -> BoltAnswer:
        """Find a plan, then close in on it from below."""
        self.take(self.greedy())
        self.learn_simple_cuts()
        self.relax()
        self.dives(None, FIRST_DIVES)
        self.close()
        return BoltAnswer(
            self.best,
            self.length,
            self.bound,
            Certificate(
                self.heights,
                tuple(weights for weights, _values in self.cuts),
                tuple(self.refused),
            ),
            monotonic() - self.began,
        )

    @property
    def taller_will_do(self) -> bool:
        return self.stages != Stages.TWO_EXACT

    # ------------------------------------------------------------ plans

    def take(self, strips: Sequence[Strip]) -> None:
        """Keep the strips if they are the shortest so far."""
        length = sum(strip.height for strip in strips)
        if strips and (not self.best or length < self.length):
            self.best, self.length = without_surplus(strips, self.kinds), length

    def greedy(self) -> list[Strip]:
        """Fill one strip after another with the most cloth for its height."""
        left, strips = list(self.demand), []
        areas = [kind.area for kind in self.kinds]
        while any(left):
            prices = self.pricer.price(areas, left)
            row = max(
                range(len(self.heights)),
                key=lambda row: (prices.found[row] / self.heights[row], row),
            )
            strip = prices.strip(row)
            self.program.add(strip)
            strips.append(strip)
            left = self.without(left, strip)
        return strips

    def without(self, left: Sequence[int], strip: Strip) -> list[int]:
        counts = strip.counts(len(self.kinds))
        return [max(0, count - made) for count, made in zip(left, counts, strict=True)]

    # ------------------------------------------------------------ fractions

    def learn_simple_cuts(self) -> None:
        """Count each kind alone, and the area of the largest kinds together."""
        order = sorted(range(len(self.kinds)), key=lambda k: -self.kinds[k].area)
        for place, kind in enumerate(order):
            alone = [0] * len(order)
            alone[kind] = 1
            self.learn(tuple(alone), self.demand)
            large = [0] * len(order)
            for other in order[: place + 1]:
                large[other] = self.kinds[other].area
            if place:
                self.learn(tuple(large), self.demand)

    def relax(self) -> None:
        """Solve the problem in fractions; every step of it gives a cut."""
        self.program.leave_heights_free()
        self.program.want(self.demand)
        while self.left > 0 and self.program.solve(self.left):
            weights, _levels = self.program.weights()
            prices = self.learn(self.whole(weights), self.demand)
            if not self.add_better(prices, [float(h) for h in self.heights], weights):
                break

    def whole(self, weights: Sequence[float]) -> tuple[int, ...]:
        """Scale weights to whole numbers, rounding down what is no number."""
        top = max((abs(weight) for weight in weights), default=0.0)
        if top <= TINY:
            return (0,) * len(weights)
        return tuple(max(0, round(weight / top * FINENESS)) for weight in weights)

    def learn(self, weights: tuple[int, ...], limits: Sequence[int]) -> Prices:
        """Price the weights, and keep the cut they give."""
        prices = self.pricer.price(weights, limits)
        self.cuts.append((weights, prices.values))
        return prices

    def add_better(
        self, prices: Prices, levels: Sequence[float], weights: Sequence[float]
    ) -> int:
        """Add the strips that are worth more than their height costs."""
        top = max((abs(weight) for weight in weights), default=0.0) or 1.0
        added = 0
        for row, level in enumerate(levels):
            if prices.found[row] / FINENESS * top > level * (1 + TINY) + TINY:
                added += self.program.add(prices.strip(row))
        return added

    # ------------------------------------------------------------ from below

    def close(self) -> None:
        """Ask for the fewest strips under the cuts, until a plan has that length."""
        tree = HeightSearch(self.heights)
        while self.left > 0:
            for weights, values in self.cuts[self.told :]:
                tree.cut(values, self.worth(weights))
            self.told = len(self.cuts)
            self.raise_bound(tree.bound)
            if self.bound >= self.length or tree.bound is None:
                return
            found = tree.step_once(self.length)
            if found:
                self.work_on(tree, *found)

    def work_on(self, tree: HeightSearch, branch: Branch, strips: list[int]) -> None:
        """Try the strips of a branch, and leave open what is to be tried next."""
        said = "broken" if self.misses_cut(strips) else self.try_heights(strips)
        if said == "none":
            self.refused.append(tuple(strips))
        if said == "late":
            self.stuck_at = min(self.stuck_at, branch.bound)
        if said == "cut":
            tree.put_back(branch)
        elif said != "found":
            tree.put_back_without(branch, strips, taller_will_do=self.taller_will_do)

    def misses_cut(self, strips: Sequence[int]) -> bool:
        """Say whether the strips break a cut in whole numbers after all."""
        return any(
            sum(v * s for v, s in zip(values, strips, strict=True))
            < self.worth(weights)
            for weights, values in self.cuts
        )

    def raise_bound(self, bound: int | None) -> None:
        """Take the least length of what is open, of what was left, or of the plan."""
        open_at = self.length if bound is None else bound
        self.bound = max(self.bound, min(open_at, self.stuck_at, self.length))

    def length_of(self, strips: Sequence[int]) -> int:
        return sum(
            height * count for height, count in zip(self.heights, strips, strict=True)
        )

    def worth(self, weights: Sequence[int]) -> int:
        return sum(w * d for w, d in zip(weights, self.demand, strict=True))

    def try_heights(self, strips: list[int]) -> str:
        """Find a plan of these heights, or a cut, or a proof that there is no plan."""
        if self.cut_off(strips):
            return "cut"
        if self.left > 0 and self.dives(strips, DIVES):
            return "found"
        return self.settle(strips) if self.left > 0 else "late"

    def cut_off(self, strips: Sequence[int]) -> bool:
        """Look for weights under which these strips hold too little.

        A point on the way to a plan that is known is tried first: a cut found there
        cuts deeper, and since it spares the plan, it cuts these strips off too.
        """
        plan = [0] * len(strips)
        for strip in self.best:
            plan[self.heights.index(strip.height)] += 1
        for share in DEPTHS:
            point = [
                share * count + (1 - share) * known
                for count, known in zip(strips, plan, strict=True)
            ]
            weights = self.cut_at(point)
            if weights and not self.holds(strips, weights):
                return True
        return False

    def cut_at(self, point: Sequence[float]) -> tuple[int, ...]:
        """Keep a cut that the point breaks, and give its weights if there is one."""
        self.program.fix_heights(point)
        self.program.want(self.demand)
        while self.left > 0 and self.program.solve(self.left):
            if self.program.value < TINY:
                break
            weights, levels = self.program.weights()
            whole = self.whole(weights)
            prices = self.pricer.price(whole, self.demand)
            held = sum(v * s for v, s in zip(prices.values, point, strict=True))
            if held < self.worth(whole) - 0.5:
                self.cuts.append((whole, prices.values))
                return whole
            if not self.add_better(prices, levels, weights):
                break
        return ()

    def holds(self, strips: Sequence[int], weights: tuple[int, ...]) -> bool:
        """Say whether the strips keep the newest cut."""
        known, values = self.cuts[-1]
        held = sum(v * s for v, s in zip(values, strips, strict=True))
        return known == weights and held >= self.worth(weights)

    def dives(self, strips: list[int] | None, times: int) -> bool:
        """Dive several times, shaken; say whether a shorter plan came of it."""
        before = self.length
        for time in range(times):
            if self.left <= 0:
                break
            if time:
                self.program.shake(self.chance)
            self.take(self.dive(strips))
            if self.length < before and strips is not None:
                break
        self.program.calm()
        return self.length < before

    def dive(self, strips: list[int] | None) -> list[Strip]:
        """Fix whole strips one after another; give none if that leads nowhere."""
        left, chosen = list(self.demand), list[Strip]()
        rest = None if strips is None else list(strips)
        while any(left):
            if rest is not None and sum(rest) <= FEW_STRIPS:
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

    def finish(self, left: Sequence[int], rest: Sequence[int]) -> list[Strip] | None:
        """Settle the last few strips exactly: none if they will not do.

        None is given where there are too many ways to list.
        """
        every: list[Filling] = []
        for row, count in enumerate(rest):
            listed = self.pricer.full_counts(row, left, FEW_WAYS) if count else []
            if listed is None or len(every) + len(listed) > FEW_WAYS:
                return None
            every += [(self.heights[row], counts) for counts in listed]
        wanted = {h: s for h, s in zip(self.heights, rest, strict=True) if s}
        said, numbers = choose_whole(every, left, wanted, min(self.left, MOST_CHOOSING))
        return self.strips_of(every, numbers) if said == "found" else []

    def strips_of(
        self, fillings: Sequence[Filling], numbers: Sequence[int]
    ) -> list[Strip]:
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

    def whole_strips(self, amounts: Sequence[float]) -> list[Strip]:
        """Give the whole part of each strip, or the one nearest to a whole."""
        chosen: list[Strip] = []
        for strip, amount in zip(self.program.strips, amounts, strict=True):
            chosen += [strip] * int(amount + 1e-6)
        if chosen:
            return chosen
        best = max(range(len(amounts)), key=lambda place: amounts[place])
        return [self.program.strips[best]]

    def settle(self, strips: Sequence[int]) -> str:
        """Say whether these heights hold a whole plan: "found", "none" or "late"."""
        wanted = {h: s for h, s in zip(self.heights, strips, strict=True) if s}
        seen = [strip for strip in self.program.strips if strip.height in wanted]
        fillings = [(s.height, s.counts(len(self.kinds))) for s in seen]
        said, numbers = choose_whole(
            fillings, self.demand, wanted, min(self.left, MOST_CHOOSING)
        )
        if said == "found":
            self.take(
                [s for s, n in zip(seen, numbers, strict=True) for _one in range(n)]
            )
            return said
        every = self.every_filling(strips)
        if every is None or self.left <= 0:
            return "late"
        said, numbers = choose_whole(every, self.demand, wanted, self.left)
        if said == "found":
            self.take(self.strips_of(every, numbers))
        return said

    def every_filling(self, strips: Sequence[int]) -> list[Filling] | None:
        """List all full strips of the heights in use; None if there are too many."""
        every: list[Filling] = []
        for row, count in enumerate(strips):
            if not count:
                continue
            if row not in self.listed:
                self.listed[row] = self.pricer.full_counts(
                    row, self.demand, MOST_STRIPS
                )
            listed = self.listed[row]
            if listed is None or len(every) + len(listed) > MOST_STRIPS:
                return None
            every += [(self.heights[row], counts) for counts in listed]
        return every
