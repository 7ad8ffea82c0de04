"""Outlines of many corners with fewer, for the search: never smaller, a little larger.

    an edge between two outward corners goes, and its neighbours are drawn on to where
    they meet, while that is no farther than a seventh of a millimetre from the edge and
    inside the box of the outline

So what is far enough from the plainer outline is far enough from the true one, but
for a thousandth where corners are rounded.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

from studio.maths.nesting_shapes import Shape, Spot

ENOUGH_CORNERS = 24
_FARTHEST = 150  # thousandths of a millimetre
ROUNDING = 3


@lru_cache(maxsize=256)
def plainer(shape: Shape) -> Shape:
    """Leave edges out, those first that add least, down to a few corners."""
    corners = list(shape.corners)
    turn = 1 if _doubled(corners) > 0 else -1
    while len(corners) > ENOUGH_CORNERS:
        found = [
            (far, n, at)
            for n in range(len(corners))
            for far, at in [_without(corners, n, turn)]
            if at is not None and _inside(at, shape)
        ]
        if not found:
            break
        far, n, at = min(found)
        if far > _FARTHEST:
            break
        corners[n] = at
        del corners[(n + 1) % len(corners)]
    return Shape(tuple(corners))


def _without(corners: Sequence[Spot], n: int, turn: int) -> tuple[float, Spot | None]:
    """Say where the neighbours of edge n meet, and how far outside it that is."""
    count = len(corners)
    before, a, b, after = (corners[(n + k) % count] for k in (-1, 0, 1, 2))
    u = (a[0] - before[0], a[1] - before[1])
    v = (after[0] - b[0], after[1] - b[1])
    e = (b[0] - a[0], b[1] - a[1])
    cross = u[0] * v[1] - u[1] * v[0]
    outward = turn * (u[0] * e[1] - u[1] * e[0]), turn * (e[0] * v[1] - e[1] * v[0])
    if min(outward) <= 0 or turn * cross <= 0:
        return 0.0, None
    along = Fraction(e[0] * v[1] - e[1] * v[0], cross)
    x, y = round(a[0] + u[0] * along), round(a[1] + u[1] * along)
    area = abs(e[0] * (y - a[1]) - e[1] * (x - a[0]))
    return area / (e[0] ** 2 + e[1] ** 2) ** 0.5, (x, y)


def _inside(at: Spot, shape: Shape) -> bool:
    return 0 <= at[0] <= shape.width and 0 <= at[1] <= shape.height


def _doubled(corners: Sequence[Spot]) -> int:
    pairs = zip(corners, (*corners[1:], corners[0]), strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)
