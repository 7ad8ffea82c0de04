"""Kits as she writes them, a line each: name, block, finished size, how many blocks."""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass
from io import StringIO

from studio.errors import StudioError
from studio.maths.block_asking import Asked, read_asked, wants_metric
from studio.maths.cloth import FromOnePrint
from studio.maths.cutting_kits_values import Project
from studio.maths.cutting_units import Wanted
from studio.maths.known_blocks import KnownBlock
from studio.maths.metric import INCH, METRIC
from studio.maths.patch.recipe import Making

MOST_KITS = 6
MOST_BLOCKS = 200
EXAMPLE = "cushion, sawtooth star, 8, 4"
Find = Callable[[str], KnownBlock]


@dataclass(frozen=True)
class KitLine:
    """One kit: its name, its block at a size, and how many of it."""

    name: str
    asked: Asked
    blocks: int

    def project(self, rule: FromOnePrint, *, turns: bool = True) -> Project:
        """Give what one kit is cut into.

        Units that are made several at a time are cut for all blocks together, unless
        each block is to have prints of its own.
        """
        is_apart = rule in (FromOnePrint.BLOCK, FromOnePrint.BLOCK_ROLE)
        together = 1 if is_apart else self.blocks
        wanted = tuple(Wanted(piece, turns) for piece in self.asked.cut_list(together))
        return Project(self.name, wanted, self.blocks // together)

    @property
    def words(self) -> str:
        return f"{self.blocks} × {self.asked.known.name}, {self.asked.size} finished"


class KitUnreadable(StudioError):
    """A line that is no kit; with its number and its words."""

    def __init__(self, line: int, typed: str, reason: str) -> None:
        self.line = line
        self.typed = typed
        self.reason = reason
        super().__init__(line, typed, reason)

    def __str__(self) -> str:
        return f"Line {self.line}, “{self.typed}”: {self.reason}"


def read_kits(text: str, find: Find) -> tuple[KitLine, ...]:
    """Read kits. Raises KitUnreadable, or TooManyKits."""
    kits = []
    for number, row in enumerate(csv.reader(StringIO(text)), 1):
        cells = [cell.strip() for cell in row]
        if any(cells):
            try:
                kits.append(_kit(cells, find))
            except StudioError as error:
                raise KitUnreadable(number, ", ".join(cells), str(error)) from error
    if len(kits) > MOST_KITS:
        raise TooManyKits(len(kits))
    return tuple(kits)


class TooManyKits(StudioError):
    """More kits than are worked out at once."""

    def __init__(self, kits: int) -> None:
        self.kits = kits
        super().__init__(kits)

    def __str__(self) -> str:
        return f"{self.kits} kits are more than the {MOST_KITS} that fit here. Write fewer."


def _kit(cells: list[str], find: Find) -> KitLine:
    if len(cells) != 4 or not cells[0]:
        raise StudioError(f"write name, block, size and how many, such as: {EXAMPLE}.")
    name, block, size, number = cells
    if not (
        number.isascii() and number.isdigit() and 1 <= int(number[:6]) <= MOST_BLOCKS
    ):
        raise StudioError(
            f"“{number}” is no number of blocks. Write 1 to {MOST_BLOCKS}."
        )
    ruler = METRIC if wants_metric(size) else INCH
    asked = read_asked(find(block), size, making=Making(ruler=ruler))
    asked.cut_list()
    return KitLine(name, asked, int(number))
