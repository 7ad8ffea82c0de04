"""What an earlier selling day tells: how many went, and over how much of a day.

    exposure = share of the day's demand seen before it sold out x what the day draws

A day that never sold out was seen whole. One that sold out at a known minute was seen
as far as the shape of an hour says; then the count over the exposure is the whole
story. One that sold out at an unknown minute says only "at least". What a day draws is
1 for an ordinary one; price, hour and repeat multiply it. Source: counts over exposure,
as in Gelman et al., Bayesian Data Analysis (from memory).

The shape of an hour is learned from tallies of days that did not sell out:

    share by a minute = (worth x house share + gone by then) / (worth + gone in all)

the mean of a Dirichlet belief worth so many sales after so many counted ones.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from studio.errors import StudioError

# Share of an hour's demand seen by each minute: a rule of the house until her own
# tallies say better.
HOUSE_SHAPE = ((0, 0), (10, 22), (20, 45), (30, 62), (42, 80), (50, 91), (60, 100))
HOUSE_WORTH_SALES = 60
LEAST_SEEN = Fraction(1, 100)


class DayThatDrawsNothing(StudioError):
    """A day without exposure, from which nothing can be learned."""

    def __init__(self, draws: Fraction) -> None:
        self.draws = draws
        super().__init__(
            f"A day that draws {float(draws):g} of an ordinary one cannot be learned "
            "from. Give a share above nought, please."
        )


@dataclass(frozen=True)
class PastDay:
    """One line on one earlier day; ``seen`` is None where the minute is not known."""

    sold: int
    sold_out: bool = False
    seen: Fraction | None = Fraction(1)
    draws: Fraction = Fraction(1)

    def __post_init__(self) -> None:
        if self.draws <= 0:
            raise DayThatDrawsNothing(self.draws)

    @property
    def exposure(self) -> Fraction | None:
        """Return the ordinary days' worth that was seen, or None for "at least"."""
        if not self.sold_out:
            return self.draws
        if self.seen is None:
            return None
        return self.draws * max(LEAST_SEEN, min(Fraction(1), self.seen))

    def as_on(self, draws: Fraction) -> int:
        """Return what would have gone on a day that draws so much, rounded half up."""
        scaled = self.sold * draws / self.draws
        return int(scaled + Fraction(1, 2))


@dataclass(frozen=True)
class HourShape:
    """Share of the demand seen by each minute of an hour; straight lines between."""

    points: tuple[tuple[int, Fraction], ...]

    def share_seen(self, minute: int, lasts_minutes: int = 60) -> Fraction:
        """Return the share seen by a minute; a longer day is drawn to scale."""
        at = Fraction(60 * max(0, minute), max(1, lasts_minutes))
        for (before, low), (after, high) in pairwise(self.points):
            if at <= after:
                return low + (at - before) / (after - before) * (high - low)
        return Fraction(1)


@dataclass(frozen=True)
class Tallied:
    """How many had gone by some minutes of one hour that did not sell out."""

    gone_by: tuple[tuple[int, int], ...]
    lasts_minutes: int = 60

    @property
    def total(self) -> int:
        """Return how many went in the whole hour."""
        return self.gone_by[-1][1] if self.gone_by else 0

    def gone(self, minute: Fraction) -> Fraction:
        """Return how many had gone by a minute; straight lines between tallies."""
        known = [(0, 0), *self.gone_by, (self.lasts_minutes, self.total)]
        place = max(1, bisect_left([at for at, _ in known], minute))
        (before, low), (after, high) = (
            known[place - 1],
            known[min(place, len(known) - 1)],
        )
        if after == before:
            return Fraction(high)
        return low + (minute - before) / Fraction(after - before) * (high - low)


HOUSE_HOUR = HourShape(tuple((at, Fraction(share, 100)) for at, share in HOUSE_SHAPE))


def learned_shape(
    tallies: Sequence[Tallied],
    house: HourShape = HOUSE_HOUR,
    worth_sales: int = HOUSE_WORTH_SALES,
) -> HourShape:
    """Return the shape that her tallies and the house shape make together."""
    counted = worth_sales + sum(hour.total for hour in tallies)
    if not counted:
        return house
    return HourShape(
        tuple(
            (at, (worth_sales * share + _gone_by(tallies, at)) / counted)
            for at, share in house.points
        )
    )


def _gone_by(tallies: Sequence[Tallied], minute: int) -> Fraction:
    return sum(
        (hour.gone(Fraction(minute * hour.lasts_minutes, 60)) for hour in tallies),
        Fraction(0),
    )
