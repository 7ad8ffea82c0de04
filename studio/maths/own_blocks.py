"""A maker's own block, laid out on a grid by name of patch and turn.

    Name: Garden gate
    Steps: 4 by 4
    square: ground at 1 1
    flying geese: ground, point at 2 1, 2 by 1, turned 2
    square: centre at 2 2, 2 by 2

Columns and rows count from 1, turns are quarter turns clockwise. The cells must fill
the grid with no gap and no overlap; whatever is wrong is named in a sentence. Cloths
are named in small letters, so that one cloth is not two.

    area of the cells in steps = across × down
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from studio.errors import StudioError
from studio.maths import patches
from studio.maths.blocks import Block, Cell, cell

MOST_STEPS = 24
MOST_TURNS = 3
MOST_LETTERS = 60
UNNAMED = "own block"

_WANTED_STEPS = "Write how many steps it has, such as Steps: 4 by 4."
_WANTED_CLOTH = "A cloth is called by letters and figures, up to 30 of them."
_HEADING = re.compile(r"\s*(name|steps)\s*:\s*(.+?)\s*", re.IGNORECASE)
_STEPS = re.compile(r"(\d{1,3})(?:\s*(?:by|x|×)\s*(\d{1,3}))?", re.IGNORECASE)
_CLOTH = re.compile(r"[^\W_][\w’' -]{0,29}")
_LINE = re.compile(
    r"\s*(?P<patch>[^:]+?)\s*:\s*(?P<roles>.+?)\s+at\s+(?P<x>\d{1,3})\s+(?P<y>\d{1,3})"
    r"(?:\s*,\s*(?P<w>\d{1,3})\s*(?:by|x|×)\s*(?P<h>\d{1,3}))?"
    r"(?:\s*,\s*turned\s+(?P<turn>\d{1,3}))?\s*\.?\s*",
    re.IGNORECASE,
)


class BlockUnreadable(StudioError):
    """A line of an own block that cannot be read."""

    def __init__(self, line: str, reason: str) -> None:
        self.line = line
        self.reason = reason
        super().__init__(line, reason)

    def __str__(self) -> str:
        return f"“{self.line.strip()}” cannot be read. {self.reason}"


class RolesUnfit(StudioError):
    """A patch that is given too few or too many roles of cloth."""

    def __init__(self, patch: patches.Patch, given: int, column: int, row: int) -> None:
        self.patch = patch
        self.given = given
        self.column = column
        self.row = row
        super().__init__(patch, given, column, row)

    def __str__(self) -> str:
        slots = self.patch.slots
        return (
            f"Column {self.column}, row {self.row}: The {self.patch.name} takes {len(slots)} role{'s' * (len(slots) > 1)} of "
            f"cloth ({', '.join(slots)}), and {self.given} are written."
        )


class CellUnfit(StudioError):
    """A patch that cannot have the shape of its cell."""

    def __init__(self, column: int, row: int, error: patches.BoxUnfit) -> None:
        self.column = column
        self.row = row
        self.error = error
        super().__init__(column, row, error)

    def __str__(self) -> str:
        return f"Column {self.column}, row {self.row}: {self.error}"


class CellOutside(StudioError):
    """A patch that reaches beyond the grid."""

    def __init__(self, placed: Cell, across: int, down: int) -> None:
        self.placed = placed
        self.across = across
        self.down = down
        super().__init__(placed, across, down)

    def __str__(self) -> str:
        return (
            f"{_called(self.placed).capitalize()} reaches beyond the block, which is "
            f"{self.across} by {self.down} steps."
        )


class CellsOverlap(StudioError):
    """Two patches that lie on one another."""

    def __init__(self, first: Cell, second: Cell) -> None:
        self.first = first
        self.second = second
        super().__init__(first, second)

    def __str__(self) -> str:
        return (
            f"{_called(self.first).capitalize()} and {_called(self.second)} lie on one "
            "another. Move or shorten one of them."
        )


class BlockGap(StudioError):
    """A step of the block that no patch covers."""

    def __init__(self, column: int, row: int) -> None:
        self.column = column
        self.row = row
        super().__init__(column, row)

    def __str__(self) -> str:
        return (
            f"Nothing covers column {self.column}, row {self.row}. "
            f"Put a patch at {self.column} {self.row}."
        )


@dataclass(frozen=True)
class Lines:
    """What lines of text say, before anybody asks whether the cells fill the grid.

    ``across`` and ``down`` are nought where no steps are written.
    """

    name: str
    across: int
    down: int
    cells: tuple[Cell, ...]


def read_lines(typed: str) -> Lines:
    """Read lines of text, whatever they leave open or cover twice."""
    headings: dict[str, str] = {}
    cells: list[Cell] = []
    for line in filter(str.strip, typed.splitlines()):
        heading = _HEADING.fullmatch(line)
        if heading:
            headings[heading[1].lower()] = heading[2]
        else:
            _refuse_many(line, len(cells))
            cells.append(_cell_of(line))
    across, down = _steps(headings["steps"]) if "steps" in headings else (0, 0)
    return Lines(named(headings.get("name", "")), across, down, tuple(cells))


def read_block(typed: str) -> Block:
    """Read an own block from lines of text."""
    lines = read_lines(typed)
    if not lines.across:
        raise BlockUnreadable("Steps", _WANTED_STEPS)
    return whole_block(lines.name, lines.across, lines.down, lines.cells)


def lines_of(block: Block) -> str:
    """Write a block as the lines that it is read from."""
    steps = f"Steps: {block.across} by {block.down}"
    return "\n".join([f"Name: {block.name}", steps, *map(line_of, block.cells)])


def line_of(placed: Cell) -> str:
    """Write one patch as the line that it is read from."""
    line = (
        f"{placed.patch.name}: {', '.join(placed.roles)} at "
        f"{placed.x + 1} {placed.y + 1}"
    )
    if not placed.width == placed.height == 1:
        line += f", {placed.width} by {placed.height}"
    is_plain = placed.patch in (patches.SQUARE, patches.BAR)
    return f"{line}, turned {placed.turn}" if placed.turn and not is_plain else line


def can_be_lines(block: Block) -> bool:
    """Tell whether a block stands on whole steps and has only patches with names."""
    return max(block.across, block.down) <= MOST_STEPS and all(
        patches.PATCHES.get(one.patch.name) == one.patch
        and all(n.denominator == 1 for n in (one.x, one.y, one.width, one.height))
        for one in block.cells
    )


def block_of(plan: Mapping[str, object]) -> Block:
    """Read an own block from a mapping: name, across, down and a list of cells.

    Each cell has patch, roles, column, row and, if need be, width, height and turn.
    """
    listed = plan.get("cells")
    if not isinstance(listed, Sequence) or isinstance(listed, str):
        raise BlockUnreadable("cells", "Write a list of patches.")
    across = _number(plan, "across")
    down = _number(plan, "down", across)
    cells = [_cell_in(one) for one in listed]
    return whole_block(named(str(plan.get("name", ""))), across, down, cells)


def whole_block(name: str, across: int, down: int, cells: Iterable[Cell]) -> Block:
    """Give the block if its cells fill the grid, each step once."""
    placed = tuple(cells)
    refuse_steps(f"{across} by {down}", across, down)
    refuse_misplaced(across, down, placed)
    for column, row in gaps(across, down, placed):
        raise BlockGap(column, row)
    return Block(name, Fraction(across), Fraction(down), placed)


def refuse_misplaced(across: int, down: int, placed: Sequence[Cell]) -> None:
    """Refuse cells beyond the grid or on one another. Gaps are left alone."""
    for one in placed:
        if one.x + one.width > across or one.y + one.height > down:
            raise CellOutside(one, across, down)
    for first, second in combinations(placed, 2):
        if overlap(first, second):
            raise CellsOverlap(first, second)


def gaps(across: int, down: int, placed: Sequence[Cell]) -> list[tuple[int, int]]:
    """Give column and row of every step that no cell covers, row by row."""
    covered = {
        (x, y)
        for one in placed
        for x in range(int(one.x), int(one.x + one.width))
        for y in range(int(one.y), int(one.y + one.height))
    }
    steps = ((x, y) for y in range(down) for x in range(across))
    return [(x + 1, y + 1) for x, y in steps if (x, y) not in covered]


def overlap(one: Cell, other: Cell) -> bool:
    """Tell whether two cells lie on one another."""
    return (
        one.x < other.x + other.width
        and other.x < one.x + one.width
        and one.y < other.y + other.height
        and other.y < one.y + one.height
    )


def _steps(typed: str) -> tuple[int, int]:
    found = _STEPS.fullmatch(typed)
    if found is None:
        raise BlockUnreadable(typed, _WANTED_STEPS)
    across = int(found[1])
    down = int(found[2] or across)
    refuse_steps(typed, across, down)
    return across, down


def named(typed: str) -> str:
    """Give a name as it is kept, or the usual one."""
    name = " ".join(typed.split())
    if len(name) > MOST_LETTERS:
        raise BlockUnreadable(name, f"A name has up to {MOST_LETTERS} letters.")
    return name or UNNAMED


def _refuse_many(line: str, cells: int) -> None:
    if cells >= MOST_STEPS**2:
        raise BlockUnreadable(line, f"A block has up to {MOST_STEPS**2} patches.")


def refuse_steps(typed: str, *steps: int) -> None:
    """Refuse more steps than can be drawn, and fewer than one."""
    if not all(1 <= n <= MOST_STEPS for n in steps):
        reason = f"A block here has 1 to {MOST_STEPS} steps each way."
        raise BlockUnreadable(typed, reason)


def _cell_of(line: str) -> Cell:
    found = _LINE.fullmatch(line)
    if found is None:
        raise BlockUnreadable(
            line,
            "Write a patch, its roles and its place, such as "
            "“flying geese: ground, point at 2 1, 2 by 1, turned 2”.",
        )
    roles = [role.strip() for role in found["roles"].split(",")]
    numbers = {
        name: int(found[name] or usual)
        for name, usual in (("x", 1), ("y", 1), ("w", 1), ("h", 1), ("turn", 0))
    }
    return _placed(line, found["patch"], roles, numbers)


def _cell_in(one: object) -> Cell:
    if not isinstance(one, Mapping):
        raise BlockUnreadable(str(one), "Write patch, roles, column and row.")
    roles = one.get("roles")
    if isinstance(roles, str) or not isinstance(roles, Sequence):
        raise BlockUnreadable(str(one.get("patch")), "Write its roles as a list.")
    numbers = {
        "x": _number(one, "column"),
        "y": _number(one, "row"),
        "w": _number(one, "width", 1),
        "h": _number(one, "height", 1),
        "turn": _number(one, "turn", 0),
    }
    name = str(one.get("patch", ""))
    return _placed(name, name, [str(role) for role in roles], numbers)


def _number(plan: Mapping[str, object], key: str, usual: int | None = None) -> int:
    value = plan.get(key, usual)
    if isinstance(value, bool) or not isinstance(value, int):
        raise BlockUnreadable(f"{key}: {value}", f"Write a whole number for {key}.")
    return value


def _placed(
    line: str, name: str, roles: Sequence[str], numbers: Mapping[str, int]
) -> Cell:
    column, row = numbers["x"], numbers["y"]
    if column < 1 or row < 1:
        raise BlockUnreadable(line, "Columns and rows count from 1.")
    if numbers["w"] < 1 or numbers["h"] < 1:
        raise BlockUnreadable(line, "A patch is at least one step by one.")
    if not 0 <= numbers["turn"] <= MOST_TURNS:
        raise BlockUnreadable(line, "A turn is 0, 1, 2 or 3 quarters clockwise.")
    size = (numbers["w"], numbers["h"])
    return cell_at(name, roles, (column, row), size, numbers["turn"], line)


def cell_at(
    name: str,
    roles: Sequence[str],
    place: tuple[int, int],
    size: tuple[int, int] = (1, 1),
    turn: int = 0,
    line: str = "",
) -> Cell:
    """Give a patch at a column and row, both from 1. ``line`` is named if it is wrong.

    Raises PatchUnknown, RolesUnfit, CellUnfit, BlockUnreadable.
    """
    patch = patches.patch_named(name)
    cloths = [" ".join(role.split()).lower() for role in roles]
    if len(cloths) != len(patch.slots) or not all(cloths):
        raise RolesUnfit(patch, sum(map(bool, cloths)), *place)
    for cloth in cloths:
        if not _CLOTH.fullmatch(cloth):
            raise BlockUnreadable(line or cloth, _WANTED_CLOTH)
    if patch in (patches.SQUARE, patches.BAR):
        # A plain piece looks alike from all sides; a bar lies along its longer one.
        turn = int(size[1] > size[0])
    try:
        return cell(patch, cloths, (place[0] - 1, place[1] - 1), size, turn)
    except patches.BoxUnfit as unfit:
        raise CellUnfit(*place, unfit) from unfit


def _called(placed: Cell) -> str:
    column, row = int(placed.x) + 1, int(placed.y) + 1
    return f"the {placed.patch.name} at {column} {row}"
