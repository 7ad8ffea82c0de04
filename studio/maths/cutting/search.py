"""The least length, with a proof beside it, for any way of cutting.

    F_h = patterns of height h;  least Σ h F_h
    for all weights w ≥ 0:  Σ V_h(w) F_h ≥ Σ w_i d_i      (a cut, whole numbers)

V_h(w) is the most that one pattern of height h can hold under the weights, so every
whole F that some plan uses keeps every cut, and the least F under the cuts is a lower
bound. Column generation (Gilmore and Gomory 1965, from memory) finds a violated cut
or says that F will do in fractions; then a plan of these heights is looked for. Where
there is none, F is refused by listing all patterns, or the bound stays where it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic

from studio.maths.cutting.candidates import Candidates
from studio.maths.cutting.heights import Branch, HeightSearch
from studio.maths.cutting.plans import FEW_WAYS, MOST_WAYS, TINY, P, Plans, Prices
from studio.maths.cutting.programs import Filling, fewest_strips

FIRST_DIVES = 8
FIRST_SHARE = 0.2
JUMPING = 0.3
# Where a plan is so far above what is proven, most time goes into a better one.
FAR = 1.035
FAR_SHARE = 0.5
FEW_DIVES = 2
FEW = 1000
DEPTHS = (0.2, 0.5, 1.0)


@dataclass(frozen=True)
class Round:
    """One round of closing in: shares of the time that is left, and what is tried.

    Listing, choosing and closing each take their share. A round that ``lists_more``
    lists the patterns of the heights it tries, where they are not known; a strict one
    takes the lowest bound first.
    """

    listing: float
    choosing: float
    closing: float
    dives: tuple[int, ...] = (4,)
    lists_more: bool = True
    is_strict: bool = False


ROUNDS = (
    Round(0.0, 0.0, 0.2, lists_more=False),
    Round(0.2, 0.3, 0.4),
    Round(0.0, 0.0, 1.0, is_strict=True),
)
LAST = Round(0.0, 0.0, 1.0, dives=(4, 20))


@dataclass(frozen=True)
class Certificate:
    """Why no shorter length will do: weights that give cuts, and refused heights."""

    heights: tuple[int, ...]
    weights: tuple[tuple[int, ...], ...]
    refused: tuple[tuple[int, ...], ...] = ()


class Search(Generic[P]):
    """One search, from a first plan to the last cut."""

    def __init__(self, plans: Plans[P], *, taller_will_do: bool, bound: int) -> None:
        self.plans = plans
        self.program = plans.program
        self.heights = plans.heights
        self.taller_will_do = taller_will_do
        self.bound = bound
        self.cuts = plans.cuts
        self.refused: list[tuple[int, ...]] = []
        self.stuck_at = plans.length
        self._told = 0
        self.newest: tuple[tuple[int, ...], float] = plans.areas, 0.0
        self.round = LAST
        self.tried = 0
        # The heights that were left open, and the round in which they were.
        self.late: dict[tuple[int, ...], Round] = {}

    def run(self) -> None:
        """Close in on the best plan from below."""
        self.learn_simple_cuts()
        self.relax()
        if self.plans.pricer.is_exact:
            self.plans.dives(None, FIRST_DIVES, FIRST_SHARE)
        else:
            self.plans.dives(None, FEW_DIVES)
            for one in ROUNDS:
                self._go_round(one)
        tried = -1
        while self.is_open and tried < self.tried:
            tried = self.tried
            self._go_round(LAST)

    def _go_round(self, one: Round) -> None:
        """Close in, with longer lists and more patterns to choose from."""
        if not self.is_open:
            return
        self.round, self.stuck_at = one, self.plans.length
        if one.listing and self.plans.deepen(one.listing):
            self.relax()
        if one.choosing or (one.is_strict and self.is_far):
            self.plans.add_promising(*self.newest)
            share = FAR_SHARE if self.is_far else one.choosing
            self.plans.shorten(share * self.plans.left)
        if self.is_far and not one.lists_more:
            return
        if not self.plans.pricer.is_exact:
            self.jump()
        self.close(self.plans.ends - (1 - one.closing) * self.plans.left)

    @property
    def is_far(self) -> bool:
        """Say whether a better plan is to be hoped for rather than a proof."""
        return self.plans.length > FAR * self.bound

    @property
    def is_open(self) -> bool:
        """Say whether a proof is missing, and time is left to find it."""
        return self.bound < self.plans.length and self.plans.left > 0

    @property
    def certificate(self) -> Certificate:
        weights = tuple(weights for weights, _values in self.cuts)
        return Certificate(tuple(self.heights), weights, tuple(self.refused))

    def learn_simple_cuts(self) -> None:
        """Count each kind alone, and the area of the largest kinds together."""
        order = sorted(
            range(len(self.plans.kinds)), key=lambda k: -self.plans.kinds[k].area
        )
        for place, kind in enumerate(order):
            if self.plans.left <= 0:
                break
            alone = [0] * len(order)
            alone[kind] = 1
            self.learn(tuple(alone), self.plans.demand)
            large = [0] * len(order)
            for other in order[: place + 1]:
                large[other] = self.plans.kinds[other].area
            if place:
                self.learn(tuple(large), self.plans.demand)

    def relax(self) -> None:
        """Solve the problem in fractions; every step of it gives a cut."""
        self.program.leave_heights_free()
        self.program.want(self.plans.demand)
        while self.plans.left > 0 and self.program.solve(self.plans.left):
            weights, _levels = self.program.weights()
            whole = self.plans.whole(weights)
            self.newest = whole, self.plans.unit(weights)
            prices = self.learn(whole, self.plans.demand)
            if not self.plans.add_better(
                prices, [float(h) for h in self.heights], weights
            ):
                break

    def learn(self, weights: tuple[int, ...], limits: Sequence[int]) -> Prices[P]:
        """Price the weights, and keep the cut they give."""
        prices = self.plans.pricer.price(weights, limits)
        self.keep(weights, prices.values)
        return prices

    def keep(self, weights: tuple[int, ...], values: Sequence[int]) -> None:
        """Keep a cut; all of a plan must be near its worth."""
        self.cuts.append((weights, values))

    def close(self, until: float) -> None:
        """Ask for the fewest strips under the cuts, until a plan has that length."""
        tree, self._told = HeightSearch(self.heights, self.plans.length), 0
        tree.is_strict = self.round.is_strict
        tree.cut(self.heights, self.bound)
        while self.plans.now() < until:
            for weights, values in self.cuts[self._told :]:
                tree.cut(values, self.worth(weights))
            self._told = len(self.cuts)
            self.raise_bound(tree.bound)
            if self.bound >= self.plans.length or tree.bound is None:
                return
            found = tree.step_once(self.plans.length)
            if found:
                self.work_on(tree, *found)

    def jump(self) -> None:
        """Raise the bound by whole strips under all cuts, cut after cut."""
        while self.is_open:
            cuts = [(values, self.worth(weights)) for weights, values in self.cuts]
            found = fewest_strips(
                self.heights, cuts, self.plans.length - 1, JUMPING * self.plans.left
            )
            if found is None or found[0] >= self.plans.length:
                return
            self.bound = max(self.bound, found[0])
            if not self.cut_off(found[1]):
                return

    def work_on(self, tree: HeightSearch, branch: Branch, strips: list[int]) -> None:
        """Try the strips of a branch, and leave open what is to be tried next."""
        said = self.known_of(strips) or self.try_heights(strips)
        if said == "none":
            self.refused.append(tuple(strips))
        if said == "late":
            self.late[tuple(strips)] = self.round
            self.stuck_at = min(self.stuck_at, branch.bound)
        if said == "cut":
            tree.put_back(branch)
        elif said != "found":
            tree.put_back_without(branch, strips, taller_will_do=self.taller_will_do)

    def known_of(self, strips: list[int]) -> str:
        """Say what is known of the strips already, and not worth another try."""
        if tuple(strips) in self.refused or self.misses_cut(strips):
            return "broken"
        before = self.late.get(tuple(strips))
        is_enough = before and before.lists_more and self.round is not LAST
        return "late" if is_enough else ""

    def misses_cut(self, strips: Sequence[int]) -> bool:
        """Say whether the strips break a cut in whole numbers after all."""
        return any(
            sum(v * s for v, s in zip(values, strips, strict=True))
            < self.worth(weights)
            for weights, values in self.cuts
        )

    def raise_bound(self, bound: int | None) -> None:
        """Take the least length of what is open, of what was left, or of the plan."""
        open_at = self.plans.length if bound is None else bound
        self.bound = max(self.bound, min(open_at, self.stuck_at, self.plans.length))

    def length_of(self, strips: Sequence[int]) -> int:
        return sum(
            height * count for height, count in zip(self.heights, strips, strict=True)
        )

    def worth(self, weights: Sequence[int]) -> int:
        return sum(w * d for w, d in zip(weights, self.plans.demand, strict=True))

    def try_heights(self, strips: list[int]) -> str:
        """Find a plan of these heights, or a cut, or a proof that there is no plan."""
        if self.cut_off(strips):
            return "cut"
        wanted = {h: s for h, s in zip(self.heights, strips, strict=True) if s}
        self.tried += 1
        few = self.few_fillings(strips)
        if few is not None and len(few) <= FEW_WAYS:
            return self.plans.settle(few, wanted)
        for dives in self.round.dives:
            if self.plans.left <= 0:
                return "late"
            if self.plans.dives(strips, dives) or self.plans.choose(wanted):
                return "found"
            if few is not None and len(few) <= FEW:
                break
        return self.plans.settle(few, wanted) if self.plans.left > 0 else "late"

    def few_fillings(self, strips: Sequence[int]) -> list[Filling] | None:
        among = Candidates(self.plans.pricer, strips, self.plans.demand, self.cuts)
        most = MOST_WAYS if self.round.lists_more else FEW
        return among.found(most, lists_more=self.round.lists_more)

    def cut_off(self, strips: Sequence[int]) -> bool:
        """Look for weights under which these strips hold too little.

        A point on the way to a plan that is known is tried first: a cut found there
        cuts deeper, and since it spares the plan, it cuts these strips off too.
        """
        plan = [0] * len(strips)
        for strip in self.plans.best:
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
        self.program.want(self.plans.demand)
        while self.plans.left > 0 and self.program.solve(self.plans.left):
            if self.program.value < TINY:
                break
            weights, levels = self.program.weights()
            whole = self.plans.whole(weights)
            prices = self.plans.pricer.price(whole, self.plans.demand)
            held = sum(v * s for v, s in zip(prices.values, point, strict=True))
            if held < self.worth(whole) - 0.5:
                self.keep(whole, prices.values)
                return whole
            if not self.plans.add_better(prices, levels, weights):
                break
        return ()

    def holds(self, strips: Sequence[int], weights: tuple[int, ...]) -> bool:
        """Say whether the strips keep the newest cut."""
        known, values = self.cuts[-1]
        held = sum(v * s for v, s in zip(values, strips, strict=True))
        return known == weights and held >= self.worth(weights)
