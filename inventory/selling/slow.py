"""Slow lines: what waiting is worth, and the price at which speed beats it.

At a rate r a week the k-th piece goes after a gamma time, so with d the weekly cost
of money and of fading, a net price p due then is worth today

    p (r / (r + d))^k      less shelf room  s / d x (1 - (r / (r + d))^k)

averaged over what the rate may be. Waiting for n pieces is worth the sum. Sold now
they beat waiting at any net price above that sum / n; and where a quick price is
known, the pieces worth more than it by waiting are kept. The first formula is the
transform of the gamma distribution; worked by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from inventory.demand import Belief, Rate
from inventory.selling.rate_points import rate_points
from inventory.selling.rates import shown
from studio.errors import StudioError
from studio.money import show_pounds

WEEKS_IN_A_YEAR = 52
SLOW_FROM_WEEKS = 26
LAST_FEW = 6


class WaitingCostsNothing(StudioError):
    """A cost of waiting at which no price is ever too low to wait for."""

    def __init__(self, yearly_share: float) -> None:
        self.yearly_share = yearly_share
        super().__init__(
            "Say what waiting costs in a hundred pounds a year, above nought: what the "
            "money could earn elsewhere, and what the goods lose by fading."
        )


@dataclass(frozen=True)
class WaitingTerms:
    """What a sale brings, what selling one costs, and what a week of waiting costs."""

    price_pence: int
    selling_cost_pence: int = 0
    yearly_share: float = 0.08
    shelf_pence_a_week: float = 0.0

    @property
    def net_pence(self) -> int:
        """Return what one sale leaves at the full price."""
        return self.price_pence - self.selling_cost_pence

    @property
    def weekly_share(self) -> float:
        """Return the weekly cost of waiting as a share of the price."""
        return self.yearly_share / WEEKS_IN_A_YEAR


@dataclass(frozen=True)
class SlowLine:
    """How long a line would take, and from which price on speed beats waiting."""

    name: str
    count: int
    weeks_to_sell: float | None
    least_price_pence: int
    last_price_pence: int
    is_slow: bool
    sentence: str


def judge_slow(
    name: str, count: int, rate: Rate | None, terms: WaitingTerms
) -> SlowLine | None:
    """Judge one line; None when there is none, no price, or nothing known of its rate.

    Raises WaitingCostsNothing.
    """
    if count <= 0 or terms.net_pence <= 0 or rate is None or not rate.belief.exposure:
        return None
    worth = waiting_worth(count, rate.belief, terms)
    least = _price(sum(worth) / count, terms)
    last = _price(worth[-1], terms)
    weeks = count / rate.per_week if rate.per_week else None
    slow = weeks is None or weeks > SLOW_FROM_WEEKS
    sentence = _sentence(name, count, rate.per_week, weeks, slow, least, terms)
    return SlowLine(name, count, weeks, least, last, slow, sentence)


def waiting_worth(count: int, belief: Belief, terms: WaitingTerms) -> tuple[float, ...]:
    """Return what each piece is worth today if it waits its turn, in net pence."""
    cost = terms.weekly_share
    if cost <= 0:
        raise WaitingCostsNothing(terms.yearly_share)
    left = [0.0] * count
    for rate, weight in rate_points(belief):
        once = rate / (rate + cost)
        part = weight
        for k in range(count):
            part *= once
            left[k] += part
    shelf = terms.shelf_pence_a_week / cost
    return tuple(terms.net_pence * one - shelf * (1 - one) for one in left)


def keep_at(worth: Sequence[float], quick_price_pence: int, terms: WaitingTerms) -> int:
    """Return how many to keep back when the rest would go at once at a quick price."""
    quick = quick_price_pence - terms.selling_cost_pence
    return sum(1 for one in worth if one > quick)


def least_pair_price(line: SlowLine, other_price_pence: int) -> int:
    """Return the least price of a slow thing sold together with one that sells."""
    return line.least_price_pence + max(0, other_price_pence)


def last_few(name: str, count: int, out_of_print: bool) -> str | None:
    """Say what to do with the end of a range that cannot be bought again."""
    if not out_of_print or not 0 < count <= LAST_FEW:
        return None
    return (
        f"{name}: the last {count}, and it cannot be bought again. Say so where it is "
        "sold, keep it off television, and sew no sample in it."
    )


def _price(net_pence: float, terms: WaitingTerms) -> int:
    return min(
        terms.price_pence, max(0, ceil(net_pence - 1e-9)) + terms.selling_cost_pence
    )


def _sentence(
    name: str,
    count: int,
    per_week: float,
    weeks: float | None,
    slow: bool,
    least: int,
    terms: WaitingTerms,
) -> str:
    if weeks is None:
        lasts = f"{count} of {name} have sold none yet"
    else:
        lasts = f"{count} of {name} last {how_long(weeks)} at {shown(per_week)} a week"
    if not slow:
        return f"{lasts}: no need to clear them."
    return (
        f"{lasts}. Sold now, any price above {show_pounds(least)} beats waiting for "
        f"{show_pounds(terms.price_pence)}."
    )


def how_long(weeks: float) -> str:
    """Write a stretch of weeks as a person would say it."""
    if weeks < 1:
        return "less than a week"
    if weeks < 16:
        return f"about {round(weeks)} {'week' if round(weeks) == 1 else 'weeks'}"
    if weeks < 2 * WEEKS_IN_A_YEAR:
        return f"about {round(weeks * 12 / WEEKS_IN_A_YEAR)} months"
    return f"about {round(weeks / WEEKS_IN_A_YEAR)} years"
