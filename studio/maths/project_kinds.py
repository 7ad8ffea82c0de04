"""What each kind of project needs besides its panel, and blocks enough for a bed.

    cushion       two overlapping backs: width + 2 seams, half the height + 3 1/4 in
    bag panel     lining as large as the panel, wadding; no binding
    table mat, runner, quilt      backing, wadding and binding
    wall hanging  the same and a sleeve 8 1/2 in wide, an inch shorter than the width
Sources: common practice; the cushion's overlap and the sleeve from memory.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Literal, get_args

from studio.errors import StudioError
from studio.maths import finishing, projects
from studio.maths.blocks import USUAL_WAYS, Block, Ways
from studio.maths.cutting_list import CutPiece, gathered
from studio.maths.finishing import Bed
from studio.maths.patch.recipe import USUAL, Making, Size
from studio.maths.project_strips import Border
from studio.maths.projects import Project

Kind = Literal["cushion", "bag panel", "table mat", "runner", "wall hanging", "quilt"]
KINDS: tuple[Kind, ...] = get_args(Kind)
BOUND: tuple[Kind, ...] = ("table mat", "runner", "wall hanging", "quilt")
OVERLAP_INCHES = Fraction(4)
HEM_INCHES = Fraction(1)
SLEEVE_INCHES = Fraction(17, 2)


class KindUnknown(StudioError):
    """A kind of project that is not planned here."""

    def __init__(self, kind: str) -> None:
        self.kind = kind
        super().__init__(kind)

    def __str__(self) -> str:
        return f"“{self.kind}” is not planned here. Choose one of: {', '.join(KINDS)}."


def cut_list(
    kind: Kind, project: Project, making: Making = USUAL, ways: Ways = USUAL_WAYS
) -> tuple[CutPiece, ...]:
    """Give everything to cut for a project of a kind, its finishing included."""
    panel = projects.cut_list(project, making, ways)
    size = projects.finished_size(project)
    return gathered((*panel, *finish(kind, size, making)))


def finish(kind: str, size: Size, making: Making = USUAL) -> tuple[CutPiece, ...]:
    """Give what a finished panel of a size needs besides itself."""
    if kind not in KINDS:
        raise KindUnknown(kind)
    if kind == "cushion":
        return _cushion(size, making)
    if kind == "bag panel":
        raw = making.raw(*size)
        return (
            CutPiece("lining", "lining", 1, *raw),
            CutPiece("wadding", "wadding", 1, *raw),
        )
    allowance, usable, margin = finishing.usual_ruler_margins(making.ruler)
    backing = finishing.backing(
        *size,
        margin_inches=margin,
        usable_inches=usable,
        seam_inches=making.ruler.seam_inches,
    )
    bound = finishing.binding(
        *size,
        allowance_inches=allowance,
        usable_inches=usable,
        strip_inches=finishing.usual_strip(making.ruler),
    )
    plain = (backing.piece(), finishing.wadding(*size, margin), bound.piece())
    return (*plain, _sleeve(size)) if kind == "wall hanging" else plain


def quilt_for_bed(
    bed: Bed,
    block: Block,
    finished_inches: Fraction,
    drop_inches: Fraction,
    border: Border | None = None,
) -> Project:
    """Give a quilt of whole blocks that covers a bed and hangs down so far."""
    size = finishing.bed_quilt(bed, drop_inches)
    wide = border.width_inches if border else Fraction(0)
    across, down = finishing.blocks_to_cover(size, finished_inches, wide)
    quilt = projects.of_blocks(
        f"{bed.name} quilt", block, finished_inches, across, down
    )
    return replace(quilt, borders=(border,) if border else ())


def _cushion(size: Size, making: Making) -> tuple[CutPiece, ...]:
    width, height = size
    across = width + making.ruler.two_seams
    back = height / 2 + OVERLAP_INCHES / 2 + HEM_INCHES + making.ruler.seam_inches
    raw = making.raw(width, height)
    return (
        CutPiece("cushion back", "backing", 2, across, back),
        CutPiece("wadding", "wadding", 1, *raw),
    )


def _sleeve(size: Size) -> CutPiece:
    return CutPiece("sleeve", "backing", 1, size[0] - 1, SLEEVE_INCHES)
