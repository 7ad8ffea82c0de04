"""Exact sums of square roots, so that a triangle never loses a thread to rounding.

    value = a1 √n1 + a2 √n2 + …, each a a fraction, each n whole and square-free

Rounding is done once, by whole-number square roots, and never by floating point.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, isqrt

_FINE = 10**40


@dataclass(frozen=True)
class Surd:
    """A sum of roots; ``terms`` pairs each square-free whole number with its count."""

    terms: tuple[tuple[int, Fraction], ...] = ()

    def __add__(self, other: Surd | Fraction | int) -> Surd:
        return _gathered(self.terms + as_surd(other).terms)

    __radd__ = __add__

    def __neg__(self) -> Surd:
        return self * -1

    def __sub__(self, other: Surd | Fraction | int) -> Surd:
        return self + -as_surd(other)

    def __rsub__(self, other: Surd | Fraction | int) -> Surd:
        return as_surd(other) - self

    def __mul__(self, times: Surd | Fraction | int) -> Surd:
        return _gathered(
            term
            for one in self.terms
            for other in as_surd(times).terms
            for term in _product(one, other).terms
        )

    __rmul__ = __mul__

    def __truediv__(self, by: Fraction | int) -> Surd:
        return self * (1 / Fraction(by))

    def bounds(self) -> tuple[Fraction, Fraction]:
        """Give two fractions, 40 places apart or equal, that the value lies between."""
        low = high = Fraction(0)
        for root, count in self.terms:
            under = isqrt(root * _FINE * _FINE)
            over = under if under * under == root * _FINE * _FINE else under + 1
            ends = sorted(
                (count * Fraction(under, _FINE), count * Fraction(over, _FINE))
            )
            low, high = low + ends[0], high + ends[1]
        return low, high

    def rounded_up(self, step: Fraction) -> Fraction:
        """Give the smallest multiple of the step that is not below the value."""
        return ceil(self.bounds()[1] / step) * step

    def nearest(self, step: Fraction) -> Fraction:
        """Give the nearest multiple of the step, half up."""
        return (self - step / 2).rounded_up(step)


def as_surd(value: Surd | Fraction | int) -> Surd:
    """Take a plain number as a sum with no roots."""
    if isinstance(value, Surd):
        return value
    return _gathered([(1, Fraction(value))])


def square_root(value: Fraction | int) -> Surd:
    """Give the exact root of a number that is nought or more."""
    exact = Fraction(value)
    outside, inside = _without_squares(exact.numerator * exact.denominator)
    return _gathered([(inside, Fraction(outside, exact.denominator))])


def _gathered(terms: Iterable[tuple[int, Fraction]]) -> Surd:
    counts: dict[int, Fraction] = {}
    for root, count in terms:
        counts[root] = counts.get(root, Fraction(0)) + count
    return Surd(tuple(sorted((n, count) for n, count in counts.items() if count)))


def _product(one: tuple[int, Fraction], other: tuple[int, Fraction]) -> Surd:
    outside, inside = _without_squares(one[0] * other[0])
    return Surd(((inside, outside * one[1] * other[1]),))


def _without_squares(number: int) -> tuple[int, int]:
    outside, inside, factor = 1, number, 2
    while factor * factor <= inside:
        while inside % (factor * factor) == 0:
            inside //= factor * factor
            outside *= factor
        factor += 1
    return outside, inside
