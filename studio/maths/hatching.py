"""Looks that tell roles of cloth apart without colour, in plain attributes.

Each look is a ground, the colour of its marks and a motif. Marks are lines or dots
worked out inside the outline of a convex patch, since a pattern or a clip would need
an id, and ids clash when two drawings stand on one page.

    a line a·x + b·y = k crosses an edge from P to Q at P + t (Q − P),
    t = (k − aP) / (aQ − aP), 0 ≤ t ≤ 1
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from studio.maths import svg
from studio.maths.shapes import Point

Motif = Literal[
    "plain", "slopes", "rises", "rows", "posts", "dots", "crosses", "checks"
]
# The marks stand on a grid of hundredths.
FINE = 100
Spot = tuple[int, int]
STEP = 6
SMALL_STEP = 4


@dataclass(frozen=True)
class Look:
    """A cloth as it is drawn; light and dark looks differ in lightness too."""

    ground: str
    ink: str
    motif: Motif


DARK_LOOKS = (
    Look("#2a3a7c", "#8fa0d6", "plain"),
    Look("#9c2a24", "#f6d9c9", "dots"),
    Look("#2f5d56", "#bcd9cf", "slopes"),
    Look("#6b5413", "#f0dfae", "crosses"),
    Look("#5d4277", "#d9c9ea", "rows"),
    Look("#34507a", "#cfe0f2", "posts"),
    Look("#73405a", "#efcfdf", "checks"),
    Look("#3f5160", "#d3dee5", "rises"),
)
LIGHT_LOOKS = (
    Look("#f7f1e1", "#b6a684", "plain"),
    Look("#d9e2ec", "#5a708c", "slopes"),
    Look("#f1e0b9", "#86692a", "dots"),
    Look("#dde7db", "#56704e", "posts"),
    Look("#f1dccb", "#93604a", "crosses"),
    Look("#e6dfee", "#705f8c", "rows"),
)
LIGHT_WORDS = (
    "ground",
    "light",
    "second",
    "outer",
    "corner",
    "sash",
    "border",
    "sky",
    "upper",
)
_SLOPES: dict[Motif, tuple[tuple[int, int], ...]] = {
    "slopes": ((1, 1),),
    "rises": ((1, -1),),
    "rows": ((0, 1),),
    "posts": ((1, 0),),
    "checks": ((0, 1), (1, 0)),
}


def looks_of(roles: Sequence[str]) -> Mapping[str, Look]:
    """Give each role a look of its own, light ones to what lies behind."""
    used = {"light": 0, "dark": 0}
    looks: dict[str, Look] = {}
    for role in sorted(dict.fromkeys(roles), key=_ground_first):
        light = any(word in role for word in LIGHT_WORDS)
        kind, choice = ("light", LIGHT_LOOKS) if light else ("dark", DARK_LOOKS)
        looks[role] = choice[used[kind] % len(choice)]
        used[kind] += 1
    return looks


def _ground_first(role: str) -> bool:
    return "ground" not in role


def cloth(outlines: Sequence[Sequence[Point]], look: Look) -> Iterator[str]:
    """Draw patches of one cloth: one path for the ground, one for the marks.

    Drawings are written to the hundredth, so the marks are worked out in hundredths.
    """
    spots = [
        [(svg.in_hundredths(x), svg.in_hundredths(y)) for x, y in outline]
        for outline in outlines
    ]
    yield svg.mark("path", d="".join(map(_path, spots)), fill=look.ground)
    marks = "".join(_marks(outline, look) for outline in spots)
    if not marks:
        return
    dotted = look.motif == "dots"
    yield svg.mark(
        "path",
        d=marks,
        fill="none",
        stroke=look.ink,
        stroke_width=Fraction(11, 5) if dotted else Fraction(4, 5),
        stroke_linecap="round",
    )


def _path(outline: Sequence[Spot]) -> str:
    return f"M{'L'.join(map(_written, outline))}Z"


def _written(spot: Spot) -> str:
    return f"{svg.hundredths(spot[0])} {svg.hundredths(spot[1])}"


def _marks(outline: Sequence[Spot], look: Look) -> str:
    if look.motif == "plain":
        return ""
    if look.motif in _SLOPES:
        directions = _SLOPES[look.motif]
        return "".join(_lines(outline, a, b) for a, b in directions)
    shape = "h.01" if look.motif == "dots" else "m-1 0h2m-1-1v2"
    return "".join(f"M{_written(spot)}{shape}" for spot in _grid(outline))


def _lines(outline: Sequence[Spot], a: int, b: int) -> str:
    heights = [a * x + b * y for x, y in outline]
    step = FINE * (STEP if a and b else SMALL_STEP)
    written = []
    for n in range(-(-min(heights) // step), max(heights) // step + 1):
        ends = _crossings(outline, heights, n * step)
        if len(ends) == 2:
            written.append(f"M{_written(ends[0])}L{_written(ends[1])}")
    return "".join(written)


def _crossings(outline: Sequence[Spot], heights: Sequence[int], at: int) -> list[Spot]:
    found: dict[Spot, None] = {}
    for n, (x, y) in enumerate(outline):
        low, high = heights[n - 1], heights[n]
        if low == high or not min(low, high) <= at <= max(low, high):
            continue
        from_x, from_y = outline[n - 1]
        found[
            from_x + (at - low) * (x - from_x) // (high - low),
            from_y + (at - low) * (y - from_y) // (high - low),
        ] = None
    return list(found)


def _grid(outline: Sequence[Spot]) -> Iterator[Spot]:
    left, right = min(x for x, _ in outline), max(x for x, _ in outline)
    top, base = min(y for _, y in outline), max(y for _, y in outline)
    step = FINE * STEP
    for row in range(-(-top // step), base // step + 1):
        shift = step // 2 * (row % 2)
        for column in range(-(-left // step) - 1, right // step + 1):
            spot = (column * step + shift, row * step)
            if _is_well_inside(outline, spot):
                yield spot


def _is_well_inside(outline: Sequence[Spot], spot: Spot) -> bool:
    """Tell whether a mark has one and a half units of room on every side."""
    sides = []
    for n, (x, y) in enumerate(outline):
        from_x, from_y = outline[n - 1]
        side = (x - from_x) * (spot[1] - from_y) - (y - from_y) * (spot[0] - from_x)
        room = 3 * FINE * (abs(x - from_x) + abs(y - from_y))
        sides.append((2 * side, room))
    return all(side >= room for side, room in sides) or all(
        -side >= room for side, room in sides
    )
