"""Rows of a shape and its half-turn: the search for the closest, in floating point.

    row     A at k p, its half-turn B at k p + d, raised by e;  or all A, then all B
    rows    each the one below moved by (s, v);  or moved to and fro
    p ≥ d + (B to the next A),  v = least height at which nothing touches for that s

The distance at which one shape clears another, moving straight, is read from their
envelopes: far side of the one grown by the gap, near side of the other. Rows cover the
plane; what lies inside the room is counted. Double lattices of a shape and its
half-turn: Kuperberg and Kuperberg 1990, from memory. Grown corners are drawn a little
outside the true arc, and every answer is checked in whole numbers by the caller.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import product
from math import ceil, cos, pi, sin

import numpy as np
from numpy.typing import NDArray

from studio.maths.nesting_shapes import Shape

Floats = NDArray[np.float64]
_ROUND = 24  # corners of the figure drawn round a circle
_NEVER = -1e12
_STRAIGHT = 1e-9
_RISES = 240
_SHIFTS = 240
_BEST_SHIFTS = 3
_PROMISING = 1200


@dataclass(frozen=True)
class Line:
    """Where one row of outlines of one turn begins, and its quarter turns."""

    along: int
    rise: int
    quarters: int


@dataclass(frozen=True)
class Rows:
    """Some rows that repeat: along by the period, upward by shift and height."""

    period: int
    lines: tuple[Line, ...]
    shift: int
    height: int

    @property
    def closeness(self) -> Fraction:
        """Give the area each outline takes."""
        return Fraction(self.period * self.height, len(self.lines))

    def widened(self, parts: int) -> Rows:
        """Move everything apart by so many parts in a hundred thousand."""

        def wider(length: int) -> int:
            more = abs(length) * parts
            return length + (1 if length > 0 else -1) * -(-more // 100_000)

        lines = tuple(
            Line(wider(one.along), wider(one.rise), one.quarters) for one in self.lines
        )
        return Rows(wider(self.period), lines, wider(self.shift), wider(self.height))


@dataclass(frozen=True)
class _Envelope:
    at: Floats
    value: Floats

    def over(self, places: Floats) -> Floats:
        return np.interp(places, self.at, self.value, left=_NEVER, right=_NEVER)


class Clearances:
    """How far each of some shapes must move straight up or along to clear another."""

    def __init__(self, shapes: Sequence[Shape], gap: int) -> None:
        self.shapes = [np.array(one.corners, dtype=np.float64) for one in shapes]
        self.gap = gap
        self._far = cache(self._far_side)
        self._near = cache(self._near_side)

    def up(self, one: int, other: int, along: Floats) -> Floats:
        """Give how high the other must be to clear the one, moved along by so much."""
        return self._cleared(one, other, along, 0)

    def beside(self, one: int, other: int, raised: Floats) -> Floats:
        """Give how far along the other must be, raised by so much."""
        return self._cleared(one, other, raised, 1)

    def _cleared(self, one: int, other: int, moved: Floats, axis: int) -> Floats:
        far, near = self._far(one, axis), self._near(other, axis)
        offsets = moved[:, None]
        at_far = far.value + near.over(far.at - offsets)
        at_near = far.over(near.at + offsets) + near.value
        found = np.concatenate([at_far, at_near], axis=1).max(axis=1)
        return np.where(found < _NEVER / 2, _NEVER, found)

    def _far_side(self, number: int, axis: int) -> _Envelope:
        return _envelope(_grown_edges(self.shapes[number], self.gap), axis, 1)

    def _near_side(self, number: int, axis: int) -> _Envelope:
        corners = self.shapes[number]
        edges = np.stack([corners, np.roll(corners, -1, axis=0)], 1)
        return _envelope(edges, axis, -1)


def promising_rows(shape: Shape, gap: int) -> list[Rows]:
    """List the closest ways to cover the plane, closest first."""
    clear = Clearances((shape, shape.half_turned()), gap)
    tables = _Heights(clear, shape.width + gap)
    found = [*_alternating(clear, tables, shape), *_whole_rows(clear, tables)]
    return sorted(set(found), key=lambda rows: rows.closeness)[:_PROMISING]


class _Heights:
    """The four clearances upward, tabled so that rows can be looked up quickly."""

    def __init__(self, clear: Clearances, reach: int) -> None:
        self.along = np.linspace(-reach, reach, 4 * _SHIFTS + 1)
        self.tables = {
            (one, other): clear.up(one, other, self.along)
            for one, other in product((0, 1), repeat=2)
        }

    def up(self, one: int, other: int, along: Floats) -> Floats:
        table = self.tables[one, other]
        return np.interp(along, self.along, table, left=_NEVER, right=_NEVER)


def _alternating(clear: Clearances, tables: _Heights, shape: Shape) -> Iterator[Rows]:
    """Alternate the shape and its half-turn in every row."""
    rises = np.linspace(-shape.height, shape.height, _RISES + 1)
    same = max(clear.beside(n, n, np.zeros(1))[0] for n in (0, 1))
    along = clear.beside(0, 1, rises)
    periods = np.maximum(along + clear.beside(1, 0, -rises), same)
    for period, beside, rise in zip(periods, along, rises, strict=True):
        pair = _Pair(ceil(period), ceil(beside), round(rise))
        yield from _leaning(tables, pair)
        yield from _swaying(tables, pair)


@dataclass(frozen=True)
class _Pair:
    """The shape and its half-turn, repeated along a row."""

    period: int
    along: int
    rise: int

    def lines(self, across: int = 0, up: int = 0) -> tuple[Line, Line]:
        return Line(across, up, 0), Line(across + self.along, up + self.rise, 2)

    @property
    def meetings(self) -> tuple[tuple[int, int, int, int], ...]:
        """List who of one row meets whom of the next, with what is to be added."""
        return (
            (0, 0, 0, 0),
            (1, 1, 0, 0),
            (0, 1, self.along, -self.rise),
            (1, 0, -self.along, self.rise),
        )


def _leaning(tables: _Heights, pair: _Pair) -> Iterator[Rows]:
    """Let every row be moved the same way from the row below."""
    shifts = np.linspace(0, pair.period, _SHIFTS, endpoint=False)
    heights = _row_heights(tables, pair.period, pair.meetings, shifts)
    for n in np.argsort(heights)[:_BEST_SHIFTS]:
        yield Rows(pair.period, pair.lines(), round(shifts[n]), ceil(heights[n]))


def _swaying(tables: _Heights, pair: _Pair) -> Iterator[Rows]:
    """Let every other row be moved, and the next stand above the first again."""
    shifts = np.linspace(0, pair.period, _SHIFTS, endpoint=False)
    there = _row_heights(tables, pair.period, pair.meetings, shifts)
    back = _row_heights(tables, pair.period, pair.meetings, -shifts)
    for n in np.argsort(there + back)[:_BEST_SHIFTS]:
        up = ceil(there[n])
        lines = (*pair.lines(), *pair.lines(round(shifts[n]), up))
        yield Rows(pair.period, lines, 0, up + ceil(back[n]))


def _whole_rows(clear: Clearances, tables: _Heights) -> Iterator[Rows]:
    """Let whole rows of the shape and of its half-turn take turns."""
    period = ceil(max(clear.beside(n, n, np.zeros(1))[0] for n in (0, 1)))
    shifts = np.linspace(0, period, _SHIFTS, endpoint=False)
    there = _row_heights(tables, period, [(0, 1, 0, 0)], shifts)
    back = _row_heights(tables, period, [(1, 0, 0, 0)], shifts)
    for n, m in product(*(np.argsort(one)[:_BEST_SHIFTS] for one in (there, back))):
        across, up = round(shifts[n]), ceil(there[n])
        lines = (Line(0, 0, 0), Line(across, up, 2))
        yield Rows(period, lines, across + round(shifts[m]), up + ceil(back[m]))


def _row_heights(
    tables: _Heights,
    period: int,
    meetings: Sequence[tuple[int, int, int, int]],
    shifts: Floats,
) -> Floats:
    """Give how high the next row must be, for each way it may be moved along."""
    heights = np.full(len(shifts), _NEVER)
    reach = int(tables.along[-1] // period) + 2
    for k, meeting in product(range(-reach, reach + 1), meetings):
        one, other, across, up = meeting
        cleared = tables.up(one, other, shifts + k * period + across) + up
        heights = np.maximum(heights, cleared)
    return heights


def _envelope(edges: Floats, axis: int, sign: int) -> _Envelope:
    """Take the outermost value over each place; straight between places is outside."""
    starts, ends = edges[:, 0], edges[:, 1]
    places = np.unique(np.concatenate([starts[:, axis], ends[:, axis]]))
    low = np.minimum(starts[:, axis], ends[:, axis])
    span = ends[:, axis] - starts[:, axis]
    flat = np.abs(span) < 1e-9
    safe = np.where(flat, 1.0, span)
    share = (places[:, None] - starts[:, axis]) / safe
    other = 1 - axis
    value = starts[:, other] + share * (ends[:, other] - starts[:, other])
    outer = np.maximum(sign * starts[:, other], sign * ends[:, other])
    value = np.where(flat, outer, sign * value)
    high = np.maximum(starts[:, axis], ends[:, axis])
    covered = (places[:, None] >= low - 1e-6) & (places[:, None] <= high + 1e-6)
    return _bends(places, np.where(covered, value, _NEVER).max(axis=1))


def _bends(places: Floats, value: Floats) -> _Envelope:
    """Leave out places at which the envelope goes straight on."""
    if len(places) < 3:
        return _Envelope(places, value)
    slopes = np.diff(value) / np.diff(places)
    bends = np.abs(np.diff(slopes)) > _STRAIGHT
    kept = np.concatenate([[True], bends, [True]])
    return _Envelope(places[kept], value[kept])


def _grown_edges(corners: Floats, gap: int) -> Floats:
    """Draw each edge grown by the gap, its round ends as a figure outside the circle."""
    angles = (np.arange(_ROUND) + 0.5) * 2 * pi / _ROUND
    ring = np.array([[cos(a), sin(a)] for a in angles]) * gap / cos(pi / _ROUND)
    ends = np.roll(corners, -1, axis=0)
    rings = corners[:, None] + ring
    round_edges = np.stack([rings, np.roll(rings, -1, axis=1)], 2).reshape(-1, 2, 2)
    long_edges = np.stack([rings, ends[:, None] + ring], 2).reshape(-1, 2, 2)
    return np.concatenate([round_edges, long_edges])
