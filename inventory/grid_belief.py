"""What is believed of a day's demand when some days say only "at least".

Days differ. An ordinary day wants m on average, a given one m x g, where g has mean 1
and is gamma with shape s; the count over an exposure e is then negative binomial,

    P(n) = NB(n; size s, p = s / (s + m e))          (Poisson where s has no end)

and a day sold out at an unknown minute says P(count >= sold). The mean m is held on
points equally spaced in its logarithm, first coarse ones and then finer ones where
any weight lies; the width s on a few values that are equally likely beforehand (a rule
of the house). Each pair is weighed by

    gamma density of m x m x likelihood of the days.

The belief beforehand may be her guess. Its width for one day must come out the same
whatever s is, so a wide s leaves less doubt about m, and an s wider than the guess
itself is left out. Without a guess the mean is held as unknown as it can be (the rule
of Jeffreys, from memory): weight 1 / sqrt(m (1 + m / s)). Source of the grid: own, agrees with adaptive quadrature; the
likelihood of a count known only as "at least" is common practice (Conrad 1976,
Nahmias 1994, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice
from math import exp, fsum, inf, isinf, lgamma, log, sqrt

from inventory.demand import Belief
from inventory.past_days import PastDay

COARSE, FINE = 160, 60
LOWEST, HIGHEST = 1e-8, 400.0
WIDTHS = (4.0, 8.0, 16.0, 32.0, inf)
# Before anything is known: as much as half a sale in no time.
NOTHING_HELD = Belief(0.5, 0.0)
_TOO_LIGHT = 1e-7
_NEGLECTED = 1e-8
_TOO_UNLIKELY = 50.0
_EXPONENT_IN_REACH = 600.0
_MOST_COUNTED = 20_000


@dataclass(frozen=True)
class Held:
    """One mean and one width that may be true, and how likely that is."""

    mean: float
    width: float
    weight: float


@dataclass(frozen=True)
class GridBelief:
    """Means and widths with their weights; chances are those of one coming day."""

    held: tuple[Held, ...]

    @property
    def mean(self) -> float:
        """Return the expected demand."""
        return fsum(one.weight * one.mean for one in self.held)

    @property
    def doubt(self) -> float:
        """Return the standard deviation of the mean itself."""
        mean = self.mean
        return sqrt(fsum(one.weight * (one.mean - mean) ** 2 for one in self.held))

    @cached_property
    def chances(self) -> tuple[float, ...]:
        """Return the chance of nought, one, two and so on, until next to none is left."""
        heavy = [one for one in self.held if one.weight > _TOO_LIGHT]
        whole = fsum(one.weight for one in heavy)
        running = [_counts(one) for one in heavy]
        found: list[float] = []
        left = 1.0
        while left > _NEGLECTED and len(found) < _MOST_COUNTED:
            found.append(sum(map(next, running)) / whole)
            left -= found[-1]
        return tuple(found)

    def chance_of(self, count: int) -> float:
        """Return the chance of exactly this count."""
        return self.chances[count] if 0 <= count < len(self.chances) else 0.0

    def times(self, factor: float) -> GridBelief:
        """Return the belief of a day that draws so many times as much."""
        return GridBelief(
            tuple(Held(one.mean * factor, one.width, one.weight) for one in self.held)
        )


def learned(
    days: Sequence[PastDay],
    prior: Belief | None = None,
    widths: Sequence[float] = WIDTHS,
) -> GridBelief:
    """Return what the days teach; without a belief beforehand they speak alone.

    At least one day must have a known exposure where there is no prior.
    """
    low, high = log(LOWEST), log(_highest(days))
    for points in (COARSE, FINE):
        heights = [
            (exp(at), width, _log_weight(exp(at), width, days, before))
            for width, before in _priors(prior, widths)
            for at in _spaced(low, high, points)
        ]
        top = max(height for _, _, height in heights)
        likely = [log(m) for m, _, height in heights if height > top - _TOO_UNLIKELY]
        step = (high - low) / (points - 1)
        low, high = min(likely) - step, max(likely) + step
    total = fsum(exp(height - top) for _, _, height in heights)
    return GridBelief(
        tuple(
            Held(mean, width, exp(height - top) / total)
            for mean, width, height in heights
        )
    )


def likeliest_mean(days: Sequence[PastDay], width: float = inf) -> float:
    """Return the mean under which the days were likeliest, by golden section.

    There is none where every day sold out at an unknown minute: then infinity.
    """
    if all(day.exposure is None for day in days):
        return inf
    low, high = log(LOWEST), log(_highest(days))
    golden = (sqrt(5) - 1) / 2
    while high - low > 1e-12:
        first, second = high - golden * (high - low), low + golden * (high - low)
        if _log_likelihood(exp(first), width, days) < _log_likelihood(
            exp(second), width, days
        ):
            low = first
        else:
            high = second
    return exp((low + high) / 2)


def _spaced(low: float, high: float, points: int) -> list[float]:
    return [low + (high - low) * k / (points - 1) for k in range(points)]


def _highest(days: Sequence[PastDay]) -> float:
    raw = (day.sold / float(day.exposure or day.draws) for day in days)
    return max(HIGHEST, 20 * max(raw, default=0.0))


def _priors(
    prior: Belief | None, widths: Sequence[float]
) -> Iterator[tuple[float, Belief]]:
    """Pair each width with the belief of the mean that leaves her guess as wide."""
    if prior is None:
        yield from ((width, NOTHING_HELD) for width in widths)
        return
    for width in widths:
        room = 1 / prior.shape - 1 / width
        if room > 0:
            shape = (1 + 1 / width) / room
            yield width, Belief(shape, shape / prior.mean)


def _log_weight(
    mean: float, width: float, days: Sequence[PastDay], before: Belief
) -> float:
    # The density times the mean, for points equally spaced in the logarithm.
    height = before.shape * log(mean) - before.exposure * mean
    if before.exposure:
        height += before.shape * log(before.exposure) - lgamma(before.shape)
    else:
        height -= log(1 + mean / width) / 2
    return height + _log_likelihood(mean, width, days)


def _log_likelihood(mean: float, width: float, days: Sequence[PastDay]) -> float:
    return fsum(_log_chance(mean, width, day) for day in days)


def _log_chance(mean: float, width: float, day: PastDay) -> float:
    if day.exposure is None:
        wanted = mean * float(day.draws)
        return log(max(1e-300, _at_least(day.sold, wanted, width)))
    return _log_count(day.sold, mean * float(day.exposure), width)


def _log_count(count: int, mean: float, width: float) -> float:
    if isinf(width):
        return count * log(mean) - mean - lgamma(count + 1)
    return (
        lgamma(width + count)
        - lgamma(width)
        - lgamma(count + 1)
        + width * log(width / (width + mean))
        + count * log(mean / (width + mean))
    )


def _at_least(count: int, mean: float, width: float) -> float:
    return 1.0 - sum(islice(_counts(Held(mean, width, 1.0)), count))


def _counts(one: Held) -> Iterator[float]:
    """Yield the weighted chances of nought, one, two and so on."""
    if isinf(one.width) and one.mean > _EXPONENT_IN_REACH:
        for count in range(_MOST_COUNTED):
            yield one.weight * exp(_log_count(count, one.mean, one.width))
        return
    is_poisson = isinf(one.width)
    odds = 0.0 if is_poisson else one.mean / (one.width + one.mean)
    chance = one.weight * exp(_log_count(0, one.mean, one.width))
    for count in range(_MOST_COUNTED):
        yield chance
        step = one.mean if is_poisson else (one.width + count) * odds
        chance *= step / (count + 1)
