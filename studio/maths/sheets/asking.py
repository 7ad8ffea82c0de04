"""The sheet as it is typed: 600x400, an edge, a gap and a kerf, in millimetres."""

from __future__ import annotations

import re
from fractions import Fraction

from studio.lengths import LengthUnreadable, parse_length, show_millimetres, to_mm
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets.problem import SheetPiece
from studio.maths.sheets.refusals import LARGEST_SHEET_MM, SheetImpossible

WIDEST_GAP_MM = Fraction(100)
_WIDEST_KERF_MM = Fraction(10)


def read_mm(what: str, typed: str, most_mm: Fraction) -> Fraction:
    """Read a length, in millimetres if no unit is written. Raises SheetImpossible."""
    bare = re.fullmatch(r"[0-9.\s/]*", typed.strip())
    try:
        length = to_mm(parse_length(f"{typed} mm" if bare else typed))
    except LengthUnreadable as unread:
        raise SheetImpossible(f"{what} of “{typed}”", _without_stop(unread)) from unread
    if length > most_mm:
        raise SheetImpossible(
            f"{what} of {show_millimetres(length)}",
            f"{show_millimetres(most_mm)} is the limit",
        )
    return length


def read_sheet(size: str, *, edge: str, gap: str) -> Sheet:
    """Read a sheet such as 600x400. Raises SheetImpossible."""
    sides = re.split(r"\s*[x×]\s*", size.strip().lower())
    if len(sides) != 2:
        raise SheetImpossible(
            f"A sheet of “{size}”", "write its two sides, such as 600x400"
        )
    width, height = (read_mm("A sheet side", side, LARGEST_SHEET_MM) for side in sides)
    if not width or not height:
        raise SheetImpossible("A sheet side of nought", "write sizes such as 600x400")
    return Sheet(
        width,
        height,
        read_mm("An edge", edge, LARGEST_SHEET_MM),
        read_mm("A gap", gap, WIDEST_GAP_MM),
    )


def read_kerf(typed: str) -> Fraction:
    return read_mm("A kerf", typed, _WIDEST_KERF_MM)


def read_extra(typed: str) -> SheetPiece:
    """Read a piece to try in what is left, such as 3 1/2x3 1/2, in inches."""
    sides = re.split(r"\s*[x×]\s*", typed.strip().lower())
    if len(sides) != 2:
        raise SheetImpossible(
            f"A piece of “{typed}”", "write its two sides, such as 3 1/2x3 1/2"
        )
    try:
        width, height = (to_mm(parse_length(side)) for side in sides)
    except LengthUnreadable as unread:
        raise SheetImpossible(
            f"A piece of “{typed}”", _without_stop(unread)
        ) from unread
    if not width or not height:
        raise SheetImpossible(f"A piece of “{typed}”", "a piece has sizes above nought")
    return SheetPiece(typed.strip(), width, height)


def _without_stop(unread: LengthUnreadable) -> str:
    words = str(unread).rstrip(".")
    return words[0].lower() + words[1:] if words[0] != "“" else words
