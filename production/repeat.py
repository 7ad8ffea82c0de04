"""What a repeat slot wants, from the first hour as far as it was seen.

    first hour: belief Gamma(a, b) before; k sold by the time a share w of an hour's
    demand is seen gives Gamma(a + k, b + w), also when the hour stopped because the
    stock ran out
    repeat = first hour x the share that a repeat draws
    number = the smallest for which the chance that more is wanted, rounded to 0.01,
    is at most 0.05

The shape of an hour and the strength of the record are rules of the house until her
own tallies say better. Source: updating a gamma belief by a Poisson count (Gelman et
al., Bayesian Data Analysis, from memory); checked against sums worked by hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from inventory.demand import Belief

# Share of an hour's demand seen by each minute; straight lines between.
HOUR_SHAPE = ((0, 0), (10, 22), (20, 45), (30, 62), (42, 80), (50, 91), (60, 100))
RECORD_WORTH_SALES = 5
USUAL_REPEAT_SHARE = Fraction(55, 100)


@dataclass(frozen=True)
class FirstHour:
    """What one line sold in the first hour, and the minute at which it sold out."""

    sold: int
    sold_out_minute: int | None
    lasts_minutes: int = 60


@dataclass(frozen=True)
class RepeatWants:
    """How many the repeat wants, and the sentences that lead there."""

    number: int
    first_hour: float
    expected: float
    spread: float
    chance_of_more: float
    sentences: tuple[str, ...]


def share_seen(minute: int, lasts_minutes: int = 60) -> Fraction:
    """Return the share of the demand seen by a minute, longer days drawn to scale."""
    at = min(Fraction(60), Fraction(60 * max(0, minute), max(1, lasts_minutes)))
    for (before, low), (after, high) in pairwise(HOUR_SHAPE):
        if at <= after:
            part = (at - before) / (after - before)
            return (low + part * (high - low)) / 100
    return Fraction(1)


def repeat_wants(
    hour: FirstHour, record_mean: Fraction | None, repeat_share: Fraction
) -> RepeatWants:
    """Work out what the repeat wants; ``record_mean`` is the mean of earlier slots."""
    seen = Fraction(1)
    if hour.sold_out_minute is not None:
        seen = share_seen(hour.sold_out_minute, hour.lasts_minutes)
    seen = max(seen, Fraction(1, 100))
    first = before(record_mean).after(hour.sold, float(seen))
    repeat = first.times(float(repeat_share))
    number = repeat.smallest_when_rounded()
    more = repeat.chance_of_more(number)
    return RepeatWants(
        number=number,
        first_hour=first.mean,
        expected=repeat.mean,
        spread=repeat.spread,
        chance_of_more=more,
        sentences=(
            _seen_sentence(hour, seen, first.mean),
            f"A repeat draws {round(100 * repeat_share)} in 100 of that: about "
            f"{repeat.mean:.1f}, give or take {repeat.spread:.1f}.",
            f"{number} would be enough 19 times in 20.",
        ),
    )


def before(record_mean: Fraction | None) -> Belief:
    """Return what is believed of an hour beforehand, as strong as a few sales."""
    if not record_mean:
        return Belief(0.5, 0.0)
    return Belief(RECORD_WORTH_SALES, RECORD_WORTH_SALES / float(record_mean))


def _seen_sentence(hour: FirstHour, seen: Fraction, mean: float) -> str:
    if hour.sold_out_minute is None:
        return f"The first hour sold {hour.sold} with stock left: about {mean:.1f} an hour."
    return (
        f"The first hour sold {hour.sold} by minute {hour.sold_out_minute}, when "
        f"{round(100 * seen)} in 100 of the demand is seen: about {mean:.1f} in a "
        "whole hour."
    )
