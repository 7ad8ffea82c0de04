"""The drawings of the blocks pages and papers, marked as safe to print."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from django.utils.safestring import SafeString, mark_safe

from studio.maths import block_drawing, hatching, project_drawing, svg
from studio.maths.block_tables import UnitMade, units_drawn
from studio.maths.blocks import Block, Cell
from studio.maths.hatching import Look
from studio.maths.project_tables import Planned
from studio.maths.projects import OnPoint

_LOW, _WIDE, _HIGH = Fraction(1), Fraction(27), Fraction(17)
SWATCH = ((_LOW, _LOW), (_WIDE, _LOW), (_WIDE, _HIGH), (_LOW, _HIGH))


@dataclass(frozen=True)
class Drawn:
    """A unit with its drawing, step by step."""

    made: UnitMade
    picture: SafeString


def block_picture(block: Block, size_px: int) -> SafeString:
    return _safe(block_drawing.block_svg(f"The {block.name}", block, size_px=size_px))


def panel_picture(planned: Planned, size_px: int) -> SafeString:
    """Draw a project with a legend of its cloths."""
    title = f"The {planned.kind}, {planned.size}"
    if isinstance(planned.panel, OnPoint):
        drawing = project_drawing.on_point_svg(title, planned.panel, long_px=size_px)
    else:
        drawing = project_drawing.project_svg(title, planned.panel, long_px=size_px)
    return _safe(drawing)


def cell_picture(cell: Cell, looks: Mapping[str, Look], step_px: int) -> SafeString:
    """Draw one patch of a block for a button that says its name itself."""
    at = (-cell.x * step_px, -cell.y * step_px)
    marks = block_drawing.role_marks(list(cell.faces()), Fraction(step_px), at, looks)
    body = svg.group(marks, stroke=block_drawing.EDGE, stroke_linejoin="round")
    width, height = int(cell.width * step_px), int(cell.height * step_px)
    return _safe(
        f'<svg xmlns="http://www.w3.org/2000/svg" aria-hidden="true" width="{width}" '
        f'height="{height}" viewBox="0 0 {width} {height}">{body}</svg>'
    )


def swatches(roles: Sequence[str]) -> dict[str, SafeString]:
    """Draw a small piece of each cloth, by role."""
    return {
        role: _safe(
            svg.picture(
                f"How the {role} is drawn",
                "A piece of the cloth.",
                [svg.group(hatching.cloth([SWATCH], look), stroke=block_drawing.EDGE)],
                box=(28, 18),
                size_px=(28, 18),
            )
        )
        for role, look in hatching.looks_of(roles).items()
    }


def drawn(units: Sequence[UnitMade], roles: Sequence[str]) -> list[Drawn]:
    """Draw each sewn unit step by step, its cloths as in the block."""
    looks = hatching.looks_of(roles)
    return [Drawn(one, _steps(one, looks)) for one in units_drawn(units)]


def _steps(one: UnitMade, looks: Mapping[str, Look]) -> SafeString:
    title = f"The {one.name}, {one.recipe.method}, step by step"
    return _safe(block_drawing.steps_svg(title, one.recipe, one.unit.roles, looks))


def _safe(drawing: str) -> SafeString:
    # The drawings escape every word that they are given.
    return mark_safe(drawing)  # noqa: S308
