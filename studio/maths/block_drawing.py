"""Drawings of blocks, and of units step by step.

Cloths are told apart by motif and lightness as well as by colour. Lines to draw are
dotted, lines to sew dashed, lines to cut whole, and the description says which.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import groupby

from studio.maths import hatching, svg
from studio.maths.blocks import Block, RoleFace
from studio.maths.hatching import Look
from studio.maths.patch.recipe import Face, Line, Recipe, Step
from studio.maths.shapes import Point

BOX = 120
MARGIN = 3
SIZE_PX = 160
PANEL = 120
CAPTION = 16

EDGE = "#1c2858"
STITCH = "#9c2a24"
LINES = {
    "draw": {"stroke": svg.INK, "stroke_dasharray": "1 3", "stroke_width": "1.6"},
    "sew": {"stroke": STITCH, "stroke_dasharray": "5 3", "stroke_width": "1.6"},
    "cut": {"stroke": svg.INK, "stroke_width": "2.2"},
}


def block_svg(
    title: str,
    block: Block,
    looks: Mapping[str, Look] | None = None,
    size_px: int = SIZE_PX,
) -> str:
    """Draw a block, each role of cloth in its own look."""
    long = max(block.across, block.down)
    step = (BOX - 2 * MARGIN) / long
    at = ((BOX - block.across * step) / 2, (BOX - block.down * step) / 2)
    body = list(role_marks(block.faces(), step, at, looks or _looks(block)))
    return svg.picture(
        title,
        f"The {block.name}, {len(block.faces())} patches: {', '.join(block.roles)}.",
        [_framed(body)],
        box=(BOX, BOX),
        size_px=(size_px, size_px),
    )


def steps_svg(
    title: str,
    recipe: Recipe,
    roles: Sequence[str],
    looks: Mapping[str, Look] | None = None,
    height_px: int = SIZE_PX,
) -> str:
    """Draw how a unit is made, one numbered panel for each step that shows cloth."""
    shown = [step for step in recipe.steps if step.faces]
    chosen = looks or hatching.looks_of(roles)
    body = [
        mark
        for n, step in enumerate(shown)
        for mark in _panel(n, step, [chosen[role] for role in roles])
    ]
    words = " ".join(f"{n}. {step.words}" for n, step in enumerate(shown, 1))
    high = PANEL + CAPTION
    return svg.picture(
        title,
        f"{words} Dotted lines are drawn, dashed ones sewn, whole ones cut.",
        [_framed(body)],
        box=(PANEL * len(shown), high),
        size_px=(round(height_px * PANEL * len(shown) / high), height_px),
    )


def legend_marks(looks: Mapping[str, Look], at: Point, row: int = 16) -> Iterator[str]:
    """Draw a swatch and the name of every role, one below the other."""
    x, y = at
    for n, (role, look) in enumerate(looks.items()):
        top = y + n * row
        swatch = ((x, top), (x + 18, top), (x + 18, top + 11), (x, top + 11))
        yield _framed(hatching.cloth([swatch], look))
        yield svg.text(role, x + 24, top + 9, 9)


def role_marks(
    faces: Sequence[RoleFace],
    step: Fraction,
    at: Point,
    looks: Mapping[str, Look],
) -> Iterator[str]:
    """Draw patches at so many units of the drawing to a step, by role of cloth."""
    by_role: dict[str, list[list[Point]]] = {}
    for one in faces:
        outline = [(x * step + at[0], y * step + at[1]) for x, y in one.corners]
        by_role.setdefault(one.role, []).append(outline)
    for role, outlines in by_role.items():
        yield from hatching.cloth(outlines, looks[role])


def _looks(block: Block) -> Mapping[str, Look]:
    return hatching.looks_of(block.roles)


def _framed(marks: Iterator[str] | Sequence[str]) -> str:
    return svg.group(marks, stroke=EDGE, stroke_width=1, stroke_linejoin="round")


def _panel(number: int, step: Step, looks: Sequence[Look]) -> Iterator[str]:
    corners = [corner for one in step.faces for corner in one.corners]
    left, top = min(x for x, _ in corners), min(y for _, y in corners)
    width = max(x for x, _ in corners) - left
    height = max(y for _, y in corners) - top
    scale = Fraction(PANEL - 16) / max(width, height)
    at = (
        number * PANEL + (PANEL - width * scale) / 2 - left * scale,
        (PANEL - height * scale) / 2 - top * scale,
    )
    for slot, same in groupby(step.faces, key=lambda one: one.slot):
        yield from _cloth(list(same), scale, at, looks[slot])
    for line in step.lines:
        yield _line(line, scale, at)
    middle = number * PANEL + Fraction(PANEL, 2)
    yield svg.text(
        str(number + 1), middle, PANEL + 11, 13, text_anchor="middle", stroke="none"
    )


def _cloth(
    faces: Sequence[Face], scale: Fraction, at: Point, look: Look
) -> Iterator[str]:
    outlines = [[_spot(p, scale, at) for p in one.corners] for one in faces]
    yield from hatching.cloth(outlines, look)


def _line(line: Line, scale: Fraction, at: Point) -> str:
    ends = [_spot(point, scale, at) for point in (line.start, line.end)]
    (x, y), (to_x, to_y) = ends
    d = f"M{svg.plain(x)} {svg.plain(y)}L{svg.plain(to_x)} {svg.plain(to_y)}"
    halo = svg.mark("path", d=d, fill="none", stroke="#fff", stroke_width=3)
    return halo + svg.mark("path", d=d, fill="none", **LINES[line.kind])


def _spot(point: Point, scale: Fraction, at: Point) -> Point:
    return point[0] * scale + at[0], point[1] * scale + at[1]
