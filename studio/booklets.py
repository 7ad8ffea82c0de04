"""Booklet pages of blocks and projects: cutting tables, cloth to buy, units drawn.

Lengths are the least that is found off one usual bolt in about a second for the whole
page. Backing and binding are cut off the same width; wadding is no cloth off a bolt.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice
from typing import TypeVar

from django.http import HttpResponse

from studio import block_pictures, cloth_plans, printing
from studio.access import StudioRequest
from studio.errors import StudioError
from studio.maths import booklet_tables
from studio.maths.block_asking import MODES, Asked
from studio.maths.block_tables import UnitMade, in_tables, units_made
from studio.maths.blocks import Block
from studio.maths.booklet_tables import ClothRow, Column, PieceRow
from studio.maths.cloth import Bolt
from studio.maths.cloth_amounts import ToBuy
from studio.maths.cutting_list import CutPiece, by_role
from studio.maths.cutting_plan_values import Plan
from studio.maths.cutting_units import CannotCut, TooMany, Wanted
from studio.maths.known_blocks import KnownBlock
from studio.maths.patch.recipe import CAUTION
from studio.maths.project_tables import NOT_CLOTH, Planned
from studio.maths.projects import OnPoint, block_counts

COLUMNS = {"a5": 3, "a4": 5}
BOLT = Bolt(Fraction(42), Fraction(1))
SECONDS = 1.2
ROTARY_CAUTION = (
    "A rotary cutter is a bare blade: keep your fingers behind the edge of the ruler, "
    "stand to cut, and never leave it open on the table."
)
PICTURE_PX = 150
PANEL_PX = 260
Thing = TypeVar("Thing")


class NoSizeFits(StudioError):
    """A booklet of which no size can be cut by the marks of a ruler."""

    def __init__(self, refused: tuple[str, ...]) -> None:
        self.refused = refused
        super().__init__(refused)

    def __str__(self) -> str:
        return " ".join(self.refused)


@dataclass(frozen=True)
class ClothTable:
    """Lengths of cloth, as many sizes as the paper holds side by side."""

    columns: tuple[Column, ...]
    rows: tuple[ClothRow, ...]

    @property
    def is_least(self) -> bool:
        return all(cell.is_least for row in self.rows for cell in row.cells)


@dataclass(frozen=True)
class PieceTable:
    """Cut lists of a project, as many sizes as the paper holds side by side."""

    columns: tuple[Column, ...]
    rows: tuple[PieceRow, ...]


def booklet(
    request: StudioRequest,
    sized: Sequence[Asked],
    *,
    paper: str,
    title: str,
    blocks: int = 1,
) -> HttpResponse:
    """Print the cutting table over these sizes. Raises NoSizeFits if none can be cut."""
    tables, left_out = in_tables(sized, COLUMNS[paper])
    if not tables:
        raise NoSizeFits(left_out)
    first = tables[0].sized[0]
    block = first.known.block
    columns = [
        Column(head.size, head.beside, asked.cut_list(blocks), asked.making)
        for table in tables
        for asked, head in zip(table.sized, table.sizes, strict=True)
    ]
    context = {
        **shared(request, paper=paper, title=title, left_out=left_out),
        "asked": first,
        "cloth_title": f"Cloth for {blocks} blocks"
        if blocks > 1
        else "Cloth for one block",
        "mode": MODES[first.making.cutting],
        "seam": first.ruler.show(first.ruler.seam_inches),
        "tables": tables,
        **cloth_context(columns, paper),
        "note": first.making.note,
        "picture": block_pictures.block_picture(block, PICTURE_PX),
        "swatches": block_pictures.swatches(block.roles),
        "units": block_pictures.drawn(units_made(first), block.roles),
    }
    filename = f"{first.known.slug}-{paper}.pdf"
    template = "studio/print/block_booklet.html"
    return printing.paper_response(request, template, context, filename, title=title)


def project_booklet(
    request: StudioRequest,
    sized: Sequence[tuple[str, Planned]],
    *,
    paper: str,
    title: str,
    left_out: tuple[str, ...] = (),
) -> HttpResponse:
    """Print a project over some sizes of its block. Raises NoSizeFits for none."""
    if not sized:
        raise NoSizeFits(left_out)
    columns = [
        Column(size, planned.size, _whole_list(planned), planned.making)
        for size, planned in sized
    ]
    first = sized[0][1]
    units, roles = units_of(first)
    context = {
        **shared(request, paper=paper, title=title, left_out=left_out),
        "cloth_title": "Cloth to buy",
        "sizes": columns,
        "mode": MODES[first.making.cutting],
        "seam": first.ruler.show(first.ruler.seam_inches),
        "is_metric": first.ruler.is_metric,
        "note": first.making.note,
        "picture": block_pictures.panel_picture(first, PANEL_PX),
        "tables": piece_tables(columns, paper),
        **cloth_context(columns, paper),
        "units": block_pictures.drawn(units, roles),
    }
    name = f"{'-'.join(title.lower().split())}-{paper}.pdf"
    template = "studio/print/project_booklet.html"
    return printing.paper_response(request, template, context, name, title=title)


def shared(
    request: StudioRequest, *, paper: str, title: str, left_out: tuple[str, ...]
) -> dict[str, object]:
    """Give what stands on every booklet page."""
    usable = BOLT.width_inches
    return {
        "studio": request.studio,
        "paper": paper,
        "title": title,
        "left_out": left_out,
        "usable": f"{usable} in ({ToBuy(usable).centimetres_words})",
        "cautions": (ROTARY_CAUTION, CAUTION),
    }


def in_groups(things: Iterable[Thing], most: int) -> Iterator[tuple[Thing, ...]]:
    """Part things into groups of so many, the last with what is left."""
    left = iter(things)
    while some := tuple(islice(left, most)):
        yield some


def piece_tables(columns: Sequence[Column], paper: str) -> list[PieceTable]:
    chunks = in_groups(columns, COLUMNS[paper])
    return [PieceTable(some, booklet_tables.piece_rows(some)) for some in chunks]


def cloth_context(columns: Sequence[Column], paper: str) -> dict[str, object]:
    tables = cloth_tables(columns, paper)
    some_less = not all(table.is_least for table in tables)
    return {"cloths": tables, "some_less": some_less}


def cloth_tables(columns: Sequence[Column], paper: str) -> list[ClothTable]:
    """Plan every cloth of every size, all of them in the time of one page."""
    plans = [_plans(column, SECONDS / len(columns)) for column in columns]
    found = []
    for some in in_groups(zip(columns, plans, strict=True), COLUMNS[paper]):
        sizes = tuple(column for column, _plans in some)
        rows = booklet_tables.cloth_rows(sizes, [planned for _size, planned in some])
        found.append(ClothTable(sizes, rows))
    return found


def units_of(planned: Planned) -> tuple[list[UnitMade], tuple[str, ...]]:
    """Give the units of all blocks in a project, and all roles of their cloths."""
    asked = [
        Asked(KnownBlock(block, inches), inches, planned.making)
        for block, inches in _blocks_of(planned)
    ]
    units = [made for one in asked for made in units_made(one)]
    roles = dict.fromkeys(role for one in asked for role in one.known.block.roles)
    return units, tuple(roles)


def _blocks_of(planned: Planned) -> list[tuple[Block, Fraction]]:
    panel = planned.panel
    if isinstance(panel, OnPoint):
        found = [panel.block, *([panel.alternate] if panel.alternate else [])]
        return [(block, panel.finished_inches) for block in found]
    return [(row.block, row.finished_inches) for row in block_counts(panel)]


def _whole_list(planned: Planned) -> tuple[CutPiece, ...]:
    return (*planned.panel_list(), *planned.finish_list())


def _plans(column: Column, seconds: float) -> dict[str, Plan | None]:
    """Plan each cloth of one size; None for one that is too wide for the bolt."""
    roles = {
        role: [Wanted(piece) for piece in pieces]
        for role, pieces in by_role(column.pieces).items()
        if role != NOT_CLOTH
    }
    share = seconds / max(1, len(roles))
    return {role: _plan(wanted, share) for role, wanted in roles.items()}


def _plan(wanted: list[Wanted], seconds: float) -> Plan | None:
    try:
        planned = cloth_plans.plans_for(
            {"": wanted}, BOLT, stages="2N", seconds=seconds
        )
    except (CannotCut, TooMany):
        return None
    return planned[""]
