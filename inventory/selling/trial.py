"""A first small batch that can tell a flop from a keeper, its rule written down first.

With ``c`` the number that has to be sold and T the weeks in stock until the review,

    P(count >= c | flop rate x T)  <= the chance allowed of keeping a flop
    P(count >= c | keep rate x T)  >= 1 - the chance allowed of stopping a keeper

for Poisson counts. The smallest such c, and for it the fewest whole weeks, make the
trial; c pieces are enough, since selling out before the review is a yes as well. This
is the plan of acceptance by defects, read upwards (Cameron 1952, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from math import ceil, inf

from inventory.demand import DAYS_IN_A_WEEK, Belief
from studio.days import show_day
from studio.errors import StudioError
from studio.maths.chances import gamma_at_most, gamma_quantile

MOST_WEEKS = 52
MOST_PIECES = 200
USUAL_CHANCE = 0.1
_TINY = 1e-9


class RatesOutOfOrder(StudioError):
    """A flop that sells as fast as a keeper, or a rate below nought."""

    def __init__(self, flop_per_week: float, keep_per_week: float) -> None:
        self.flop_per_week = flop_per_week
        self.keep_per_week = keep_per_week
        super().__init__(
            "What you would keep has to sell faster than a flop, and a flop at nought "
            "a week or more. Change one of the two, please."
        )


class ChanceOutOfRange(StudioError):
    """A chance of going wrong that is not between nought and a half."""

    def __init__(self, chance: float) -> None:
        self.chance = chance
        super().__init__(
            "The chance of a wrong answer has to lie above 0 and below one half. "
            "One in ten is usual."
        )


class TrialCannotTell(StudioError):
    """No batch within the longest time tells the two apart."""

    def __init__(self, most_weeks: int, weeks_needed: int | None) -> None:
        self.most_weeks = most_weeks
        self.weeks_needed = weeks_needed
        needs = (
            f"It takes {weeks_needed} weeks in stock. Allow that long"
            if weeks_needed
            else "Two rates so close are not told apart by a small batch. Set them "
            "further apart"
        )
        super().__init__(
            f"No trial of {most_weeks} weeks can tell the two apart. {needs}, or "
            "accept a wrong answer more often."
        )


@dataclass(frozen=True)
class Trial:
    """The trial as agreed before it starts."""

    quantity: int
    keep_at: int
    weeks: int
    begins_on: date
    review_on: date
    flop_per_week: float
    keep_per_week: float
    keeps_a_flop: float
    stops_a_keeper: float
    likely_kept: float | None
    stuck_pence: int
    rule: str
    sentences: tuple[str, ...]


class Decision(Enum):
    """What a trial says."""

    KEEP = "keep"
    STOP = "stop"
    WAIT = "wait"
    CANNOT_SAY = "cannot say"


@dataclass(frozen=True)
class Verdict:
    """The decision by the rule, and in words."""

    decision: Decision
    sentence: str


def plan_trial(
    *,
    begins_on: date,
    flop_per_week: float,
    keep_per_week: float,
    keeps_a_flop: float = USUAL_CHANCE,
    stops_a_keeper: float = USUAL_CHANCE,
    most_weeks: int = MOST_WEEKS,
    belief: Belief | None = None,
    cost_pence: int = 0,
    made_in: int = 1,
) -> Trial:
    """Return the smallest trial that tells; ``made_in`` pieces come off one sheet.

    Raises RatesOutOfOrder, ChanceOutOfRange, or TrialCannotTell.
    """
    _check(flop_per_week, keep_per_week, (keeps_a_flop, stops_a_keeper))
    rates, chances = (flop_per_week, keep_per_week), (keeps_a_flop, stops_a_keeper)
    keep_at, weeks = _smallest(rates, chances, most_weeks)
    quantity = ceil(keep_at / made_in) * made_in if made_in > 1 else keep_at
    review_on = begins_on + timedelta(days=DAYS_IN_A_WEEK * weeks)
    likely = belief.times(weeks).chance_of_more(keep_at - 1) if belief else None
    flops_sold = _expected_sold(flop_per_week * weeks, quantity)
    return Trial(
        quantity=quantity,
        keep_at=keep_at,
        weeks=weeks,
        begins_on=begins_on,
        review_on=review_on,
        flop_per_week=flop_per_week,
        keep_per_week=keep_per_week,
        keeps_a_flop=gamma_at_most(flop_per_week * weeks, keep_at),
        stops_a_keeper=1 - gamma_at_most(keep_per_week * weeks, keep_at),
        likely_kept=likely,
        stuck_pence=round((quantity - flops_sold) * cost_pence),
        rule=_rule(quantity, keep_at, weeks, review_on),
        sentences=_sentences(rates, keep_at, weeks, likely),
    )


def judge_trial(trial: Trial, sold: int, weeks_in_stock: float) -> Verdict:
    """Decide by the rule; returns are taken off ``sold`` before it is given."""
    if sold < 0 or weeks_in_stock < 0:
        return Verdict(
            Decision.CANNOT_SAY,
            "More came back than was sold. Look at the corrections before deciding.",
        )
    if sold >= trial.keep_at:
        return Verdict(Decision.KEEP, f"{_sold(sold, trial)}: keep it.")
    left = trial.weeks - weeks_in_stock
    if left > _TINY:
        return Verdict(
            Decision.WAIT,
            f"{_sold(sold, trial)}, and it has to be in stock {left:.1f} weeks more: "
            "wait.",
        )
    return Verdict(Decision.STOP, f"{_sold(sold, trial)}: stop it.")


def rate_that_repays(
    once_pence: int, gain_pence: int, weeks_to_repay: float
) -> float | None:
    """Return the weekly rate that repays what a size costs once; None when none does.

    What sells more slowly is a flop: files, engraving and test cloth are not earned
    back in the time she gives it.
    """
    if gain_pence <= 0 or weeks_to_repay <= 0:
        return None
    return max(0, once_pence) / gain_pence / weeks_to_repay


def _check(flop: float, keep: float, chances: tuple[float, float]) -> None:
    if not 0 <= flop < keep:
        raise RatesOutOfOrder(flop, keep)
    for chance in chances:
        if not 0 < chance < 0.5:
            raise ChanceOutOfRange(chance)


def _smallest(
    rates: tuple[float, float], chances: tuple[float, float], most_weeks: int
) -> tuple[int, int]:
    for keep_at in range(1, MOST_PIECES + 1):
        weeks = _weeks_for(keep_at, rates, chances)
        if weeks is not None:
            if weeks <= most_weeks:
                return keep_at, weeks
            raise TrialCannotTell(most_weeks, weeks)
    raise TrialCannotTell(most_weeks, None)


def _weeks_for(
    keep_at: int, rates: tuple[float, float], chances: tuple[float, float]
) -> int | None:
    """Return the fewest whole weeks in which this number tells, or None."""
    most = gamma_quantile(chances[0], keep_at) / rates[0] if rates[0] else inf
    least = gamma_quantile(1 - chances[1], keep_at) / rates[1]
    weeks = max(1, ceil(least - _TINY))
    return weeks if weeks <= most + _TINY else None


def _expected_sold(mean: float, quantity: int) -> float:
    return sum(gamma_at_most(mean, k) for k in range(1, quantity + 1))


def _rule(quantity: int, keep_at: int, weeks: int, review_on: date) -> str:
    return (
        f"Make {quantity}. Keep the size if {keep_at} or more are sold in {weeks} "
        f"{'week' if weeks == 1 else 'weeks'} in stock, or as soon as they are; stop it "
        f"if fewer are. Decide on {show_day(review_on)}, later by each day it is out of "
        "stock. Television, fairs and what comes back do not count."
    )


def _sentences(
    rates: tuple[float, float], keep_at: int, weeks: int, likely: float | None
) -> tuple[str, ...]:
    keeps = gamma_at_most(rates[0] * weeks, keep_at)
    stops = 1 - gamma_at_most(rates[1] * weeks, keep_at)
    told = (
        f"A size that sells {rates[0]:.2g} a week is kept {100 * keeps:.0f} times in "
        "100 by this rule.",
        f"A size that sells {rates[1]:.2g} a week is stopped {100 * stops:.0f} times in "
        "100 by this rule.",
    )
    if likely is None:
        return told
    return (*told, f"By the sizes made it is kept {100 * likely:.0f} times in 100.")


def _sold(sold: int, trial: Trial) -> str:
    return f"{sold or 'None'} sold, {trial.keep_at} are needed to keep it"
