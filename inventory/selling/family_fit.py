"""What the sizes of a family tell of one of them, by the likeliest gamma of rates.

The count of a size over a time T is negative binomial with size = shape and
p = exposure / (exposure + T), so the likeliest shape and exposure maximise

    sum of  lgamma(shape + n) - lgamma(shape) + shape ln p + n ln(1 - p)

found by golden section over the shape, and inside it over the mean. Fewer than five
sizes do not tell how much sizes differ: then the belief is their common rate, worth
six weeks; and never is a family worth more than half a year of a size's own record,
since few sizes make it look surer than it is (house rules). Source: Gaver and O'Muircheartaigh 1987; Efron and Hastie,
Computer Age Statistical Inference.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from math import exp, lgamma, log, sqrt

from inventory.demand import Belief

LEAST_SIZES = 5
WORTH_WEEKS = 6.0
MOST_WEEKS = 26.0
_LEAST_SHAPE, _MOST_SHAPE = 0.01, 10_000.0
_GOLDEN = (sqrt(5) - 1) / 2
_STEPS = 70


def family_prior(sold: Sequence[int], weeks: Sequence[float]) -> Belief | None:
    """Return what to believe of a size before its own record; None with no sale."""
    total_weeks = sum(weeks)
    if not total_weeks or not sum(sold):
        return None
    if len([one for one in weeks if one > 0]) >= LEAST_SIZES:
        fitted = likeliest_family(sold, weeks)
        if fitted is not None:
            worth = min(MOST_WEEKS, fitted.exposure)
            return Belief(fitted.mean * worth, worth)
    return Belief(WORTH_WEEKS * sum(sold) / total_weeks, WORTH_WEEKS)


def likeliest_family(sold: Sequence[int], times: Sequence[float]) -> Belief | None:
    """Return the likeliest gamma of the rates; None when they show no difference."""
    records = Counter(
        (n, t) for n, t in zip(sold, times, strict=True) if t > 0 and n >= 0
    )
    total_time = sum(t * many for (_, t), many in records.items())
    total_sold = sum(n * many for (n, _), many in records.items())
    if not total_time or not total_sold:
        return None
    middle = log(total_sold / total_time)

    def best_mean(log_shape: float) -> float:
        return top_of(
            lambda log_mean: _likelihood(exp(log_shape), exp(log_mean), records),
            middle - 3,
            middle + 3,
        )

    log_shape = top_of(
        lambda one: _likelihood(exp(one), exp(best_mean(one)), records),
        log(_LEAST_SHAPE),
        log(_MOST_SHAPE),
    )
    shape = exp(log_shape)
    if shape > _MOST_SHAPE / 2:
        return None
    return Belief(shape, shape / exp(best_mean(log_shape)))


def top_of(value: Callable[[float], float], low: float, high: float) -> float:
    """Return where a curve with one top is highest, by golden section."""
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_left, at_right = value(left), value(right)
    for _ in range(_STEPS):
        if at_left < at_right:
            low, left, at_left = left, right, at_right
            right = low + _GOLDEN * (high - low)
            at_right = value(right)
        else:
            high, right, at_right = right, left, at_left
            left = high - _GOLDEN * (high - low)
            at_left = value(left)
    return (low + high) / 2


def _likelihood(
    shape: float, mean: float, records: Counter[tuple[int, float]]
) -> float:
    exposure = shape / mean
    return sum(
        many
        * (
            lgamma(shape + n)
            - lgamma(shape)
            + shape * log(exposure / (exposure + t))
            + n * log(t / (exposure + t))
        )
        for (n, t), many in records.items()
    )
