"""Demand: rates while in stock, how sure they are, and how many are enough.

Days without stock are not exposure, so  rate = sold / weeks in stock.  Without a
belief beforehand the interval is Garwood's exact Poisson interval

    low = G(a/2; sold) / weeks        high = G(1 - a/2; sold + 1) / weeks

where G is the quantile of a gamma variable of that shape. With a belief
Gamma(shape, weeks) it is the interval of Gamma(shape + sold, weeks + weeks in
stock). The count over a coming spell is then negative binomial: its variance is
mean + mean^2 / shape, wider than Poisson because the rate is not known. Without a
belief beforehand that count uses shape = sold + 1/2 (the rule of Jeffreys, from
memory). Sources: Garwood 1936 and Gelman et al., Bayesian Data Analysis, both from
memory; sums for two selling slots worked by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import comb, inf, isfinite, sqrt

from studio.errors import StudioError
from studio.maths.binomials import hits_at_least, hits_at_most
from studio.maths.chances import (
    gamma_quantile,
    negative_binomial,
    negative_binomial_at_most,
)

DAYS_IN_A_WEEK = 7
LUCK_BELOW = 0.05
LUCK_WORTH_COUNTING = 1 / 10_000
MOST_EXACT = 200
_SPREADS = 12
_MOST_COUNTED = 100_000


class NoLimitToServe(StudioError):
    """A service that no number can give."""

    def __init__(self, service: float) -> None:
        self.service = service
        super().__init__(
            "No number is enough to serve everybody for certain. "
            "Ask for a chance below 1, please."
        )


class NothingKnown(StudioError):
    """Neither a sale, nor a day in stock, nor a belief beforehand."""

    def __init__(self) -> None:
        super().__init__(
            "Nothing is known of this demand yet. Type your own guess, please."
        )


@dataclass(frozen=True)
class Belief:
    """What is held of a rate: gamma with this shape, worth this much exposure."""

    shape: float
    exposure: float

    @property
    def mean(self) -> float:
        """Return the expected rate for one unit of exposure."""
        return self.shape / self.exposure

    def after(self, sold: int, exposure: float) -> Belief:
        """Learn from a count over some exposure that was not sold out."""
        return Belief(self.shape + sold, self.exposure + exposure)

    def times(self, factor: float) -> Belief:
        """Return the belief of a spell that draws so many times as much."""
        return Belief(self.shape, self.exposure / factor)

    @property
    def spread(self) -> float:
        """Return the spread of a count over one unit of exposure."""
        return sqrt(self.mean + self.mean**2 / self.shape)

    def chance_of_more(self, count: int) -> float:
        """Return the chance that more than this are wanted."""
        return max(0.0, 1.0 - negative_binomial_at_most(count, *self._size_and_p))

    def expected_sold(self, offered: int) -> float:
        """Return how many of those offered are expected to be sold."""
        total, at_most = 0.0, 0.0
        for k in range(offered):
            at_most += negative_binomial(k, *self._size_and_p)
            total += 1.0 - at_most
        return total

    def smallest_with(self, service: float) -> int:
        """Return the smallest number that is enough with this chance."""
        if service >= 1:
            raise NoLimitToServe(service)
        size, p = self._size_and_p
        # Twelve spreads below the mean nothing is left that could be counted.
        first = max(0, int(self.mean - _SPREADS * self.spread))
        chance = at_most = negative_binomial(first, size, p)
        for count in range(first, _MOST_COUNTED):
            if at_most >= service:
                return count
            chance *= (size + count) / (count + 1) * (1 - p)
            at_most += chance
        raise NoLimitToServe(service)

    def smallest_when_rounded(self, most_chance: float = 0.05) -> int:
        """Return the smallest number that runs out at most this often.

        The chance that more is wanted is rounded to 0.01 before it is compared: the
        house rule for declaring a repeat.
        """
        count = 0
        while round(self.chance_of_more(count), 2) > most_chance:
            count += 1
        return count

    @property
    def _size_and_p(self) -> tuple[float, float]:
        return self.shape, self.exposure / (self.exposure + 1)


@dataclass(frozen=True)
class Rate:
    """Sales a week while in stock, with what 4 in 5 and 19 in 20 would cover."""

    sold: int
    days_in_stock: float
    per_week: float
    low_80: float
    high_80: float
    low_95: float
    high_95: float
    belief: Belief
    sentence: str

    @property
    def known(self) -> bool:
        """Say whether there was anything to learn from."""
        return isfinite(self.high_95)


@dataclass(frozen=True)
class Enough:
    """How many are enough over a spell, and how often."""

    count: int
    chance: float
    expected: float
    sentence: str


@dataclass(frozen=True)
class Difference:
    """Whether one rate is proved higher than another; ``luck`` is the chance of it."""

    proved: bool
    luck: float
    sentence: str


def rate_while_in_stock(
    sold: int, days_in_stock: float, prior: Belief | None = None
) -> Rate:
    """Return the weekly rate while in stock; ``prior`` counts its exposure in weeks."""
    weeks = days_in_stock / DAYS_IN_A_WEEK
    belief = (prior or Belief(0.5, 0.0)).after(sold, weeks)
    low_shape = belief.shape if prior else float(sold)
    high_shape = belief.shape if prior else sold + 1.0
    exposure = belief.exposure
    low_80, high_80 = _interval(low_shape, high_shape, exposure, 0.80)
    low_95, high_95 = _interval(low_shape, high_shape, exposure, 0.95)
    per_week = low_shape / exposure if exposure else 0.0
    return Rate(
        sold=sold,
        days_in_stock=days_in_stock,
        per_week=per_week,
        low_80=low_80,
        high_80=high_80,
        low_95=low_95,
        high_95=high_95,
        belief=belief,
        sentence=_rate_sentence(sold, days_in_stock, per_week, low_80, high_80),
    )


def enough_for(rate: Rate, days: float, service: float) -> Enough:
    """Return the smallest number that is enough for these days with this chance."""
    if not rate.belief.exposure:
        raise NothingKnown
    if days <= 0:
        return Enough(0, 1.0, 0.0, "No days to cover: none are needed.")
    coming = rate.belief.times(days / DAYS_IN_A_WEEK)
    count = coming.smallest_with(service)
    chance = 1.0 - coming.chance_of_more(count)
    sentence = (
        f"{count} are enough for {days:g} days {100 * chance:.0f} times in 100; "
        f"about {coming.mean:.1f} are expected to be wanted."
    )
    return Enough(count, chance, coming.mean, sentence)


def share(rates: Sequence[Rate]) -> tuple[float, ...]:
    """Split the demand over sizes by rate while in stock, not by sales."""
    total = sum(rate.per_week for rate in rates)
    if not total:
        return tuple(1.0 / len(rates) for _ in rates)
    return tuple(rate.per_week / total for rate in rates)


def proved_different(a: Rate, b: Rate) -> Difference:
    """Test whether two rates differ: given all sales, a's are binomial if they do not.

    ``luck`` is twice the smaller tail, at most 1; below 1 in 20 counts as proved.
    """
    days = a.days_in_stock + b.days_in_stock
    sales = a.sold + b.sold
    if not (a.days_in_stock and b.days_in_stock and sales):
        return Difference(False, 1.0, "There is too little to compare yet.")
    part = Fraction(a.days_in_stock) / Fraction(days)
    luck = min(1.0, 2 * _smaller_tail(a.sold, sales, part))
    sentence = (
        f"{_shown(a.per_week)} a week against {_shown(b.per_week)}: a gap that luck "
        f"alone makes {_how_often(luck)}"
    )
    if luck < LUCK_BELOW:
        return Difference(True, luck, f"{sentence}. It counts as proved.")
    return Difference(False, luck, f"{sentence}, so it is not proved.")


def family_belief(sold: Sequence[int], exposures: Sequence[float]) -> Belief | None:
    """Learn from all sizes of a family what to believe of one of them.

    By moments (Marshall 1991, from memory): g = all sold / all exposure,
    phi = weighted variance of the rates - g / mean exposure, shape = g^2 / phi,
    exposure = g / phi. None when the sizes show no difference: give each size g.
    """
    total = sum(exposures)
    if not total or not sum(sold):
        return None
    g = sum(sold) / total
    scatter = sum(t * (n / t - g) ** 2 for n, t in zip(sold, exposures, strict=True))
    phi = scatter / total - g * len(exposures) / total
    return Belief(g * g / phi, g / phi) if phi > 0 else None


def _interval(
    low_shape: float, high_shape: float, exposure: float, cover: float
) -> tuple[float, float]:
    if not exposure:
        return 0.0, inf
    tail = (1 - cover) / 2
    return (
        gamma_quantile(tail, low_shape, exposure),
        gamma_quantile(1 - tail, high_shape, exposure),
    )


def _rate_sentence(
    sold: int, days: float, per_week: float, low: float, high: float
) -> str:
    if not isfinite(high):
        return "It was never in stock, so nothing is known of its demand."
    many = str(sold) if sold else "None"
    start = f"{many} sold in {days:g} days in stock"
    if not sold:
        return f"{start}: likely no more than {_shown(high)} a week."
    likely = f"likely {_shown(low)} to {_shown(high)}"
    return f"{start}: {_shown(per_week)} a week, {likely}."


def _shown(per_week: float) -> str:
    return f"{per_week:.1f}" if per_week >= 1 else f"{per_week:.2f}"


def _smaller_tail(count: int, total: int, part: Fraction) -> float:
    if total > MOST_EXACT:
        # Exact sums over years of sales would take minutes.
        chance = float(part)
        return min(
            hits_at_most(count, total, chance), hits_at_least(count, total, chance)
        )
    # In whole numbers over one denominator: sums of fractions would shorten each one.
    mine, whole = part.numerator, part.denominator
    ways = [
        comb(total, k) * mine**k * (whole - mine) ** (total - k)
        for k in range(total + 1)
    ]
    tail = min(sum(ways[: count + 1]), sum(ways[count:]))
    return float(Fraction(tail, whole**total))


def _how_often(luck: float) -> str:
    if luck >= 0.1:
        return f"about {round(10 * luck)} times in 10"
    if luck < LUCK_WORTH_COUNTING:
        return "less than 1 time in 10,000"
    return f"about 1 time in {round(1 / luck):,}"
