"""Pieces of any outline together on one sheet, each put into the first place left.

    places      a grid of points of the room, half a millimetre apart or more
    taken       for each shape in each turn, the places at which it would touch what
                lies already: both the straight way across and the straight way down
                must say so (each alone says so too often, never too seldom)
    next piece  the turn whose far side comes lowest, at its first free place

The first free place is the nearest to one end of the sheet ("bottom left", from
memory). Orders are tried by chance, larger pieces first. What is found is laid out
again in whole thousandths by whoever uses it; it is the best found, not the most.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from studio.maths.nesting_rows import Clearances
from studio.maths.nesting_shapes import Shape
from studio.maths.sheets.problem import Pattern, Spot

Marks = NDArray[np.bool_]
FINEST_STEP = 500
_MOST_STEPS = 1200
_FEW_TURNS = 24
_MOST_MARKS = 60_000_000
_HAIR = 2  # What floating point may lose, in thousandths.


@dataclass(frozen=True)
class Turn:
    """One shape in one of its turns."""

    kind: int
    quarters: int
    shape: Shape


@dataclass(frozen=True)
class Put:
    """One turn at a place of the grid."""

    turn: int
    x: int
    y: int


class Grid:
    """The places of a room, and for any two turns how near they may come.

    With ``sideways`` the room is filled from its top instead of its left side.
    """

    def __init__(
        self,
        shapes: Sequence[Sequence[Shape]],
        gap: int,
        room: tuple[int, int],
        *,
        sideways: bool = False,
    ) -> None:
        self.sideways = sideways
        self.room = room[::-1] if sideways else room
        self.gap = gap + _HAIR
        self.turns: list[Turn] = []
        self._same_turn: dict[tuple[int, int], int] = {}
        for kind, turns in enumerate(shapes):
            self._add_turns(kind, turns)
        finest = FINEST_STEP * (1 if len(self.turns) <= _FEW_TURNS else 2)
        self.step = max(finest, -(-max(room) // _MOST_STEPS))
        self.upright: Grid | None = None
        self._near: dict[tuple[int, int], Near] = {}
        self._marks = 0

    def _add_turns(self, kind: int, turns: Sequence[Shape]) -> None:
        """Keep the turns of a kind, those that look alike as one."""
        seen: dict[frozenset[tuple[int, int]], int] = {}
        for quarters, shape in enumerate(turns):
            corners = frozenset(shape.corners)
            if corners not in seen:
                seen[corners] = len(self.turns)
                lies = _swapped(shape) if self.sideways else shape
                self.turns.append(Turn(kind, quarters, lies))
            self._same_turn[kind, quarters] = seen[corners]

    @cached_property
    def clear(self) -> Clearances:
        return Clearances([turn.shape for turn in self.turns], self.gap)

    def turns_of(self, kind: int) -> list[int]:
        """List the turns of a kind that fit the room at all."""
        return [
            n
            for n, turn in enumerate(self.turns)
            if turn.kind == kind
            and turn.shape.width <= self.room[0]
            and turn.shape.height <= self.room[1]
        ]

    def places(self, turn: int) -> Marks:
        """Give the places of a turn, none of them taken."""
        shape = self.turns[turn].shape
        return np.zeros(
            (
                (self.room[0] - shape.width) // self.step + 1,
                (self.room[1] - shape.height) // self.step + 1,
            ),
            dtype=np.bool_,
        )

    def near(self, one: int, other: int) -> Near:
        """Give the steps from one turn to another at which they are too near."""
        found = self._near.get((one, other))
        if found is None:
            found = self._found(one, other)
            if self._marks + found.marks.size <= _MOST_MARKS:
                self._marks += found.marks.size
                self._near[one, other] = found
        return found

    def spot(self, put: Put) -> Spot:
        """Give a put piece as it lies in the room, in thousandths."""
        turn = self.turns[put.turn]
        x, y = put.x * self.step, put.y * self.step
        if self.sideways:
            x, y = y, x
        return Spot(turn.kind, x, y, bool(turn.quarters % 2), turn.quarters > 1)

    def _found(self, one: int, other: int) -> Near:
        """Take it from the grid that lies the other way, or from the way back."""
        if self.upright is not None:
            return self.upright.near(one, other).swapped()
        if (other, one) in self._near:
            return self._near[other, one].back()
        return self.worked_out(one, other)

    def turn_of(self, spot: Spot) -> tuple[int, tuple[int, int]]:
        """Find the turn of a spot, and its place as this grid counts."""
        number = self._same_turn[spot.kind, spot.quarters]
        return number, (spot.y, spot.x) if self.sideways else (spot.x, spot.y)

    def worked_out(self, one: int, other: int, off: tuple[int, int] = (0, 0)) -> Near:
        """Work it out for a first turn that lies off the grid by so much."""
        first, second = self.turns[one].shape, self.turns[other].shape
        low_x = -((second.width + self.gap) // self.step)
        low_y = -((second.height + self.gap) // self.step)
        across = np.arange(low_x, (first.width + self.gap) // self.step + 2)
        down = np.arange(low_y, (first.height + self.gap) // self.step + 2)
        xs = (across * self.step - off[0]).astype(np.float64)
        ys = (down * self.step - off[1]).astype(np.float64)
        right = self.clear.beside(one, other, ys)
        left = -self.clear.beside(other, one, -ys)
        above = self.clear.up(one, other, xs)
        below = -self.clear.up(other, one, -xs)
        rows = (xs[:, None] > left) & (xs[:, None] < right)
        columns = (ys > below[:, None]) & (ys < above[:, None])
        return Near(int(low_x), int(low_y), rows & columns)


@dataclass(frozen=True)
class Near:
    """Marks over steps along and up, the first of them at these numbers."""

    x: int
    y: int
    marks: Marks

    def swapped(self) -> Near:
        """Give the same with along and up swapped."""
        return Near(self.y, self.x, np.ascontiguousarray(self.marks.T))

    def back(self) -> Near:
        """Give the steps from the other turn to the one."""
        far_x, far_y = (
            at + size - 1
            for at, size in zip((self.x, self.y), self.marks.shape, strict=True)
        )
        return Near(-far_x, -far_y, np.ascontiguousarray(self.marks[::-1, ::-1]))


def both_ways(
    shapes: Sequence[Sequence[Shape]], gap: int, room: tuple[int, int]
) -> tuple[Grid, Grid]:
    """Give the grid that fills from the left, and the one that fills from the top."""
    upright = Grid(shapes, gap, room)
    sideways = Grid(shapes, gap, room, sideways=True)
    sideways.upright = upright
    return upright, sideways


class Table:
    """One sheet being filled: what lies on it, and which places are taken."""

    def __init__(self, grid: Grid, kinds: Iterable[int]) -> None:
        self.grid = grid
        self.turns = {kind: grid.turns_of(kind) for kind in kinds}
        self.taken = {
            turn: grid.places(turn) for turns in self.turns.values() for turn in turns
        }
        self.put: list[Put] = []

    @property
    def pattern(self) -> Pattern:
        return tuple(self.grid.spot(one) for one in self.put)

    def add(self, kind: int) -> bool:
        """Put one of a kind where it reaches least far; say whether it went."""
        best: tuple[int, int, Put] | None = None
        for turn in self.turns[kind]:
            at = self._first(turn)
            if at is not None:
                x, y = at
                far = x * self.grid.step + self.grid.turns[turn].shape.width
                found = (far, y, Put(turn, x, y))
                best = found if best is None or found[:2] < best[:2] else best
        if best is None:
            return False
        self.place(best[2])
        return True

    def place(self, put: Put) -> None:
        self.put.append(put)
        for turn, taken in self.taken.items():
            _mark(taken, self.grid.near(put.turn, turn), put)

    def keep_off(self, spot: Spot) -> None:
        """Take the places near a piece that lies anywhere, and is counted elsewhere."""
        grid = self.grid
        number, (x, y) = grid.turn_of(spot)
        at = Put(number, x // grid.step, y // grid.step)
        off = x % grid.step, y % grid.step
        for turn, taken in self.taken.items():
            on_grid = off == (0, 0)
            near = grid.near(number, turn) if on_grid else None
            _mark(taken, near or grid.worked_out(number, turn, off), at)

    def _first(self, turn: int) -> tuple[int, int] | None:
        taken = self.taken[turn]
        at = int(taken.argmin())
        x, y = divmod(at, taken.shape[1])
        return None if taken[x, y] else (x, y)


def _mark(taken: Marks, near: Near, put: Put) -> None:
    left, low = put.x + near.x, put.y + near.y
    right, high = left + near.marks.shape[0], low + near.marks.shape[1]
    x, y = max(0, left), max(0, low)
    far_x, far_y = min(right, taken.shape[0]), min(high, taken.shape[1])
    if x < far_x and y < far_y:
        taken[x:far_x, y:far_y] |= near.marks[
            x - left : far_x - left, y - low : far_y - low
        ]


def _swapped(shape: Shape) -> Shape:
    return Shape(tuple((y, x) for x, y in shape.corners))
