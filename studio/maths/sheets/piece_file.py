"""The list of pieces as a maker writes it: name, width, height, count and turn.

Lengths are inches unless a unit is written; ``turn`` is yes or no, yes if empty. Each
refusal names the line or the piece and the limit, and nothing is taken in part.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from fractions import Fraction

from studio.errors import StudioError
from studio.lengths import LengthUnreadable, parse_length, to_mm
from studio.maths.sheets.problem import SheetPiece
from studio.maths.sheets.refusals import MOST_PIECES

COLUMNS = ("name", "width", "height", "count")
_TURNS = {"": True, "yes": True, "y": True, "no": False, "n": False}


class PieceFileUnfit(StudioError):
    """A list of pieces that cannot be read as one."""


class PieceUnfit(StudioError):
    """One piece of a list that cannot be cut as it is written."""

    def __init__(self, name: str, reason: str) -> None:
        self.name = name
        self.reason = reason
        super().__init__(name, reason)

    def __str__(self) -> str:
        return f"{self.name}: {self.reason}"


def read_pieces(lines: Iterable[str]) -> tuple[SheetPiece, ...]:
    """Read a whole list. Raises PieceFileUnfit and PieceUnfit."""
    try:
        rows = list(csv.DictReader(lines, skipinitialspace=True))
    except (csv.Error, UnicodeDecodeError) as damaged:
        raise PieceFileUnfit(
            "The list of pieces cannot be read; save it as CSV in UTF-8, please."
        ) from damaged
    rows = [_tidied(row) for row in rows]
    pieces = tuple(
        _piece(row, number)
        for number, row in enumerate(rows, start=2)
        if any(row.values())
    )
    if not pieces:
        raise PieceFileUnfit(
            f"The list holds no piece; the first line is {','.join(COLUMNS)}, "
            "and each line below it is one piece."
        )
    checked_total(pieces, 1)
    return pieces


def checked_total(pieces: Iterable[SheetPiece], sets: int) -> int:
    """Count all pieces of so many sets. Raises PieceFileUnfit for too many."""
    total = sum(piece.count for piece in pieces) * sets
    if total > MOST_PIECES:
        raise PieceFileUnfit(
            f"That is {total} pieces, and {MOST_PIECES} is the limit for one plan."
        )
    return total


def _tidied(row: Mapping[str | None, str | None]) -> dict[str, str]:
    return {
        key.strip().lower(): (value or "").strip()
        for key, value in row.items()
        if isinstance(key, str) and not isinstance(value, list)
    }


def _piece(row: Mapping[str, str], number: int) -> SheetPiece:
    missing = [column for column in COLUMNS if column not in row]
    if missing:
        raise PieceFileUnfit(
            f"The list has no column {' and no column '.join(missing)}; its first "
            f"line is {','.join(COLUMNS)}."
        )
    name = row["name"] or f"Line {number}"
    return SheetPiece(
        name,
        _side(name, "width", row["width"]),
        _side(name, "height", row["height"]),
        _count(name, row["count"]),
        _turn(name, row.get("turn", "")),
    )


def _side(name: str, side: str, typed: str) -> Fraction:
    try:
        inches = parse_length(typed)
    except LengthUnreadable as unread:
        raise PieceUnfit(name, f"the {side} cannot be read. {unread}") from unread
    if not inches:
        raise PieceUnfit(
            name, f"the {side} is nought, and a piece has a size above it."
        )
    return to_mm(inches)


def _count(name: str, typed: str) -> int:
    if not typed.isdecimal() or not 0 < int(typed[:9]) <= MOST_PIECES:
        raise PieceUnfit(
            name,
            f"the count is “{typed}”, and it is a whole number from 1 to {MOST_PIECES}.",
        )
    return int(typed)


def _turn(name: str, typed: str) -> bool:
    if typed.lower() not in _TURNS:
        raise PieceUnfit(name, f"turn is “{typed}”, and it is yes or no.")
    return _TURNS[typed.lower()]
