"""Drawings of projects, to scale, with a legend of the cloths.

Blocks on point are turned by √½ in both directions, to nine places, which is finer
than any line that is drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from studio.maths import hatching, projects, svg
from studio.maths.block_drawing import EDGE, legend_marks, role_marks
from studio.maths.blocks import Block, RoleFace
from studio.maths.hatching import Look
from studio.maths.metric import Ruler
from studio.maths.project_strips import Strip
from studio.maths.projects import OnPoint, Project
from studio.maths.shapes import Point

LONG = 300
MARGIN = 4
LEGEND = 118
ROW = 16
# Of more patches the motifs are too small to be seen, and too many to be sent.
MOST_HATCHED = 900
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
        f"and 4 corners; finished {show_rounded(project.ruler, *size)}."
    )
    return _drawn(title, words, faces, size, looks, long_px)


def show_rounded(ruler: Ruler, width: Fraction, height: Fraction) -> str:
    """Write a size that has a root in it to the nearest mark, and say so."""
    near = [
        round(side / ruler.step_inches) * ruler.step_inches for side in (width, height)
    ]
    exact = near == [width, height]
    return f"{'' if exact else 'about '}{ruler.show_by(*near)}"


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
    if len(faces) > MOST_HATCHED:
        chosen = {role: replace(look, motif="plain") for role, look in chosen.items()}
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
    edge = sum((border.width_inches for border in project.borders), NOUGHT)
    inner = projects.on_point_inner(project)
    low, high = (edge, edge), (edge + inner[0], edge + inner[1])
    role = project.setting_role
    yield RoleFace(role, (low, (high[0], low[1]), high, (low[0], high[1])))
    for centre in _centres(project, edge, 1):
        yield from _tipped(project, project.block, centre)
        for face in _sashes_about(project, centre):
            yield replace(face, corners=_clipped(face.corners, low, high))
    if project.alternate is not None:
        for centre in _centres(project, edge, 2):
            yield from _tipped(project, project.alternate, centre)
    yield from map(_strip_face, projects.on_point_strips(project))


def _centres(project: OnPoint, edge: Fraction, first: int) -> Iterator[Point]:
    """Give the middles of the blocks, or of what lies between them: ``first`` is 2."""
    half = project.step_inches * SLANT
    fewer = first - 1
    for down in range(project.down - fewer):
        for across in range(project.across - fewer):
            yield (
                edge + half * (2 * across + first),
                edge + half * (2 * down + first),
            )


def _tipped(project: OnPoint, block: Block, centre: Point) -> Iterator[RoleFace]:
    """Tip a block about the middle of its place."""
    step = project.finished_inches / block.across
    middle_x, middle_y = block.across / 2, block.down / 2
    for face in block.faces():
        corners = tuple(
            _tip((x - middle_x) * step, (y - middle_y) * step, centre)
            for x, y in face.corners
        )
        yield RoleFace(face.role, corners)


def _sashes_about(project: OnPoint, centre: Point) -> Iterator[RoleFace]:
    """Give the four sashes of a block on point and the four squares at their ends."""
    far, wide = project.finished_inches / 2, project.sash_inches
    if not wide:
        return
    stone = project.cornerstone_role or project.sash_role
    out = far + wide
    boxes = ((project.sash_role, -far, -out, far, -far), (stone, far, -out, out, -far))
    for role, left, top, right, base in boxes:
        box: tuple[Point, ...]
        box = ((left, top), (right, top), (right, base), (left, base))
        for _ in range(4):
            yield RoleFace(role, tuple(_tip(x, y, centre) for x, y in box))
            box = tuple((-y, x) for x, y in box)


def _clipped(corners: Sequence[Point], low: Point, high: Point) -> tuple[Point, ...]:
    """Cut a convex outline off at the edges of a panel."""
    kept = list(corners)
    for axis in (0, 1):
        for limit, sign in ((low[axis], 1), (high[axis], -1)):
            kept = list(_beyond(kept, axis, limit, sign))
    return tuple(kept)


def _beyond(
    corners: Sequence[Point], axis: int, limit: Fraction, sign: int
) -> Iterator[Point]:
    for n, here in enumerate(corners):
        before = corners[n - 1]
        inside = [(spot[axis] - limit) * sign >= 0 for spot in (before, here)]
        if inside[0] != inside[1]:
            part = (limit - before[axis]) / (here[axis] - before[axis])
            yield (
                before[0] + part * (here[0] - before[0]),
                before[1] + part * (here[1] - before[1]),
            )
        if inside[1]:
            yield here


def _tip(x: Fraction, y: Fraction, centre: Point) -> Point:
    return centre[0] + (x - y) * SLANT, centre[1] + (x + y) * SLANT
