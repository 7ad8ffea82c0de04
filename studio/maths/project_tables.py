"""A project as it is read: its counts, its cut list by cloth, and what finishes it.

    to buy = length of cloth, up to the next eighth of a yard or half metre

Sources: as the modules that work it out; common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from studio.lengths import show_inches
from studio.maths import blocks, finishing, project_kinds, projects
from studio.maths.block_tables import RoleList, role_lists_of
from studio.maths.cutting_list import CutPiece, gathered
from studio.maths.metric import Ruler
from studio.maths.patch.recipe import USUAL, Making, Size
from studio.maths.patches import BAR, SQUARE
from studio.maths.project_drawing import show_rounded
from studio.maths.project_kinds import BOUND, Kind
from studio.maths.projects import OnPoint, Project, Row

NOT_CLOTH = "wadding"


@dataclass(frozen=True)
class Planned:
    """A panel of a kind, straight or on point, and how it is cut."""

    kind: Kind
    panel: Project | OnPoint
    making: Making = USUAL

    @property
    def ruler(self) -> Ruler:
        return self.making.ruler

    @property
    def size_inches(self) -> Size:
        if isinstance(self.panel, OnPoint):
            return projects.on_point_size(self.panel)
        return projects.finished_size(self.panel)

    @property
    def size(self) -> str:
        return show_rounded(self.ruler, *self.size_inches)

    def panel_list(self) -> tuple[CutPiece, ...]:
        """Give what to cut for the panel, its finishing left out."""
        if isinstance(self.panel, OnPoint):
            return projects.on_point_cut_list(self.panel, self.making)
        return projects.cut_list(self.panel, self.making)

    def finish_list(self) -> tuple[CutPiece, ...]:
        """Give backing, wadding and binding, or what else finishes it, up to a mark."""
        pieces = project_kinds.finish(self.kind, self.size_inches, self.making)
        return tuple(
            replace(
                piece,
                width_inches=next_mark(piece.width_inches, self.ruler),
                height_inches=next_mark(piece.height_inches, self.ruler),
            )
            for piece in pieces
        )

    def cloth_list(self) -> tuple[CutPiece, ...]:
        """Give everything that is cut from cloth, to be planned."""
        whole = (*self.panel_list(), *self.finish_list())
        return gathered(piece for piece in whole if piece.role != NOT_CLOTH)


@dataclass(frozen=True)
class Counted:
    """So many of one block, unit or strip, and the size they finish at."""

    number: int
    name: str
    size: str


@dataclass(frozen=True)
class Finishing:
    """One thing that finishes a project: its name, and sentences about it."""

    name: str
    sentences: tuple[str, ...]


def counted(planned: Planned) -> tuple[Counted, ...]:
    """Count blocks and units, and on point what lies between and around them."""
    if isinstance(planned.panel, OnPoint):
        return tuple(_counted_on_point(planned.panel))
    show = planned.ruler.show_by
    return tuple(
        Counted(
            row.number, row.block.name, show(row.finished_inches, row.height_inches)
        )
        for row in projects.block_counts(planned.panel)
    )


def units_to_sew(planned: Planned) -> tuple[Counted, ...]:
    """Count the sewn units in all blocks together, each name and size once."""
    counts: dict[tuple[str, str], int] = {}
    show = planned.ruler.show_by
    for row in _rows(planned.panel):
        for unit in blocks.unit_counts(row.block, row.finished_inches):
            if unit.patch in (SQUARE, BAR):
                continue
            size = show(unit.width_inches, unit.height_inches)
            key = (unit.label or unit.patch.name, size)
            counts[key] = counts.get(key, 0) + unit.number * row.number
    return tuple(Counted(number, *key) for key, number in counts.items())


def _rows(panel: Project | OnPoint) -> tuple[Row, ...]:
    """Give the blocks of a panel, each kind once with its number."""
    if isinstance(panel, Project):
        return projects.block_counts(panel)
    first = Row(panel.block, panel.finished_inches, panel.across * panel.down)
    if panel.alternate is None or not panel.alternates:
        return (first,)
    return first, Row(panel.alternate, panel.finished_inches, panel.alternates)


def cut_by_cloth(planned: Planned) -> tuple[RoleList, ...]:
    """Part the cut list of panel and finishing by role of cloth."""
    whole = gathered((*planned.panel_list(), *planned.finish_list()))
    return role_lists_of(whole, planned.making)


def finishing_words(planned: Planned) -> tuple[Finishing, ...]:
    """Say what binding, backing and wadding it takes, and how much to buy."""
    if planned.kind not in BOUND:
        return tuple(_pieces_in_words(planned))
    ruler, size = planned.ruler, planned.size_inches
    allowance, usable, margin = finishing.usual_ruler_margins(ruler)
    back = finishing.backing(
        *size,
        margin_inches=margin,
        usable_inches=usable,
        seam_inches=ruler.seam_inches,
    )
    bound = finishing.binding(
        *size,
        allowance_inches=allowance,
        usable_inches=usable,
        strip_inches=finishing.usual_strip(ruler),
    )
    show = ruler.show
    return (
        Finishing(
            "Binding",
            (
                f"{bound.strips} strips {show(bound.strip_inches)} wide, joined: "
                f"{show(next_mark(bound.length_inches, ruler))} goes round, with "
                f"{show(allowance)} over.",
                _to_buy(bound.cloth_inches, usable, ruler),
            ),
        ),
        Finishing(
            "Backing",
            (
                f"{back.widths} {'width' if back.widths == 1 else 'widths joined'}, "
                f"each {show(next_mark(back.length_inches, ruler))} long; the quilt and "
                f"{show(margin)} on every side.",
                _to_buy(back.cloth_inches, usable, ruler),
            ),
        ),
        *_pieces_in_words(planned),
    )


def _counted_on_point(panel: OnPoint) -> Iterator[Counted]:
    show = panel.ruler.show_by
    block = show(panel.finished_inches, panel.finished_inches)
    yield Counted(panel.across * panel.down, panel.block.name, block)
    if panel.alternates:
        between = panel.alternate.name if panel.alternate else "setting square"
        yield Counted(panel.alternates, between, block)
    if panel.side_triangles:
        yield Counted(panel.side_triangles, "side triangle", "at the edges")
    yield Counted(4, "corner triangle", "at the corners")
    if panel.sash_inches:
        sash, wide = (
            show(panel.finished_inches, panel.sash_inches),
            show(panel.sash_inches, panel.sash_inches),
        )
        yield Counted(panel.sashes, "sash", sash)
        yield Counted(panel.crossings, "cornerstone", wide)


def _pieces_in_words(planned: Planned) -> Iterator[Finishing]:
    """Say what is cut in one piece: wadding, linings, backs of a cushion, a sleeve."""
    told = {"binding strip", "backing width"}
    for piece in planned.finish_list():
        if piece.name in told:
            continue
        name = piece.name.capitalize()
        size = planned.ruler.show_by(piece.width_inches, piece.height_inches)
        yield Finishing(name, (f"{piece.count} of {size}.",))


def next_mark(inches: Fraction, ruler: Ruler) -> Fraction:
    """Give a length on the next mark of the ruler, the same or above."""
    return -(-inches // ruler.step_inches) * ruler.step_inches


def _to_buy(inches: Fraction, usable: Fraction, ruler: Ruler) -> str:
    yards = show_inches(finishing.yards_up(inches))
    metres = f"{_halves(finishing.half_metres_up(inches))} m"
    amount = metres if ruler.is_metric else f"{yards} yd ({metres})"
    return f"Buy {amount} of cloth with {ruler.show(usable)} of usable width."


def _halves(halves: Fraction) -> str:
    """Write whole and half metres: 2 or 2.5."""
    whole, rest = divmod(halves, 1)
    return f"{whole}.5" if rest else f"{whole}"
