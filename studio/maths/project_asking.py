"""What a maker asks of a project, read as she types it: rows, strips, and how large.

    4 × sawtooth star at 4 in
    5 rows of 2 × star in a star at 8
    8 × flying geese at 2, turned 1

    straight    n blocks and n − 1 sashes reach a side s: n = ⌈(s + sash) / (block + sash)⌉
    on point    n = ⌈s / (step √2)⌉, each side less its borders

A turn is so many quarters clockwise. A bare number is inches; in the metric system it
is redrafted, 2.5 cm for an inch. Sources: common practice.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from studio.errors import StudioError
from studio.lengths import LengthUnreadable, parse_length
from studio.maths import blocks, shapes
from studio.maths.block_asking import is_metric_size, read_size
from studio.maths.finished_sizes import SizeAbsurd, above_nought, checked_finished
from studio.maths.known_blocks import KnownBlock
from studio.maths.metric import Ruler
from studio.maths.metric import redrafted as to_metric
from studio.maths.projects import MOST_BLOCKS, Row
from studio.maths.shapes import ROOT_2

MOST_ROWS = 60
MOST_SIDE_INCHES = Fraction(150)

_ROW = re.compile(
    r"(?:(?P<rows>\d{1,4})\s*rows?\s+of\s+)?(?P<number>\d{1,4})\s*(?:×|x\b|\*|of\b)?\s*"
    r"(?P<block>\S.*?)\s+at\s+(?P<size>.+?)(?:\s*,\s*turned\s+(?P<turn>\d))?",
    re.IGNORECASE,
)
_BY = re.compile(r"\s*(?:×|\bby\b|(?<=[\d\s\"”m])x(?=[\s\d]))\s*", re.IGNORECASE)

Find = Callable[[str], KnownBlock]


class RowUnreadable(StudioError):
    """A line of rows that cannot be read."""

    def __init__(self, line: str, reason: str) -> None:
        self.line = line
        self.reason = reason
        super().__init__(line, reason)

    def __str__(self) -> str:
        return f"“{self.line.strip()}” cannot be read. {self.reason}"


class StripUnkind(StudioError):
    """A sash or a border that falls between the marks that quilters cut by."""

    def __init__(self, name: str, inches: Fraction, ruler: Ruler) -> None:
        self.name = name
        self.inches = inches
        self.ruler = ruler
        step = ruler.step_inches
        below = inches // step * step
        self.kind_inches = tuple(side for side in (below, below + step) if side)
        super().__init__(name, inches, ruler)

    def __str__(self) -> str:
        show = self.ruler.show
        kind = " and ".join(map(show, self.kind_inches))
        return (
            f"{self.name} of {show(self.inches)} is cut finer than "
            f"{show(self.ruler.step_inches)}. The nearest kind widths are {kind}."
        )


class LengthWrong(StudioError):
    """A length of a project that cannot be read or meant."""

    def __init__(self, name: str, reason: str) -> None:
        self.name = name
        self.reason = reason
        super().__init__(name, reason)

    def __str__(self) -> str:
        return f"{self.name}: {self.reason}"


@dataclass(frozen=True)
class Reach:
    """A size to be reached or passed by whole blocks, borders included."""

    width_inches: Fraction
    height_inches: Fraction

    def straight(
        self, block: tuple[Fraction, Fraction], sash: Fraction, borders: Fraction
    ) -> tuple[int, int]:
        """Count blocks across and down with sashes between them."""
        across, down = (
            max(1, ceil((side - 2 * borders + sash) / (one + sash)))
            for side, one in zip(self._sides, block, strict=True)
        )
        return across, down

    def on_point(self, step: Fraction, borders: Fraction) -> tuple[int, int]:
        """Count blocks across and down that stand on their tips."""
        diagonal = shapes.rounded_outward(step * ROOT_2)
        across, down = (
            max(1, ceil((side - 2 * borders) / diagonal)) for side in self._sides
        )
        return across, down

    @property
    def _sides(self) -> tuple[Fraction, Fraction]:
        return self.width_inches, self.height_inches


def read_rows(typed: str, find: Find, ruler: Ruler) -> tuple[Row, ...]:
    """Read rows from lines of text, from the top. Raises what is wrong with a line."""
    lines = [line for line in typed.splitlines() if line.strip()]
    if not lines:
        raise RowUnreadable("", "Write a row, such as 4 × sawtooth star at 4.")
    rows: list[Row] = []
    for line in lines:
        rows += _rows_of(line, find, ruler)
        if len(rows) > MOST_ROWS:
            raise RowUnreadable(line, f"A project here has up to {MOST_ROWS} rows.")
    return tuple(rows)


def read_width(name: str, typed: str, ruler: Ruler) -> Fraction:
    """Read the width of a sash or border on a mark that can be cut; nothing is nought."""
    if not typed.strip():
        return Fraction(0)
    inches = read_length(name, typed, ruler)
    checked_finished(name.lower(), inches, ruler)
    if not ruler.is_kind(inches + ruler.two_seams):
        raise StripUnkind(name, inches, ruler)
    return inches


def read_reach(name: str, typed: str, ruler: Ruler) -> Reach:
    """Read a size to cover: two sides, or one for a square."""
    sides = [part for part in _BY.split(typed.strip()) if part]
    if not 1 <= len(sides) <= 2:
        raise LengthWrong(
            name, "Write two sides, such as 48 × 16, or one for a square."
        )
    lengths = [read_length(name, side, ruler) for side in sides]
    for length in lengths:
        above_nought(name.lower(), length)
        if length > MOST_SIDE_INCHES:
            raise SizeAbsurd(name.lower(), length, ruler)
    return Reach(lengths[0], lengths[-1])


def read_length(name: str, typed: str, ruler: Ruler) -> Fraction:
    """Read one length. In the metric system a bare number or inches are redrafted."""
    try:
        inches = parse_length(typed)
    except LengthUnreadable as unread:
        raise LengthWrong(name, str(unread)) from unread
    if ruler.is_metric and not is_metric_size(typed):
        return to_metric(inches)
    return inches


def _rows_of(line: str, find: Find, ruler: Ruler) -> list[Row]:
    found = _ROW.fullmatch(line.strip().rstrip("."))
    if found is None:
        raise RowUnreadable(
            line,
            "Write how many, a block and its size, such as 4 × sawtooth star at 4.",
        )
    number, times = int(found["number"]), int(found["rows"] or 1)
    if not 1 <= number <= MOST_BLOCKS or not 1 <= times <= MOST_ROWS:
        raise RowUnreadable(
            line, f"Write 1 to {MOST_BLOCKS} blocks and 1 to {MOST_ROWS} rows."
        )
    try:
        return [_row(found.groupdict(), number, find, ruler)] * times
    except (RowUnreadable, blocks.SizeUnkind):
        raise
    except StudioError as error:
        raise RowUnreadable(line, str(error)) from error


def _row(said: Mapping[str, str | None], number: int, find: Find, ruler: Ruler) -> Row:
    known = find(said["block"] or "")
    block = blocks.turned(known.block, int(said["turn"] or 0))
    standing = KnownBlock(block, known.first_inches, known.word)
    width, _ = read_size(standing, said["size"] or "", ruler)
    return Row(block, width, number)
