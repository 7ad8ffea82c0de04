"""A maker's own block, laid out on a grid by name of patch and turn.

    Name: Garden gate
    Steps: 4 by 4
    square: ground at 1 1
    flying geese: ground, point at 2 1, 2 by 1, turned 2
    square: centre at 2 2, 2 by 2

Columns and rows count from 1, turns are quarter turns clockwise. The cells must fill
the grid with no gap and no overlap; whatever is wrong is named in a sentence.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import combinations

from studio.errors import StudioError
from studio.maths import patches
from studio.maths.blocks import Block, Cell, cell

MOST_STEPS = 24
MOST_TURNS = 3

_HEADING = re.compile(r"\s*(name|steps)\s*:\s*(.+?)\s*", re.IGNORECASE)
_STEPS = re.compile(r"(\d{1,3})(?:\s*(?:by|x|×)\s*(\d{1,3}))?", re.IGNORECASE)
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

    def __init__(self, patch: patches.Patch, given: int) -> None:
        self.patch = patch
        self.given = given
        super().__init__(patch, given)

    def __str__(self) -> str:
        slots = self.patch.slots
        return (
            f"The {self.patch.name} takes {len(slots)} role{'s' * (len(slots) > 1)} of "
            f"cloth ({', '.join(slots)}), and {self.given} are written."
        )


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


def read_block(typed: str) -> Block:
    """Read an own block from lines of text."""
    headings: dict[str, str] = {}
    cells: list[Cell] = []
    for line in typed.splitlines():
        if not line.strip():
            continue
        heading = _HEADING.fullmatch(line)
        if heading:
            headings[heading[1].lower()] = heading[2]
        else:
            cells.append(_cell_of(line))
    across, down = _steps(headings.get("steps", ""))
    return whole_block(headings.get("name", "own block"), across, down, cells)


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
    return whole_block(str(plan.get("name", "own block")), across, down, cells)


def whole_block(name: str, across: int, down: int, cells: Iterable[Cell]) -> Block:
    """Give the block if its cells fill the grid, each step once."""
    placed = tuple(cells)
    for one in placed:
        if one.x + one.width > across or one.y + one.height > down:
            raise CellOutside(one, across, down)
    for first, second in combinations(placed, 2):
        if _overlap(first, second):
            raise CellsOverlap(first, second)
    _refuse_gap(across, down, placed)
    return Block(name, Fraction(across), Fraction(down), placed)


def _refuse_gap(across: int, down: int, placed: Sequence[Cell]) -> None:
    covered = {
        (x, y)
        for one in placed
        for x in range(int(one.x), int(one.x + one.width))
        for y in range(int(one.y), int(one.y + one.height))
    }
    for y in range(down):
        for x in range(across):
            if (x, y) not in covered:
                raise BlockGap(x + 1, y + 1)


def _overlap(one: Cell, other: Cell) -> bool:
    return (
        one.x < other.x + other.width
        and other.x < one.x + one.width
        and one.y < other.y + other.height
        and other.y < one.y + one.height
    )


def _steps(typed: str) -> tuple[int, int]:
    found = _STEPS.fullmatch(typed)
    if found is None:
        raise BlockUnreadable(
            typed or "Steps", "Write how many steps it has, such as Steps: 4 by 4."
        )
    across = int(found[1])
    down = int(found[2] or across)
    _refuse_steps(typed, across, down)
    return across, down


def _refuse_steps(typed: str, *steps: int) -> None:
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
    patch = patches.patch_named(name)
    if len(roles) != len(patch.slots) or not all(roles):
        raise RolesUnfit(patch, sum(map(bool, roles)))
    if numbers["x"] < 1 or numbers["y"] < 1:
        raise BlockUnreadable(line, "Columns and rows count from 1.")
    if numbers["w"] < 1 or numbers["h"] < 1:
        raise BlockUnreadable(line, "A patch is at least one step by one.")
    if not 0 <= numbers["turn"] <= MOST_TURNS:
        raise BlockUnreadable(line, "A turn is 0, 1, 2 or 3 quarters clockwise.")
    at = (numbers["x"] - 1, numbers["y"] - 1)
    return cell(patch, roles, at, (numbers["w"], numbers["h"]), numbers["turn"])


def _called(placed: Cell) -> str:
    column, row = int(placed.x) + 1, int(placed.y) + 1
    return f"the {placed.patch.name} at {column} {row}"
