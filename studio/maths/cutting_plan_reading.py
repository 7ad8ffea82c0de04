"""Read a cut list from a table: name, width, height, count, and perhaps cloth and turn.

Lengths are read as a maker writes them (``4 5/8``, ``4⅝"``, ``11.75 cm``). The turn
column says no where a print runs one way; anything else that means yes may be left out.
The line of heads may be left out too, where the columns stand in that order. Cells are
parted by commas, or by tabs as they come from a table program.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from io import StringIO
from pathlib import Path

from studio.errors import StudioError
from studio.lengths import (
    LengthUnreadable,
    parse_length,
    show_inches,
    show_millimetres,
    to_mm,
)
from studio.maths.cloth import Bolt, PreCut
from studio.maths.cutting_list import CutPiece
from studio.maths.cutting_units import Wanted
from studio.maths.ruler_marks import ruler

NEEDED = ("name", "width", "height", "count")
HEADS = (*NEEDED, "cloth", "turn")
YES = ("", "yes", "y", "1", "true")
NO = ("no", "n", "0", "false")
MOST_OF_ONE = 5000
FINEST_MARK = 64
WIDEST = Fraction(144)
MOST_STRAIGHTENING = Fraction(9)
LEAST_SECONDS = 0.1
MOST_SECONDS = 600


class ListUnreadable(StudioError):
    """A cut list that cannot be read; with its line and the name of the piece."""

    def __init__(self, reason: str, *, line: int = 0, name: str = "") -> None:
        self.reason = reason
        self.line = line
        self.name = name
        super().__init__(reason, line, name)

    def __str__(self) -> str:
        where = f"Line {self.line}, “{self.name}”: " if self.line else ""
        return f"{where}{self.reason}"


class ClothUnreadable(StudioError):
    """Cloth, or a file about it, that cannot be read as it was typed."""


def text_of(file: Path) -> str:
    """Read a file; raise ClothUnreadable, saying why, where that cannot be done."""
    try:
        return file.read_text(encoding="utf-8-sig")
    except OSError as failed:
        raise ClothUnreadable(
            f"{file} cannot be opened: {failed.strerror}. Check its name and folder."
        ) from failed
    except UnicodeDecodeError as failed:
        raise ClothUnreadable(
            f"{file} is no text in UTF-8. Save the table as CSV in UTF-8."
        ) from failed


def read_bolt(typed: str, straighten: str = "0") -> Bolt:
    """Read the usable width of a bolt, and what straightening its end takes."""
    return Bolt(_side(typed, "The width of the bolt"), _straightening(straighten))


def read_shape(typed: str) -> PreCut:
    """Read the size of a pre-cut piece, such as 18x21."""
    sides = re.split(r"\s*[x×]\s*", typed.strip().lower())
    if len(sides) != 2:
        raise ClothUnreadable(
            f"“{typed}” is no size of cloth. Write width x height, such as 18x21."
        )
    unit = re.search(r"[a-z]+$", sides[1])
    if unit and re.search(r"[\d½¼¾⅛⅜⅝⅞]$", sides[0]):
        # One unit behind both sides is meant for both.
        sides[0] += unit[0]
    width, height = (_side(side, "The size of the cloth") for side in sides)
    return PreCut("piece", width, height)


def read_seconds(typed: str) -> float:
    """Read how long to look for less."""
    if re.fullmatch(r"[0-9]{1,4}(\.[0-9]{1,3})?", typed):
        seconds = float(typed)
        if LEAST_SECONDS <= seconds <= MOST_SECONDS:
            return seconds
    raise ClothUnreadable(
        f"“{typed}” is no number of seconds. Write {LEAST_SECONDS} to {MOST_SECONDS}."
    )


def _straightening(typed: str) -> Fraction:
    try:
        inches = parse_length(typed)
    except LengthUnreadable as unreadable:
        raise ClothUnreadable(
            f"What straightening takes cannot be read. {unreadable}"
        ) from unreadable
    if inches > MOST_STRAIGHTENING:
        raise ClothUnreadable(
            f"Straightening cannot take {ruler(inches)}. Write 0 to "
            f"{show_inches(MOST_STRAIGHTENING)} in."
        )
    return inches


def _side(typed: str, what: str) -> Fraction:
    try:
        inches = parse_length(typed)
    except LengthUnreadable as unreadable:
        raise ClothUnreadable(f"{what} cannot be read. {unreadable}") from unreadable
    if not 0 < inches <= WIDEST:
        raise ClothUnreadable(
            f"{what} is {ruler(inches)}. Cloth is more than 0 and "
            f"{show_inches(WIDEST)} in at most; check the unit, please."
        )
    return inches


def read_pieces(text: str) -> dict[str, list[Wanted]]:
    """Read a cut list and part it by cloth, in order of first sight.

    Raises ListUnreadable, naming the line and the piece, for what cannot be read.
    """
    table = _table(text)
    missing = [head for head in NEEDED if head not in (table.fieldnames or ())]
    if missing:
        raise ListUnreadable(
            "The first line must name the columns name, width, height and count. "
            f"Missing: {', '.join(missing)}."
        )
    cloths: dict[str, list[Wanted]] = {}
    for row in table:
        if any((cell or "").strip() for cell in row.values() if cell is not None):
            wanted = _wanted(row, table.line_num)
            cloths.setdefault(wanted.piece.role, []).append(wanted)
    if not cloths:
        raise ListUnreadable("The list names no piece. Write one on each line.")
    return cloths


def write_pieces(pieces: Iterable[CutPiece], *, turns: bool = True) -> str:
    """Write pieces as a cut list that is read again as it was meant."""
    written = StringIO()
    lines = csv.writer(written, lineterminator="\n")
    lines.writerow(HEADS)
    for piece in pieces:
        sides = map(write_length, (piece.width_inches, piece.height_inches))
        turn = "yes" if turns else "no"
        lines.writerow([piece.name, *sides, piece.count, piece.role, turn])
    return written.getvalue()


def write_length(inches: Fraction) -> str:
    """Write a length so that it can be typed: ``5 1/4``, ``11.75 cm``, or a fraction."""
    whole, rest = divmod(inches, 1)
    if rest.denominator <= FINEST_MARK:
        return f"{whole} {rest}" if whole and rest else str(inches)
    if (to_mm(inches) * 10).denominator == 1:
        return show_millimetres(to_mm(inches))
    return str(inches)


def _table(text: str) -> csv.DictReader[str]:
    first = next((line for line in text.splitlines() if line.strip()), "")
    apart = "\t" if "\t" in first else ","
    heads = [head.strip().lower() for head in first.split(apart)]
    if "name" in heads:
        return csv.DictReader(_after(text, first), heads, delimiter=apart)
    return csv.DictReader(StringIO(text), HEADS, delimiter=apart)


def _after(text: str, first: str) -> StringIO:
    """Leave the line of heads empty, so that later lines keep their numbers."""
    return StringIO(text.replace(first, "", 1))


def _wanted(row: Mapping[str, str | None], line: int) -> Wanted:
    name = _cell(row, "name")
    if not name:
        raise ListUnreadable("The piece has no name. Give it one.", line=line)
    piece = CutPiece(
        name,
        _cell(row, "cloth"),
        _count(row, line, name),
        _length(row, "width", line, name),
        _length(row, "height", line, name),
    )
    return Wanted(piece, _turns(row, line, name))


def _cell(row: Mapping[str, str | None], head: str) -> str:
    return (row.get(head) or "").strip()


def _count(row: Mapping[str, str | None], line: int, name: str) -> int:
    typed = _cell(row, "count")
    if typed.isascii() and typed.isdigit() and 1 <= int(typed[:9]) <= MOST_OF_ONE:
        return int(typed)
    raise ListUnreadable(
        f"the count is “{typed}”. Write a whole number from 1 to {MOST_OF_ONE}.",
        line=line,
        name=name,
    )


def _length(row: Mapping[str, str | None], head: str, line: int, name: str) -> Fraction:
    try:
        inches = parse_length(_cell(row, head))
    except LengthUnreadable as unreadable:
        raise ListUnreadable(
            f"the {head} cannot be read. {unreadable}", line=line, name=name
        ) from unreadable
    if inches <= 0:
        raise ListUnreadable(
            f"the {head} is nought. Write the cut size, more than 0.",
            line=line,
            name=name,
        )
    return inches


def _turns(row: Mapping[str, str | None], line: int, name: str) -> bool:
    typed = _cell(row, "turn").lower()
    if typed in (*YES, *NO):
        return typed in YES
    raise ListUnreadable(
        f"the turn column says “{typed}”. Write yes, or no for a print that runs "
        "one way.",
        line=line,
        name=name,
    )
