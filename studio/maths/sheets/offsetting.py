"""An outline moved outward or inward by so much, for the kerf and for the seam.

    corner = P + by × (u|v| − v|u|) / (u × v), u the edge before P, v the one after

Roots are taken to a thousand-millionth of a millimetre, so that corners are right to
the nearest 0.001 mm. Source: plane geometry, as in the one rule for every template.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import floor, isqrt

from studio.maths.nesting_shapes import is_simple
from studio.maths.sheets.problem import Corner, Outline

FINEST_MM = Fraction(1, 1000)
_ROOT = 10**9


def one_way_round(corners: Outline) -> Outline:
    """Give the corners in the order in which edges have the outside on their right."""
    turn = sum(
        a[0] * b[1] - b[0] * a[1]
        for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)
    )
    return corners if turn > 0 else corners[::-1]


def moved(corners: Outline, outward_mm: Fraction) -> Outline:
    """Move every edge outward, or inward with less than nought, to 0.001 mm."""
    if not outward_mm:
        return tuple((near(x), near(y)) for x, y in corners)
    following = (*corners[1:], corners[0])
    before = (corners[-1], *corners[:-1])
    return tuple(
        _corner(a, b, c, outward_mm)
        for a, b, c in zip(before, corners, following, strict=True)
    )


def inside(corners: Outline, by_mm: Fraction) -> Outline | None:
    """Move an outline inward, or give None where no such outline is left of it."""
    found = moved(corners, -by_mm)
    if not all(_ahead(one, other) for one, other in zip_edges(corners, found)):
        return None
    microns = [(int(x / FINEST_MM), int(y / FINEST_MM)) for x, y in found]
    return found if is_simple(microns) else None


def near(length_mm: Fraction) -> Fraction:
    return floor(length_mm / FINEST_MM + Fraction(1, 2)) * FINEST_MM


Edge = tuple[Corner, Corner]


def zip_edges(one: Outline, other: Outline) -> Iterator[tuple[Edge, Edge]]:
    """Pair the edges of two outlines of as many corners."""
    edges = (
        tuple(zip(corners, (*corners[1:], corners[0]), strict=True))
        for corners in (one, other)
    )
    return zip(*edges, strict=True)


def _ahead(one: Edge, other: Edge) -> bool:
    (a, b), (c, d) = one, other
    return (b[0] - a[0]) * (d[0] - c[0]) + (b[1] - a[1]) * (d[1] - c[1]) > 0


def _corner(before: Corner, at: Corner, after: Corner, by: Fraction) -> Corner:
    u = (at[0] - before[0], at[1] - before[1])
    v = (after[0] - at[0], after[1] - at[1])
    turn = u[0] * v[1] - u[1] * v[0]
    long_u, long_v = (_root(side[0] ** 2 + side[1] ** 2) for side in (u, v))
    if not turn:
        return near(at[0] + u[1] * by / long_u), near(at[1] - u[0] * by / long_u)
    x, y = (at[n] + (u[n] * long_v - v[n] * long_u) * by / turn for n in (0, 1))
    return near(x), near(y)


def _root(number: Fraction) -> Fraction:
    top, bottom = number.numerator, number.denominator
    return Fraction(isqrt(top * bottom * _ROOT**2), bottom * _ROOT)
