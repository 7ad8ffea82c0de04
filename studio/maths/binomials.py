"""Chances of so many hits in so many tries, and the range of a share.

    P(hits <= k) = sum over i <= k of C(n, i) p^i (1 - p)^(n - i)

The exact range of a share has the tails P(hits >= k | low) and P(hits <= k | high)
equal to half of what is left out (Clopper and Pearson 1934, from memory), found by
bisection.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import accumulate
from math import exp, lgamma, log

_HALVINGS = 60
_TINY = 1e-300
_LOST = 1e-17


def hits(count: int, tries: int, chance: float) -> float:
    """Return the chance of exactly this many hits."""
    if not 0 <= count <= tries:
        return 0.0
    if chance <= 0 or chance >= 1:
        return float(count == (tries if chance >= 1 else 0))
    ways = lgamma(tries + 1) - lgamma(count + 1) - lgamma(tries - count + 1)
    return exp(ways + count * log(chance) + (tries - count) * log(1 - chance))


def hits_at_most(count: int, tries: int, chance: float) -> float:
    """Return the chance of at most this many hits.

    The sum runs down from the count, each chance from the one above it, until what is
    left to add is lost in the rounding.
    """
    if count < 0 or count >= tries:
        return float(count >= tries)
    if chance <= 0 or chance >= 1:
        return float(chance <= 0)
    each = total = hits(count, tries, chance)
    if each < _TINY:
        return float(count > tries * chance)
    odds = (1 - chance) / chance
    for k in range(count, 0, -1):
        fall = k / (tries - k + 1) * odds
        each *= fall
        total += each
        if fall < 1 and each < total * _LOST * (1 - fall):
            break
    return min(1.0, total)


def hits_at_least(count: int, tries: int, chance: float) -> float:
    """Return the chance of at least this many hits."""
    return hits_at_most(tries - count, tries, 1 - chance)


def likely_hits(tries: int, chance: float, cover: float) -> tuple[int, int]:
    """Return between which numbers of hits luck alone stays this often, at least."""
    each = [hits(k, tries, chance) for k in range(tries + 1)]
    tail = (1 - cover) / 2
    return _first_above(each, tail), tries - _first_above(each[::-1], tail)


def _first_above(chances: Sequence[float], tail: float) -> int:
    """Return the place at which the running sum first exceeds the tail."""
    return next(k for k, total in enumerate(accumulate(chances)) if total > tail)


def share_range(count: int, tries: int, cover: float) -> tuple[float, float]:
    """Return the exact range of the share behind so many hits."""
    if not tries:
        return 0.0, 1.0
    tail = (1 - cover) / 2
    low = _crossing(lambda p: hits_at_least(count, tries, p) < tail) if count else 0.0
    high = (
        _crossing(lambda p: hits_at_most(count, tries, p) > tail)
        if count < tries
        else 1.0
    )
    return low, high


def _crossing(below: Callable[[float], bool]) -> float:
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if below(middle):
            low = middle
        else:
            high = middle
    return (low + high) / 2
