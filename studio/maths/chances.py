"""Chances of counts: the gamma, Poisson and negative binomial distributions.

Regularised incomplete gamma P(a, x) by its series below a + 1 and by its continued
fraction above (Abramowitz and Stegun 6.5.29 and 6.5.31, from memory); quantiles by
bisection. A count whose rate is Gamma(shape, rate) over an exposure h is negative
binomial with size = shape and p = rate / (rate + h).
"""

from __future__ import annotations

from functools import lru_cache
from math import exp, inf, lgamma, log

_TINY = 1e-300
_ENOUGH = 1e-15
_LOST = 1e-17
_MOST_TERMS = 100_000


def gamma_at_most(x: float, shape: float, rate: float = 1.0) -> float:
    """Return the chance that a gamma variable is at most x."""
    if x <= 0:
        return 0.0
    scaled = x * rate
    if scaled < shape + 1:
        return _by_series(shape, scaled)
    return 1.0 - _by_fraction(shape, scaled)


def gamma_quantile(share: float, shape: float, rate: float = 1.0) -> float:
    """Return the value below which this share of a gamma variable lies."""
    if share <= 0 or shape <= 0:
        return 0.0
    if share >= 1:
        return inf
    return _gamma_quantile_at_rate_one(share, shape) / rate


# Sizes of one studio ask for the same few counts again and again.
@lru_cache(maxsize=4096)
def _gamma_quantile_at_rate_one(share: float, shape: float) -> float:
    low, high = 0.0, max(1.0, shape)
    while gamma_at_most(high, shape) < share:
        low, high = high, 2 * high
    at = (low + high) / 2
    while high - low > 1e-14 * high:
        off = gamma_at_most(at, shape) - share
        if off < 0:
            low = at
        else:
            high = at
        before, at = at, _nearer(at, off, shape, low, high)
        if abs(at - before) <= 1e-15 * at:
            break
    return at


def _nearer(at: float, off: float, shape: float, low: float, high: float) -> float:
    """Step by Newton where that stays inside, halfway where it does not."""
    steep = exp((shape - 1) * log(at) - at - lgamma(shape))
    step = at - off / steep if steep > _TINY else low
    return step if low < step < high else (low + high) / 2


def poisson_at_most(count: int, mean: float) -> float:
    """Return the chance that a Poisson count is at most this."""
    if count < 0:
        return 0.0
    return 1.0 - gamma_at_most(mean, count + 1)


def negative_binomial(count: int, size: float, p: float) -> float:
    """Return the chance of exactly this count."""
    if p >= 1:
        return float(count == 0)
    return exp(
        lgamma(size + count)
        - lgamma(size)
        - lgamma(count + 1)
        + size * log(p)
        + count * log(1 - p)
    )


def negative_binomial_at_most(count: int, size: float, p: float) -> float:
    """Return the chance that the count is at most this.

    The sum runs down from the count, each chance from the one above it, until what is
    left to add is lost in the rounding.
    """
    if p >= 1 or count < 0:
        return float(count >= 0)
    chance = total = negative_binomial(count, size, p)
    if chance < _TINY:
        return float(count * p > size * (1 - p))
    for k in range(count, 0, -1):
        fall = k / ((size + k - 1) * (1 - p))
        chance *= fall
        total += chance
        if fall < 1 and chance < total * _LOST * (1 - fall):
            break
    return min(1.0, total)


def _by_series(shape: float, x: float) -> float:
    term = total = 1.0 / shape
    for n in range(1, _MOST_TERMS):
        term *= x / (shape + n)
        total += term
        if term < total * _ENOUGH:
            break
    return total * exp(shape * log(x) - x - lgamma(shape))


def _by_fraction(shape: float, x: float) -> float:
    b = x + 1 - shape
    c = 1 / _TINY
    d = 1 / b
    value = d
    for n in range(1, _MOST_TERMS):
        a = -n * (n - shape)
        b += 2
        d = 1 / _away_from_nought(a * d + b)
        c = _away_from_nought(b + a / c)
        value *= c * d
        if abs(c * d - 1) < _ENOUGH:
            break
    return value * exp(shape * log(x) - x - lgamma(shape))


def _away_from_nought(value: float) -> float:
    return value if abs(value) > _TINY else _TINY
