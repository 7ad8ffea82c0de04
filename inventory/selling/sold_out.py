"""Rates from outings that sold out at a moment nobody wrote down.

Such an outing only says that at least so many were wanted, so with m = rate x length
it counts as P(count >= sold | m), the others as P(count = sold | m). The likeliest
rate replaces a sold-out figure by what it stands for,

    E[count | count >= sold] = m P(count >= sold - 1) / P(count >= sold)

and repeats; with a belief beforehand the sum runs over 400 points evenly spaced in
the logarithm of the rate. Where the moment is known none of this is needed: count
only the time until then. Background: Conrad 1976 and Nahmias 1994, from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, inf, lgamma, log, sqrt

from inventory.demand import Belief, NoLimitToServe
from studio.errors import StudioError
from studio.maths.chances import gamma_at_most, poisson_at_most

_POINTS = 400
_LEAST, _MOST = 1e-4, 400.0
_ROUNDS = 10_000
_SETTLED = 1e-13
_MOST_COUNTED = 100_000


class OutingImpossible(StudioError):
    """An outing that sold fewer than none, or lasted no time."""

    def __init__(self, sold: int, length: float) -> None:
        self.sold = sold
        self.length = length
        super().__init__(
            f"An outing of length {length:g} with {sold} sold cannot be. "
            "Write a length above nought and a number from 0 up, please."
        )


@dataclass(frozen=True)
class Outing:
    """One outing: how many sold, how long it lasted, whether it sold out."""

    sold: int
    length: float = 1.0
    sold_out: bool = False


@dataclass(frozen=True)
class GridBelief:
    """What is held of a rate, as weights on points; the weights add up to one."""

    rates: tuple[float, ...]
    weights: tuple[float, ...]

    @property
    def mean(self) -> float:
        """Return the expected rate."""
        return sum(r * w for r, w in zip(self.rates, self.weights, strict=True))

    @property
    def doubt(self) -> float:
        """Return the spread of the rate itself."""
        mean = self.mean
        return sqrt(
            sum(
                w * (r - mean) ** 2
                for r, w in zip(self.rates, self.weights, strict=True)
            )
        )

    def chance_at_most(self, count: int, length: float = 1.0) -> float:
        """Return the chance that no more than this are wanted over a length."""
        return sum(
            w * poisson_at_most(count, r * length)
            for r, w in zip(self.rates, self.weights, strict=True)
        )

    def smallest_with(self, service: float, length: float = 1.0) -> int:
        """Return the smallest number that is enough with this chance."""
        if service >= 1:
            raise NoLimitToServe(service)
        for count in range(_MOST_COUNTED):
            if self.chance_at_most(count, length) >= service:
                return count
        raise NoLimitToServe(service)


def likeliest_rate(outings: Sequence[Outing]) -> float | None:
    """Return the likeliest rate; None when every outing sold out, or there is none."""
    told = [
        outing for outing in outings if _checked(outing).sold or not outing.sold_out
    ]
    if all(outing.sold_out for outing in told):
        return None
    length = sum(outing.length for outing in told)
    rate = (sum(outing.sold for outing in told) + 0.5) / length
    for _ in range(_ROUNDS):
        better = sum(_stands_for(outing, rate) for outing in told) / length
        if abs(better - rate) <= _SETTLED * max(better, _SETTLED):
            return better
        rate = better
    return rate


def belief_after(outings: Sequence[Outing], prior: Belief) -> GridBelief:
    """Learn from outings of which some sold out at a moment nobody knows."""
    told = [_checked(outing) for outing in outings]
    scale = _scale(told, prior)
    step = log(_MOST / _LEAST) / (_POINTS - 1)
    rates = [scale * _LEAST * exp(step * k) for k in range(_POINTS)]
    logs = [_log_weight(rate, told, prior) for rate in rates]
    top = max(logs)
    weights = [exp(one - top) for one in logs]
    total = sum(weights)
    return GridBelief(tuple(rates), tuple(weight / total for weight in weights))


def _checked(outing: Outing) -> Outing:
    if outing.sold < 0 or not outing.length > 0:
        raise OutingImpossible(outing.sold, outing.length)
    return outing


def _scale(outings: Sequence[Outing], prior: Belief) -> float:
    """Lay the grid around the larger of the belief and the record."""
    length = sum(outing.length for outing in outings)
    sold = sum(outing.sold for outing in outings)
    seen = sold / length if length else 0.0
    return max(prior.mean, seen) / 4


def _log_weight(rate: float, outings: Sequence[Outing], prior: Belief) -> float:
    weight = prior.shape * log(rate) - prior.exposure * rate
    for outing in outings:
        mean = rate * outing.length
        if not outing.sold_out:
            weight += outing.sold * log(mean) - mean - lgamma(outing.sold + 1)
        elif outing.sold:
            chance = gamma_at_most(mean, outing.sold)
            weight += log(chance) if chance > 0 else -inf
    return weight


def _stands_for(outing: Outing, rate: float) -> float:
    if not outing.sold_out:
        return float(outing.sold)
    mean = rate * outing.length
    at_least = gamma_at_most(mean, outing.sold)
    if at_least <= 0:
        return float(outing.sold)
    one_less = gamma_at_most(mean, outing.sold - 1) if outing.sold > 1 else 1.0
    return mean * one_less / at_least
