"""Outlines in whole thousandths of a millimetre, and whether two keep their distance.

    far enough  the outlines do not overlap, and no corner of one is nearer than the
                gap to an edge of the other
    corner to edge: |cross|² ≥ gap² × |edge|² where the foot of the perpendicular lies
                on the edge, else the squared distance to the nearer end

All in whole numbers, so the answer is exact for the outlines as given (plane geometry).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import floor

MICRONS = 1000
Spot = tuple[int, int]
Edge = tuple[Spot, Spot]


@dataclass(frozen=True)
class Shape:
    """An outline with its near corner at nought; corners in order, either way round."""

    corners: tuple[Spot, ...]

    @cached_property
    def width(self) -> int:
        return max(x for x, _ in self.corners)

    @cached_property
    def height(self) -> int:
        return max(y for _, y in self.corners)

    @property
    def doubled_area(self) -> int:
        """Give twice the area, which is whole."""
        return abs(
            sum(a[0] * b[1] - b[0] * a[1] for a, b in _edges(self.corners)),
        )

    def half_turned(self) -> Shape:
        width, height = self.width, self.height
        return Shape(tuple((width - x, height - y) for x, y in self.corners))

    def quarter_turned(self) -> Shape:
        height = self.height
        return Shape(tuple((height - y, x) for x, y in self.corners))

    def moved(self, by: Spot) -> tuple[Spot, ...]:
        return tuple((x + by[0], y + by[1]) for x, y in self.corners)


def shape_of(corners_mm: Sequence[tuple[Fraction, Fraction]]) -> Shape:
    """Take an outline in millimetres, to the nearest thousandth, to the near corner."""
    spots = [(_microns(x), _microns(y)) for x, y in corners_mm]
    left, low = min(x for x, _ in spots), min(y for _, y in spots)
    return Shape(tuple((x - left, y - low) for x, y in spots))


def is_exact(corners_mm: Sequence[tuple[Fraction, Fraction]]) -> bool:
    """Say whether every corner is a whole number of thousandths."""
    return all((part * MICRONS).denominator == 1 for at in corners_mm for part in at)


def keeps_apart(one: Sequence[Spot], other: Sequence[Spot], gap: int) -> bool:
    """Say whether two outlines do not overlap and are nowhere nearer than the gap."""
    if _boxes_apart(one, other, gap):
        return True
    near = tuple(
        [edge for edge in _edges(a) if not _boxes_apart(edge, b, max(gap, 1))]
        for a, b in ((one, other), (other, one))
    )
    if _overlaps(one, other, *near):
        return False
    return all(
        _far(edge[0], facing, gap) and _far(edge[1], facing, gap)
        for edges, others in (near, near[::-1])
        for edge in edges
        for facing in others
    )


def all_apart(
    shapes: Sequence[Shape],
    places: Sequence[tuple[int, Spot]],
    gap: int,
    room: Spot,
) -> bool:
    """Say whether all lie in the room and keep their distance, in whole numbers.

    A place is the number of its shape, and where its near corner lies.
    """
    for number, (x, y) in places:
        one = shapes[number]
        if min(x, y) < 0 or x + one.width > room[0] or y + one.height > room[1]:
            return False
    return all(
        keeps_apart(shapes[a].corners, shapes[b].moved(step), gap)
        for a, b, step in _steps_between(shapes, places, gap)
    )


def turns_of(shape: Shape) -> tuple[Shape, Shape, Shape, Shape]:
    """Give a shape in its four quarter turns."""
    once = shape.quarter_turned()
    half = once.quarter_turned()
    return shape, once, half, half.quarter_turned()


def _steps_between(
    shapes: Sequence[Shape], places: Sequence[tuple[int, Spot]], gap: int
) -> set[tuple[int, int, Spot]]:
    """List each way in which two near outlines lie to each other, once."""
    steps = set()
    for n, (one, (x, y)) in enumerate(places):
        reach = shapes[one].width + gap, shapes[one].height + gap
        for other, at in places[:n]:
            step = at[0] - x, at[1] - y
            back = -shapes[other].width - gap, -shapes[other].height - gap
            if back[0] < step[0] < reach[0] and back[1] < step[1] < reach[1]:
                steps.add((one, other, step))
    return steps


def is_simple(corners: Sequence[Spot]) -> bool:
    """Say whether an outline encloses something and never crosses itself."""
    edges = list(_edges(corners))
    if len(corners) < 3 or not Shape(tuple(corners)).doubled_area:
        return False
    last = len(edges) - 1
    return not any(
        _meet(one, other)
        for n, one in enumerate(edges)
        for m, other in enumerate(edges)
        if m > n + 1 and not (n == 0 and m == last)
    )


def hull_edges(corners: Sequence[Spot]) -> Iterator[Edge]:
    """List the edges of a band drawn tight round an outline."""
    spots = sorted(set(corners))
    return _edges((*_half_hull(spots)[:-1], *_half_hull(spots[::-1])[:-1]))


def _half_hull(spots: Sequence[Spot]) -> list[Spot]:
    hull: list[Spot] = []
    for at in spots:
        while len(hull) > 1 and _side(hull[-2], hull[-1], at) <= 0:
            hull.pop()
        hull.append(at)
    return hull


def _microns(length_mm: Fraction) -> int:
    return floor(length_mm * MICRONS + Fraction(1, 2))


def _edges(corners: Sequence[Spot]) -> Iterator[Edge]:
    return zip(corners, (*corners[1:], corners[0]), strict=True)


def _boxes_apart(one: Sequence[Spot], other: Sequence[Spot], gap: int) -> bool:
    for axis in (0, 1):
        a, b = [at[axis] for at in one], [at[axis] for at in other]
        if min(b) - max(a) >= gap or min(a) - max(b) >= gap:
            return True
    return False


def _far(corner: Spot, edge: Edge, gap: int) -> bool:
    (ax, ay), (bx, by) = edge
    ux, uy = bx - ax, by - ay
    px, py = corner[0] - ax, corner[1] - ay
    along, length = px * ux + py * uy, ux * ux + uy * uy
    if along <= 0:
        return px * px + py * py >= gap * gap
    if along >= length:
        return (corner[0] - bx) ** 2 + (corner[1] - by) ** 2 >= gap * gap
    return (px * uy - py * ux) ** 2 >= gap * gap * length


def _overlaps(
    one: Sequence[Spot],
    other: Sequence[Spot],
    edges: Sequence[Edge],
    others: Sequence[Edge],
) -> bool:
    if any(_meet(a, b) for a in edges for b in others):
        return True
    return encloses(one, other[0]) or encloses(other, one[0])


def _meet(one: Edge, other: Edge) -> bool:
    (a, b), (c, d) = one, other
    if _side(a, b, c) * _side(a, b, d) < 0 and _side(c, d, a) * _side(c, d, b) < 0:
        return True
    return any(
        _on(at, edge) for edge, ends in ((one, other), (other, one)) for at in ends
    )


def _side(a: Spot, b: Spot, at: Spot) -> int:
    turn = (b[0] - a[0]) * (at[1] - a[1]) - (b[1] - a[1]) * (at[0] - a[0])
    return (turn > 0) - (turn < 0)


def _on(at: Spot, edge: Edge) -> bool:
    (ax, ay), (bx, by) = edge
    in_box = min(ax, bx) <= at[0] <= max(ax, bx) and min(ay, by) <= at[1] <= max(ay, by)
    return in_box and not _side(*edge, at)


def encloses(corners: Sequence[Spot], at: Spot) -> bool:
    """Count the edges to the right of a spot; it is inside where they are odd."""
    inside = False
    for (ax, ay), (bx, by) in _edges(corners):
        if (ay > at[1]) != (by > at[1]):
            turn = (bx - ax) * (at[1] - ay) - (by - ay) * (at[0] - ax)
            inside ^= (turn > 0) == (by > ay)
    return inside
