"""Drawings of projects, to scale, with a legend of the cloths.

Blocks on point are turned by √½ in both directions, to nine places, which is finer
than any line that is drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from studio.maths import hatching, projects, svg
from studio.maths.block_drawing import EDGE, legend_marks, role_marks
from studio.maths.blocks import Block, RoleFace
from studio.maths.hatching import Look
from studio.maths.projects import OnPoint, Project, Strip
from studio.maths.shapes import Point

LONG = 300
MARGIN = 4
LEGEND = 118
ROW = 16
SLANT = Fraction(707106781, 10**9)

NOUGHT = Fraction(0)


def project_svg(
    title: str,
    project: Project,
    looks: Mapping[str, Look] | None = None,
    long_px: int = 480,
) -> str:
    """Draw a project of rows, its sashing and borders."""
    size = projects.finished_size(project)
    faces = [*_block_faces(project), *map(_strip_face, projects.strips(project))]
    counts = ", ".join(
        f"{row.number} × {row.block.name}" for row in projects.block_counts(project)
    )
    words = (
        f"{counts}; finished {project.ruler.show_by(*size)}. "
        f"Cloths: {', '.join(_roles(faces))}."
    )
    return _drawn(title, words, faces, size, looks, long_px)


def on_point_svg(
    title: str,
    project: OnPoint,
    looks: Mapping[str, Look] | None = None,
    long_px: int = 480,
) -> str:
    """Draw a project on point, its alternates and its setting triangles."""
    size = projects.on_point_size(project)
    faces = list(_on_point_faces(project))
    words = (
        f"{project.across * project.down} × {project.block.name} on point, "
        f"{project.alternates} between them, {project.side_triangles} side triangles "
        f"and 4 corners; finished {project.ruler.show_by(*size)}."
    )
    return _drawn(title, words, faces, size, looks, long_px)


def _drawn(
    title: str,
    words: str,
    faces: Sequence[RoleFace],
    size: tuple[Fraction, Fraction],
    looks: Mapping[str, Look] | None,
    long_px: int,
) -> str:
    scale = Fraction(LONG) / max(size)
    width, height = (side * scale + 2 * MARGIN for side in size)
    roles = _roles(faces)
    chosen = looks or hatching.looks_of(roles)
    at = (Fraction(MARGIN), Fraction(MARGIN))
    body = svg.group(
        role_marks(faces, scale, at, chosen),
        stroke=EDGE,
        stroke_width=Fraction(7, 10),
        stroke_linejoin="round",
    )
    legend = legend_marks(
        {role: chosen[role] for role in roles}, (width + 8, Fraction(MARGIN + 2)), ROW
    )
    px = Fraction(long_px, LONG + 2 * MARGIN)
    box = (width + LEGEND, max(height, Fraction(len(roles) * ROW + 2 * MARGIN)))
    return svg.picture(
        title,
        words,
        [body, *legend],
        box=box,
        size_px=(round(box[0] * px), round(box[1] * px)),
    )


def _roles(faces: Sequence[RoleFace]) -> list[str]:
    return list(dict.fromkeys(face.role for face in faces))


def _block_faces(project: Project) -> Iterator[RoleFace]:
    for placed in projects.placed_blocks(project):
        step = placed.finished_inches / placed.block.across
        for face in placed.block.faces():
            corners = tuple(
                (x * step + placed.x, y * step + placed.y) for x, y in face.corners
            )
            yield RoleFace(face.role, corners)


def _strip_face(strip: Strip) -> RoleFace:
    right, base = strip.x + strip.width_inches, strip.y + strip.height_inches
    return RoleFace(
        strip.role,
        ((strip.x, strip.y), (right, strip.y), (right, base), (strip.x, base)),
    )


def _on_point_faces(project: OnPoint) -> Iterator[RoleFace]:
    half = project.step_inches * SLANT
    width, height = 2 * half * project.across, 2 * half * project.down
    role = project.setting_role
    yield RoleFace(
        role, ((NOUGHT, NOUGHT), (width, NOUGHT), (width, height), (NOUGHT, height))
    )
    yield from _tipped(project, project.block, half, (project.across, project.down))
    inner = (project.across - 1, project.down - 1)
    if project.alternate is not None:
        yield from _tipped(project, project.alternate, half, inner, 2)


def _tipped(
    project: OnPoint, block: Block, half: Fraction, counts: tuple[int, int], by: int = 1
) -> Iterator[RoleFace]:
    """Tip each block about the middle of its place; ``by`` is its half step in."""
    step = project.finished_inches / block.across
    middle_x, middle_y = block.across / 2, block.down / 2
    for down in range(counts[1]):
        for across in range(counts[0]):
            centre = (half * (2 * across + by), half * (2 * down + by))
            for face in block.faces():
                corners = tuple(
                    _tip((x - middle_x) * step, (y - middle_y) * step, centre)
                    for x, y in face.corners
                )
                yield RoleFace(face.role, corners)


def _tip(x: Fraction, y: Fraction, centre: Point) -> Point:
    return centre[0] + (x - y) * SLANT, centre[1] + (x + y) * SLANT
