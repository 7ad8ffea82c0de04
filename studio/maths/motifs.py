"""Small printed-cloth motifs, chosen from a name so that a cloth always looks the same.

Each motif fills a rectangle with marks of one colour. Ground and marks differ in
lightness as well as in colour, so that a print can be told apart in grey.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from zlib import crc32

from studio.maths import svg

# Ground and marks; every second pair is light on dark.
PALETTES = (
    ("#f0e6cf", "#7a4a26", "#3f5160", "#d9e2e4"),
    ("#e3e8dc", "#4f6338", "#7d2f2a", "#f1dccb"),
    ("#dde4ea", "#34507a", "#5b4636", "#ead9bd"),
    ("#f3dfd3", "#8c3b2e", "#2f4a4a", "#dbe6dc"),
    ("#eae3ee", "#5d4277", "#41566b", "#e8e2cd"),
    ("#efe3bd", "#6b5413", "#33415c", "#dfe3ea"),
    ("#dfe7e3", "#2f5d56", "#73405a", "#f0dde3"),
)


@dataclass(frozen=True)
class Print:
    """One printed cloth: ground colour, colour of the marks, and the motif."""

    ground: str
    ink: str
    motif: int


@dataclass(frozen=True)
class Area:
    """A rectangle to fill."""

    x: int
    y: int
    width: int
    height: int


def prints_of(name: str, count: int) -> list[Print]:
    """Choose so many prints for a range of cloth; the same name gives the same."""
    seed = crc32(name.encode())
    first, first_ink, second, second_ink = PALETTES[(seed >> 8) % len(PALETTES)]
    return [
        Print(
            second if n % 2 else first,
            second_ink if n % 2 else first_ink,
            ((seed & 255) + n) % len(_MOTIFS),
        )
        for n in range(count)
    ]


def cloth(printed: Print, area: Area) -> str:
    """Draw a piece of cloth with its motif."""
    ground = svg.mark(
        "rect",
        x=area.x,
        y=area.y,
        width=area.width,
        height=area.height,
        fill=printed.ground,
        stroke=svg.INK,
    )
    return ground + _MOTIFS[printed.motif](area, printed.ink)


def _dots(area: Area, ink: str) -> str:
    rows = range(area.y + 7, area.y + area.height - 3, 9)
    lines = (
        f"M{area.x + 5 + 4 * (n % 2)} {y}h{area.width - 11}" for n, y in enumerate(rows)
    )
    return svg.mark(
        "path",
        d="".join(lines),
        stroke=ink,
        stroke_width=Fraction(17, 5),
        stroke_linecap="round",
        stroke_dasharray="0 8",
    )


def _checks(area: Area, ink: str) -> str:
    down = (
        f"M{x} {area.y + 1}v{area.height - 2}"
        for x in range(area.x + 6, area.x + area.width - 3, 12)
    )
    across = (
        f"M{area.x + 1} {y}h{area.width - 2}"
        for y in range(area.y + 6, area.y + area.height - 3, 12)
    )
    return svg.mark(
        "path",
        d="".join((*down, *across)),
        stroke=ink,
        stroke_width=5,
        stroke_opacity=Fraction(45, 100),
    )


def _ticking(area: Area, ink: str) -> str:
    lines = (
        f"M{x} {area.y + 1}v{area.height - 2}m3 0v{2 - area.height}"
        for x in range(area.x + 5, area.x + area.width - 4, 9)
    )
    return svg.mark("path", d="".join(lines), stroke=ink, fill="none")


def _crosses(area: Area, ink: str) -> str:
    marks = (f"M{x - 2} {y}h4m-2-2v4" for x, y in _staggered(area))
    return svg.mark(
        "path",
        d="".join(marks),
        stroke=ink,
        stroke_width=Fraction(8, 5),
        fill="none",
    )


def _leaves(area: Area, ink: str) -> str:
    marks = (f"M{x - 3} {y + 3}q0-6 6-6q0 6-6 6" for x, y in _staggered(area))
    return svg.mark("path", d="".join(marks), fill=ink)


def _staggered(area: Area) -> Iterator[tuple[int, int]]:
    columns = range(area.x + 7, area.x + area.width - 4, 11)
    rows = range(area.y + 7, area.y + area.height - 8, 12)
    for (n, x), y in product(enumerate(columns), rows):
        yield x, y + 5 * (n % 2)


_MOTIFS: tuple[Callable[[Area, str], str], ...] = (
    _dots,
    _checks,
    _leaves,
    _ticking,
    _crosses,
)
