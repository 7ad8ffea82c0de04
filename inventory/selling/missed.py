"""What was probably missed while a thing was out: a guess, never a sale.

    likely = rate while in stock x weeks out
    low, high: nine in ten would be at least low, nine in ten at most high, of a
    negative binomial count over the weeks out, since the rate itself is not known

It stands beside the sales and in no total, share or rate.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.demand import DAYS_IN_A_WEEK, Rate


@dataclass(frozen=True)
class Missed:
    """How many more might have been sold, four times in five from low to high."""

    days_out: float
    low: int
    likely: float
    high: int
    sentence: str


def missed_while_out(rate: Rate, days_out: float) -> Missed | None:
    """Guess what a size missed on the days it was out; None where nothing is known."""
    if not rate.belief.exposure:
        return None
    if days_out <= 0:
        return Missed(0.0, 0, 0.0, 0, "It was never out, so nothing was missed.")
    weeks = days_out / DAYS_IN_A_WEEK
    wanted = rate.belief.times(weeks)
    low, high = wanted.smallest_with(0.1), wanted.smallest_with(0.9)
    likely = rate.per_week * weeks
    return Missed(days_out, low, likely, high, _sentence(days_out, low, likely, high))


def _sentence(days_out: float, low: int, likely: float, high: int) -> str:
    out = f"Out for {days_out:g} {'day' if days_out == 1 else 'days'}"
    if not high:
        return f"{out}: hardly any sale was missed."
    return (
        f"{out}: about {round(likely)} more may have been wanted, {low} to {high}. "
        "This is a guess and counts in no total."
    )
