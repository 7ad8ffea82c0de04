"""Projects: rows of blocks or units, sashing, borders, and all that is cut for them.

    rows        every row is as wide as the others: number × finished width
    sashing     between the blocks: c − 1 in a row, and long strips between rows
    on point    centre c F√2 by r F√2, alternates (c − 1)(r − 1), side triangles
                2(c + r − 2) four to a square, corners 4 two to a square; sashes 4cr,
                crossings r(c + 1) + c(r + 1)

A panel takes its binding, backing and wadding from `studio.maths.finishing`.
Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from studio.errors import StudioError
from studio.maths import blocks, project_strips, shapes
from studio.maths.blocks import USUAL_WAYS, Block, Ways
from studio.maths.cutting_list import CutPiece, gathered
from studio.maths.finished_sizes import checked_finished
from studio.maths.metric import INCH, Ruler
from studio.maths.patch import framed
from studio.maths.patch.recipe import USUAL, Making
from studio.maths.project_strips import Border, Sashing, Strip
from studio.maths.shapes import ROOT_2

MOST_BLOCKS = 2000
NOUGHT = Fraction(0)


class RowsUneven(StudioError):
    """Rows that are not all of one width."""

    def __init__(
        self, number: int, width_inches: Fraction, first_inches: Fraction, ruler: Ruler
    ) -> None:
        self.number = number
        self.width_inches = width_inches
        self.first_inches = first_inches
        self.ruler = ruler
        super().__init__(number, width_inches, first_inches, ruler)

    def __str__(self) -> str:
        show = self.ruler.show
        return (
            f"Row {self.number} is {show(self.width_inches)} wide and the first row "
            f"{show(self.first_inches)}. Change the blocks or their size."
        )


class LayoutImpossible(StudioError):
    """A layout with no blocks, too many, or sashing between unlike rows."""

    def __init__(self, reason: str) -> None:
        self.reason = reason
        super().__init__(reason)

    def __str__(self) -> str:
        return self.reason


@dataclass(frozen=True)
class Row:
    """So many blocks or units of one size, side by side: of one kind, or two by turns."""

    block: Block
    finished_inches: Fraction
    number: int
    second: Block | None = None
    second_first: bool = False

    @property
    def blocks(self) -> tuple[Block, ...]:
        """Give the blocks from the left."""
        pair = (self.block, self.second or self.block)
        return tuple(pair[(n + self.second_first) % 2] for n in range(self.number))

    @property
    def width_inches(self) -> Fraction:
        return self.number * self.finished_inches

    @property
    def height_inches(self) -> Fraction:
        return self.block.height_inches(self.finished_inches)


@dataclass(frozen=True)
class Project:
    """A panel of rows, seen from the top, with its borders from the inside out."""

    name: str
    rows: tuple[Row, ...]
    sashing: Sashing | None = None
    borders: tuple[Border, ...] = ()
    ruler: Ruler = INCH


@dataclass(frozen=True)
class PlacedBlock:
    """One block or unit of a project: its place from the top left, in inches."""

    block: Block
    finished_inches: Fraction
    x: Fraction
    y: Fraction


def of_blocks(
    name: str,
    block: Block,
    finished_inches: Fraction,
    across: int,
    down: int,
    second: Block | None = None,
) -> Project:
    """Give a project of one block, or of two by turns, so many across and down."""
    row = Row(block, finished_inches, across, second)
    turns = (replace(row, second_first=bool(second and n % 2)) for n in range(down))
    return Project(name, tuple(turns))


def checked(project: Project) -> Project:
    """Give the project back if its rows fit together; else say which does not."""
    blocks_in_all = sum(row.number for row in project.rows)
    if any(row.number < 1 for row in project.rows) or not project.rows:
        raise LayoutImpossible("A project has at least one row of one block.")
    _refuse_many(blocks_in_all)
    first = project.rows[0]
    for number, row in enumerate(project.rows, 1):
        checked_finished(row.block.name, row.finished_inches, project.ruler)
        if row.width_inches != first.width_inches:
            raise RowsUneven(
                number, row.width_inches, first.width_inches, project.ruler
            )
        _refuse_unlike(row)
        if project.sashing and row != replace(first, second_first=row.second_first):
            raise LayoutImpossible(
                f"Row {number} has other blocks than the first, so sashing would not "
                "line up. Leave the sashing out, or make the rows alike."
            )
    return project


def _refuse_unlike(row: Row) -> None:
    """Refuse two blocks that are not of one shape."""
    second = row.second
    if second and row.block.across * second.down != row.block.down * second.across:
        raise LayoutImpossible(
            f"The {row.block.name} and the {second.name} are not of one shape, so they "
            "do not stand side by side. Choose another, or write rows."
        )


def _refuse_many(number: int) -> None:
    if number > MOST_BLOCKS:
        raise LayoutImpossible(
            f"{number} blocks are more than the {MOST_BLOCKS} that can be "
            "planned at once. Plan a part of it."
        )


def finished_size(project: Project) -> tuple[Fraction, Fraction]:
    """Give width and height, borders and all."""
    width, height = _inner_size(checked(project))
    both = 2 * _edge(project.borders)
    return width + both, height + both


def block_counts(project: Project) -> tuple[Row, ...]:
    """Count blocks and units of one kind and size, in order of first sight."""
    counts: dict[Row, int] = {}
    for row in project.rows:
        for block in row.blocks:
            alike = Row(block, row.finished_inches, 0)
            counts[alike] = counts.get(alike, 0) + 1
    return tuple(replace(alike, number=n) for alike, n in counts.items())


def cut_list(
    project: Project, making: Making = USUAL, ways: Ways = USUAL_WAYS
) -> tuple[CutPiece, ...]:
    """Give what to cut for the panel: blocks, sashing and borders."""
    checked(project)
    listed: list[CutPiece] = []
    for row in block_counts(project):
        listed += blocks.cut_list(
            row.block, row.finished_inches, making, ways, row.number
        )
    listed += [project_strips.cut_strip(strip, making) for strip in strips(project)]
    return gathered(listed)


def placed_blocks(project: Project) -> Iterator[PlacedBlock]:
    """Give every block with its place."""
    sash = project.sashing.width_inches if project.sashing else NOUGHT
    edge = _edge(project.borders)
    y = edge
    for row in project.rows:
        for n, block in enumerate(row.blocks):
            x = edge + n * (row.finished_inches + sash)
            yield PlacedBlock(block, row.finished_inches, x, y)
        y += row.height_inches + sash


def strips(project: Project) -> tuple[Strip, ...]:
    """Give every sash, cornerstone and border with its place."""
    edge = _edge(project.borders)
    first = project.rows[0]
    between: Iterable[Strip] = ()
    if project.sashing:
        block = (first.finished_inches, first.height_inches)
        counts = (first.number, len(project.rows))
        between = project_strips.sashes(project.sashing, block, counts, edge)
    around = project_strips.border_strips(project.borders, _inner_size(project))
    return (*between, *around)


def _edge(borders: Iterable[Border]) -> Fraction:
    return sum((border.width_inches for border in borders), NOUGHT)


def _inner_size(project: Project) -> tuple[Fraction, Fraction]:
    sash = project.sashing.width_inches if project.sashing else NOUGHT
    first = project.rows[0]
    height = sum((row.height_inches for row in project.rows), NOUGHT)
    return (
        first.width_inches + (first.number - 1) * sash,
        height + (len(project.rows) - 1) * sash,
    )


@dataclass(frozen=True)
class OnPoint:
    """Blocks on their tips, with alternates between them and triangles around.

    ``alternate`` is a block too, or None for plain setting squares; all are of one
    size. ``sash_inches`` is the width of sashing on point, which widens the step. Its
    crossings are of the same cloth unless the cornerstones have a role.
    """

    name: str
    block: Block
    finished_inches: Fraction
    across: int
    down: int
    alternate: Block | None = None
    setting_role: str = "setting ground"
    sash_inches: Fraction = NOUGHT
    ruler: Ruler = INCH
    sash_role: str = "sashing"
    cornerstone_role: str = ""
    borders: tuple[Border, ...] = ()

    @property
    def alternates(self) -> int:
        return (self.across - 1) * (self.down - 1)

    @property
    def side_triangles(self) -> int:
        return 2 * (self.across + self.down - 2)

    @property
    def sashes(self) -> int:
        return 4 * self.across * self.down if self.sash_inches else 0

    @property
    def crossings(self) -> int:
        """Count where sashes meet, those on the edges too, which are trimmed there."""
        if not self.sash_inches:
            return 0
        return self.down * (self.across + 1) + self.across * (self.down + 1)

    @property
    def step_inches(self) -> Fraction:
        return self.finished_inches + self.sash_inches


def on_point_size(project: OnPoint) -> tuple[Fraction, Fraction]:
    """Give width and height, borders and all, outward to 0.001 mm."""
    width, height = on_point_inner(project)
    both = 2 * _edge(project.borders)
    return width + both, height + both


def on_point_inner(project: OnPoint) -> tuple[Fraction, Fraction]:
    """Give width and height within the borders, outward to 0.001 mm."""
    width, height = (
        shapes.rounded_outward(project.step_inches * ROOT_2 * number)
        for number in (project.across, project.down)
    )
    return width, height


def on_point_strips(project: OnPoint) -> tuple[Strip, ...]:
    """Give every border with its place."""
    inner = on_point_inner(project)
    return tuple(project_strips.border_strips(project.borders, inner))


def checked_on_point(project: OnPoint) -> OnPoint:
    """Give the project back if it can be set; else say why not."""
    if min(project.across, project.down) < 1:
        raise LayoutImpossible("A project on point has at least one block each way.")
    _refuse_many(project.across * project.down + project.alternates)
    for block in filter(None, (project.block, project.alternate)):
        if block.across != block.down:
            raise LayoutImpossible(
                f"The {block.name} is not as high as it is wide, so it cannot stand on "
                "its tip here. Set it straight."
            )
    return project


def on_point_cut_list(
    project: OnPoint, making: Making = USUAL, ways: Ways = USUAL_WAYS
) -> tuple[CutPiece, ...]:
    """Give what to cut for blocks on point, with their alternates and triangles."""
    checked_on_point(project)
    size, number = project.finished_inches, project.across * project.down
    listed = [*blocks.cut_list(project.block, size, making, ways, number)]
    if project.alternate is not None and project.alternates:
        listed += blocks.cut_list(
            project.alternate, size, making, ways, project.alternates
        )
    elif project.alternates:
        raw = making.raw(size, size)
        listed.append(
            CutPiece("setting square", project.setting_role, project.alternates, *raw)
        )
    listed += _on_point_sashing(project, making)
    listed += _setting(project, making)
    cut = project_strips.cut_strip
    return gathered((*listed, *(cut(one, making) for one in on_point_strips(project))))


def _on_point_sashing(project: OnPoint, making: Making) -> Iterator[CutPiece]:
    if not project.sash_inches:
        return
    long, wide = making.raw(project.finished_inches, project.sash_inches)
    yield CutPiece("sash", project.sash_role, project.sashes, long, wide)
    role = project.cornerstone_role or project.sash_role
    yield CutPiece("cornerstone", role, project.crossings, wide, wide)


def _setting(project: OnPoint, making: Making) -> Sequence[CutPiece]:
    recipe = framed.setting_triangles(project.step_inches, making)
    side, corner = recipe.pieces_for(1, [project.setting_role])
    squares = ceil(Fraction(project.side_triangles, 4))
    sides = [replace(side, count=squares)] if squares else []
    return (*sides, corner)
