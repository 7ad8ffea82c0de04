"""The list of pieces as a maker writes it: name, width, height, count and what else.

    turn      yes or no, yes if empty: whether it may lie turned by a quarter
    shape     a rectangle if empty; or its name in the trade, or its corners
    narrow    the narrow side of a tapered piece
    finished  yes where the measures are finished ones, and the seam is to be added
    fills     yes where the piece only fills the rest of a sheet and is in no set

Lengths are inches unless a unit is written. A shape of one measure takes its width,
and needs no height. Each refusal names the line or the piece and the limit, and
nothing is taken in part.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from studio.errors import StudioError
from studio.lengths import LengthUnreadable, parse_length, to_mm
from studio.maths.shapes import QUARTER_INCH
from studio.maths.sheets import outline_kinds
from studio.maths.sheets.outline_kinds import RECTANGLE
from studio.maths.sheets.problem import Outline, SheetPiece
from studio.maths.sheets.refusals import FINEST_PIECE_INCHES, MOST_PIECES

COLUMNS = ("name", "width", "height", "count")
MORE_COLUMNS = ("turn", "shape", "narrow", "finished", "fills")
_YES = {"yes": True, "y": True, "no": False, "n": False}
_WORDS = {
    "finished": ("finished", "yes"),
    "fills": ("fills", "yes"),
    "fills the rest": ("fills", "yes"),
    "upright": ("turn", "no"),
    "no turn": ("turn", "no"),
}
_MOST_CORNERS = 60


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


def read_typed(text: str) -> tuple[SheetPiece, ...]:
    """Read a list as typed or pasted: one piece a line, with or without a first line.

    After name, width, height and count come, in any order: a shape or its corners,
    "narrow 1", "finished", "fills" and "upright". Tabs part as commas do. Raises
    PieceFileUnfit and PieceUnfit.
    """
    lines = [line for line in text.splitlines() if line.strip()]
    if any("\t" in line for line in lines):
        lines = [line.replace(",", " ").replace("\t", ",") for line in lines]
    if lines and lines[0].split(",")[0].strip().lower() == COLUMNS[0]:
        return read_pieces(lines)
    rows = csv.reader(lines, skipinitialspace=True)
    pieces = tuple(
        _piece(_named(cells), number) for number, cells in enumerate(rows, start=1)
    )
    if not pieces:
        raise PieceFileUnfit(
            "No piece is written yet. Write one a line: its name, width, height and "
            "how many make a set."
        )
    checked_total(pieces, 1)
    return pieces


def _named(cells: Sequence[str]) -> dict[str, str]:
    """Name the cells of a line: the four columns first, then whatever words follow."""
    typed = [cell.strip() for cell in cells]
    row = dict(zip(COLUMNS, typed, strict=False))
    row = dict.fromkeys(COLUMNS, "") | row
    row["count"] = row["count"] or "1"
    for word in filter(None, typed[len(COLUMNS) :]):
        column, said = _one_word(word)
        row[column] = said
    return row


def _one_word(word: str) -> tuple[str, str]:
    plain = word.lower()
    if plain in _WORDS:
        return _WORDS[plain]
    if plain.startswith("narrow"):
        return "narrow", plain.removeprefix("narrow").strip(" :=")
    return "shape", word


def checked_total(pieces: Iterable[SheetPiece], sets: int) -> int:
    """Count all pieces of so many sets. Raises PieceFileUnfit for too many."""
    total = sum(piece.count for piece in pieces if not piece.fills) * sets
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
    return _read_piece(row["name"] or f"Line {number}", row)


def _read_piece(name: str, row: Mapping[str, str]) -> SheetPiece:
    count, turns = _count(name, row["count"]), _said(name, "turn", row, usual=True)
    fills = _said(name, "fills", row, usual=False)
    finished = _said(name, "finished", row, usual=False)
    try:
        outline = _outline(name, row, finished=finished)
    except PieceUnfit:
        raise
    except StudioError as unfit:
        raise PieceUnfit(name, str(unfit)) from unfit
    if outline:
        size = outline_kinds.box_mm(outline)
    else:
        more = 2 * QUARTER_INCH if finished else Fraction(0)
        width, height = (_inches(name, side, row[side]) for side in ("width", "height"))
        size = to_mm(width + more), to_mm(height + more)
    return SheetPiece(name, *size, count, turns, outline, fills)


def _outline(name: str, row: Mapping[str, str], *, finished: bool) -> Outline:
    typed = row.get("shape", "")
    if ";" in typed:
        return outline_kinds.corners_mm(_corners(name, typed), finished=finished)
    shape = outline_kinds.plain_name(typed)
    measures = outline_kinds.measures_of(shape)
    if shape == RECTANGLE:
        return ()
    width = _inches(name, "width", row["width"])
    if len(measures) > 1 and not row["height"]:
        raise outline_kinds.MeasureMissing(shape, measures[1])
    height = _inches(name, "height", row["height"]) if len(measures) > 1 else width
    narrow = row.get("narrow", "")
    return outline_kinds.outline_mm(
        shape,
        (width, height),
        narrow=_inches(name, "narrow side", narrow) if narrow else None,
        finished=finished,
    )


def _corners(name: str, typed: str) -> list[tuple[Fraction, Fraction]]:
    """Read corners such as 0x0; 3x0; 1 1/2x3."""
    corners = [re.split(r"\s*[x×]\s*", part.strip()) for part in typed.split(";")]
    corners = [parts for parts in corners if any(parts)]
    if not 3 <= len(corners) <= _MOST_CORNERS or any(len(at) != 2 for at in corners):
        raise PieceUnfit(
            name,
            f"its corners are “{typed}”; write from 3 to {_MOST_CORNERS} of them, such "
            "as 0x0; 3x0; 1 1/2x3.",
        )
    try:
        return [(parse_length(x), parse_length(y)) for x, y in corners]
    except LengthUnreadable as unread:
        raise PieceUnfit(name, f"a corner cannot be read. {unread}") from unread


def _inches(name: str, side: str, typed: str) -> Fraction:
    try:
        inches = parse_length(typed)
    except LengthUnreadable as unread:
        raise PieceUnfit(name, f"the {side} cannot be read. {unread}") from unread
    if not inches:
        raise PieceUnfit(
            name, f"the {side} is nought, and a piece has a size above it."
        )
    if inches < FINEST_PIECE_INCHES:
        raise PieceUnfit(
            name, f"the {side} is {typed}, and a sixteenth of an inch is the finest."
        )
    return inches


def _count(name: str, typed: str) -> int:
    if not typed.isdecimal() or not 0 < int(typed[:9]) <= MOST_PIECES:
        raise PieceUnfit(
            name,
            f"the count is “{typed}”, and it is a whole number from 1 to {MOST_PIECES}.",
        )
    return int(typed)


def _said(name: str, column: str, row: Mapping[str, str], *, usual: bool) -> bool:
    typed = row.get(column, "").lower()
    if typed and typed not in _YES:
        raise PieceUnfit(name, f"{column} is “{typed}”, and it is yes or no.")
    return _YES.get(typed, usual)
