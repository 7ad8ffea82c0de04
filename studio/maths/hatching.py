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
from math import ceil, floor
from typing import Literal

from studio.maths import svg
from studio.maths.shapes import Point

Motif = Literal[
    "plain", "slopes", "rises", "rows", "posts", "dots", "crosses", "checks"
]
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
    """Draw patches of one cloth: one path for the ground, one for the marks."""
    yield svg.mark("path", d="".join(map(path, outlines)), fill=look.ground)
    marks = "".join(_marks(outline, look) for outline in outlines)
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


def path(outline: Sequence[Point]) -> str:
    """Write an outline as a closed path."""
    spots = "L".join(f"{svg.plain(x)} {svg.plain(y)}" for x, y in outline)
    return f"M{spots}Z"


def _marks(outline: Sequence[Point], look: Look) -> str:
    if look.motif == "plain":
        return ""
    if look.motif in _SLOPES:
        directions = _SLOPES[look.motif]
        return "".join(_lines(outline, a, b) for a, b in directions)
    shape = "h.01" if look.motif == "dots" else "m-1 0h2m-1-1v2"
    return "".join(f"M{svg.plain(x)} {svg.plain(y)}{shape}" for x, y in _grid(outline))


def _lines(outline: Sequence[Point], a: int, b: int) -> str:
    heights = [a * x + b * y for x, y in outline]
    step = STEP if a and b else SMALL_STEP
    first, last = ceil(min(heights) / step), floor(max(heights) / step)
    written = []
    for n in range(first, last + 1):
        ends = _crossings(outline, heights, Fraction(n * step))
        if len(ends) == 2:
            (x, y), (to_x, to_y) = ends
            written.append(
                f"M{svg.plain(x)} {svg.plain(y)}L{svg.plain(to_x)} {svg.plain(to_y)}"
            )
    return "".join(written)


def _crossings(
    outline: Sequence[Point], heights: Sequence[Fraction], at: Fraction
) -> list[Point]:
    found: dict[Point, None] = {}
    for n, (x, y) in enumerate(outline):
        low, high = heights[n - 1], heights[n]
        if low == high or not min(low, high) <= at <= max(low, high):
            continue
        part = (at - low) / (high - low)
        from_x, from_y = outline[n - 1]
        found[from_x + part * (x - from_x), from_y + part * (y - from_y)] = None
    return list(found)


def _grid(outline: Sequence[Point]) -> Iterator[Point]:
    left, right = min(x for x, _ in outline), max(x for x, _ in outline)
    top, base = min(y for _, y in outline), max(y for _, y in outline)
    for row in range(ceil(top / STEP), floor(base / STEP) + 1):
        shift = Fraction(STEP, 2) * (row % 2)
        for column in range(ceil(left / STEP) - 1, floor(right / STEP) + 1):
            spot = (column * STEP + shift, Fraction(row * STEP))
            if _is_well_inside(outline, spot):
                yield spot


def _is_well_inside(outline: Sequence[Point], spot: Point) -> bool:
    sides = [
        (x - outline[n - 1][0]) * (spot[1] - outline[n - 1][1])
        - (y - outline[n - 1][1]) * (spot[0] - outline[n - 1][0])
        for n, (x, y) in enumerate(outline)
    ]
    reach = [
        abs(x - outline[n - 1][0]) + abs(y - outline[n - 1][1])
        for n, (x, y) in enumerate(outline)
    ]
    room = Fraction(3, 2)
    return all(
        side >= room * far for side, far in zip(sides, reach, strict=True)
    ) or all(-side >= room * far for side, far in zip(sides, reach, strict=True))
