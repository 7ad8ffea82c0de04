"""One outline as often as it goes on a sheet, in rows that interlock.

    the shape and its half-turn alternate along a row, one a little higher, and each
    row is the one below moved by a fixed step (row nesting)

The search is in floating point; each answer is then checked in whole thousandths of a
millimetre, every pair of outlines at least the gap apart. It is the best found and not
proven the most: the area sets the bound beside it. An outline that is not in whole
thousandths is rounded to them and the gap widened by what that can hide.
Working it out takes seconds, once; ``as_text`` is what to keep, and reading it back
checks it again.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, isqrt
from time import monotonic
from typing import TYPE_CHECKING

from studio.errors import StudioError
from studio.maths.nesting_shapes import (
    MICRONS,
    Shape,
    Spot,
    all_apart,
    hull_edges,
    is_exact,
    is_simple,
    shape_of,
    turns_of,
)
from studio.maths.sheet_layout import Sheet

if TYPE_CHECKING:
    from studio.maths.nesting_rows import Rows

USUAL_SECONDS = 5.0
_ROUNDING = 3  # Two corners each half a thousandth off both ways, and the sum upward.
# So many are tried even where others are at work on the computer.
_FEWEST_ROWS = 200
_NUDGES = 8
_NUDGE = 8

Outline = Sequence[tuple[Fraction, Fraction]]


class OutlineUnfit(StudioError):
    """An outline that crosses itself or encloses nothing."""

    def __str__(self) -> str:
        return "The outline crosses itself or encloses nothing; draw it again, please."


class NestUnreadable(StudioError):
    """A kept nest that is not this shape on this sheet, or is damaged."""

    def __str__(self) -> str:
        return "What was kept does not hold on this sheet; work it out again, please."


@dataclass(frozen=True)
class Turned:
    """One outline in the room: its near corner, and how many quarter turns it has."""

    x: int
    y: int
    quarters: int


@dataclass(frozen=True)
class Nest:
    """Outlines on one sheet, in thousandths of a millimetre inside the edges."""

    shape: Shape
    places: tuple[Turned, ...]
    bound: int

    @property
    def count(self) -> int:
        return len(self.places)

    def outlines_mm(
        self, sheet: Sheet
    ) -> Iterator[tuple[tuple[Fraction, Fraction], ...]]:
        """Give every outline on the sheet, from its near corner."""
        for at in self.places:
            corners = turned(self.shape, at.quarters).moved((at.x, at.y))
            yield tuple(
                (
                    sheet.edge_mm + Fraction(x, MICRONS),
                    sheet.edge_mm + Fraction(y, MICRONS),
                )
                for x, y in corners
            )

    def as_text(self) -> str:
        """Write it down to be kept."""
        places = [[at.x, at.y, at.quarters] for at in self.places]
        return json.dumps({"places": places}, separators=(",", ":"))


def turned(shape: Shape, quarters: int) -> Shape:
    """Turn a shape by so many quarter turns."""
    for _ in range(quarters % 4):
        shape = shape.quarter_turned()
    return shape


def nested(
    outline_mm: Outline, sheet: Sheet, *, seconds: float = USUAL_SECONDS
) -> Nest:
    """Put an outline on a sheet as often as rows allow.

    Raises OutlineUnfit. A shape larger than the sheet gives a nest of none.
    """
    until = monotonic() + seconds
    shape, gap, room = _measured(outline_mm, sheet)
    best: tuple[Turned, ...] = ()
    for quarters in (0, 1):
        found = _nested_one_way(turned(shape, quarters), gap, room, until, len(best))
        if len(found) > len(best):
            best = tuple(
                Turned(at.x, at.y, (at.quarters + quarters) % 4) for at in found
            )
    return Nest(shape, best, _area_bound(shape, gap, room))


def read_nest(text: str, outline_mm: Outline, sheet: Sheet) -> Nest:
    """Read back what was kept, and check every distance again.

    Raises NestUnreadable where it does not hold.
    """
    shape, gap, room = _measured(outline_mm, sheet)
    try:
        places = tuple(Turned(*map(int, at)) for at in json.loads(text)["places"])
    except (ValueError, TypeError, KeyError) as damaged:
        raise NestUnreadable from damaged
    if not holds(shape, places, gap, room):
        raise NestUnreadable
    return Nest(shape, places, _area_bound(shape, gap, room))


def holds(shape: Shape, places: Sequence[Turned], gap: int, room: Spot) -> bool:
    """Say whether all lie in the room and keep their distance, in whole numbers."""
    spots = [(at.quarters % 4, (at.x, at.y)) for at in places]
    return all_apart(turns_of(shape), spots, gap, room)


def _measured(outline_mm: Outline, sheet: Sheet) -> tuple[Shape, int, Spot]:
    shape = shape_of(outline_mm)
    if not is_simple(shape.corners):
        raise OutlineUnfit
    rounding = 0 if is_exact(outline_mm) else _ROUNDING
    gap = ceil(sheet.gap_mm * MICRONS) + rounding
    across, down = (floor(side * MICRONS) - rounding for side in sheet.room_mm)
    return shape, gap, (across, down)


def _nested_one_way(
    shape: Shape, gap: int, room: Spot, until: float, to_beat: int
) -> tuple[Turned, ...]:
    # Slow library: numpy, needed only where a nest is worked out and not read back.
    from studio.maths import nesting_rows  # noqa: PLC0415

    if shape.width > room[0] or shape.height > room[1]:
        return ()
    best: tuple[Turned, ...] = (Turned(0, 0, 0),)
    for number, rows in enumerate(nesting_rows.promising_rows(shape, gap)):
        if number >= _FEWEST_ROWS and monotonic() > until:
            break
        most = max(len(best), to_beat)
        if _best_start(rows, shape, room)[1] <= most:
            continue
        found = _checked(rows, shape, gap, room)
        best = max(best, found, key=len)
    return best


def _checked(rows: Rows, shape: Shape, gap: int, room: Spot) -> tuple[Turned, ...]:
    """Move rows apart by a hair until they hold in whole numbers."""
    for nudge in range(_NUDGES):
        wider = rows.widened(nudge * _NUDGE)
        start, _ = _best_start(wider, shape, room)
        places = tuple(_inside(wider, shape, room, start))
        if holds(shape, places, gap, room):
            return places
    return ()


def _best_start(rows: Rows, shape: Shape, room: Spot) -> tuple[Spot, int]:
    """Try every place where something touches the near edges; give the best count."""
    tried = ((at, _count(rows, shape, room, at)) for at in _starts(rows, room))
    return max(tried, key=lambda one: one[1])


def _starts(rows: Rows, room: Spot) -> set[Spot]:
    numbers = range(-1, room[1] // rows.height + 2)
    return {
        ((-n * rows.shift - line.along) % rows.period, -lowest.rise)
        for lowest in rows.lines
        for line in rows.lines
        for n in numbers
    }


Laid = tuple[int, int, int, range]  # quarter turns, left of number 0, height, numbers


def _laid(rows: Rows, shape: Shape, room: Spot, start: Spot) -> Iterator[Laid]:
    """List the rows that lie in the room, with the numbers of what lies in each."""
    wide, high = room[0] - shape.width, room[1] - shape.height
    for line in rows.lines:
        low = start[1] + line.rise
        for n in range(-(low // rows.height), (high - low) // rows.height + 1):
            left = start[0] + line.along + n * rows.shift
            inside = range(-(left // rows.period), (wide - left) // rows.period + 1)
            yield line.quarters, left, low + n * rows.height, inside


def _count(rows: Rows, shape: Shape, room: Spot, start: Spot) -> int:
    return sum(len(laid[3]) for laid in _laid(rows, shape, room, start))


def _inside(rows: Rows, shape: Shape, room: Spot, start: Spot) -> Iterator[Turned]:
    for quarters, left, y, numbers in _laid(rows, shape, room, start):
        for k in numbers:
            yield Turned(left + k * rows.period, y, quarters)


def _area_bound(shape: Shape, gap: int, room: Spot) -> int:
    return 2 * (room[0] + gap) * (room[1] + gap) // grown_area(shape, gap)


def grown_area(shape: Shape, gap: int) -> int:
    """Give twice what an outline takes, grown by half the gap: none then overlap.

    A grown outline takes its own area, half the gap times the band round it, and a
    circle of half the gap, or more (Steiner's formula, from memory); all of them lie
    in the room grown as much. Everything is taken twice, to stay in whole numbers.
    """
    around = sum(
        isqrt((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2)
        for a, b in hull_edges(shape.corners)
    )
    return shape.doubled_area + gap * around + 3 * gap * gap // 2
