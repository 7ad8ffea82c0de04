"""A template drawn to scale: its cut outline whole, the sewing line dashed inside it.

drawing units = inches × (box − margins) / the longer side of the cut outline
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction

from studio.maths import svg
from studio.maths.outlines import HeartOutline, Outline
from studio.maths.shapes import CutPoint
from studio.maths.surds import Surd
from studio.maths.template_shapes import Template

BOX = 120
MARGIN = 4
SIZE_PX = 160
GLASS, EDGE, STITCH = "#cfe0e6", "#1c2858", "#9c2a24"

Spot = Callable[[CutPoint], str]


def template_svg(title: str, template: Template, size_px: int = SIZE_PX) -> str:
    """Draw one template."""
    left, low, right, high = _bounds(template)
    scale = Fraction(BOX - 2 * MARGIN) / max(right - left, high - low)
    inset_x = (BOX - (right - left) * scale) / 2
    inset_y = (BOX - (high - low) * scale) / 2

    def spot(at: CutPoint) -> str:
        x, y = (_plain(end) for end in at)
        across, down = inset_x + (x - left) * scale, inset_y + (high - y) * scale
        return f"{svg.plain(across)} {svg.plain(down)}"

    whole = (
        _closed(map(spot, template.blunted_corners))
        if template.blunted_corners
        else _path(template.cut, spot, scale)
    )
    sewn = _path(template.sewn, spot, scale)
    return svg.picture(
        title,
        f"The {template.shape.name}: cut along the whole line, sew along the dashed one.",
        [
            svg.mark("path", d=whole, fill=GLASS, stroke=EDGE, stroke_width="1.5"),
            svg.mark(
                "path",
                d=sewn,
                fill="none",
                stroke=STITCH,
                stroke_width="1.2",
                stroke_dasharray="4 3",
            ),
        ],
        box=(BOX, BOX),
        size_px=(size_px, size_px),
    )


def _path(outline: Outline | HeartOutline, spot: Spot, scale: Fraction) -> str:
    if isinstance(outline, Outline):
        return _closed(map(spot, outline.corners()))
    right, upper = outline.arcs()
    radius = svg.plain(outline.radius_inches * scale)
    arc = f"A{radius} {radius} 0 0 0 "
    start = f"M{spot(outline.point)}L{spot(right.start)}"
    return f"{start}{arc}{spot(right.end)}{arc}{spot(upper.end)}Z"


def _closed(spots: Iterable[str]) -> str:
    return f"M{'L'.join(spots)}Z"


def _bounds(template: Template) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    cut = template.cut
    if isinstance(cut, HeartOutline):
        low, far = -cut.seam_inches, cut.square_inches + cut.radius_inches
        return low, low, far, far
    corners = template.blunted_corners or cut.corners()
    xs, ys = ([_plain(at[n]) for at in corners] for n in (0, 1))
    return min(xs), min(ys), max(xs), max(ys)


def _plain(value: Surd) -> Fraction:
    return value.bounds()[0]
