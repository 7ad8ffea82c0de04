"""A piece as it is asked for: by its cut size, or by the finished size it serves.

    cut size                   as written, both sides
    finished square or bar     each side + 2 seams
    half-square triangles      finished side + 7/8 in
    quarter-square triangles   finished side + 1 1/4 in
    tapered piece              long side × height, and the short side

Constants of the trade for a quarter-inch seam (common practice). A bare number is in
the unit that is chosen beside it.
"""

from __future__ import annotations

import re
from fractions import Fraction

from studio.errors import StudioError
from studio.lengths import LengthUnreadable, parse_length, show_inches
from studio.maths import shapes
from studio.maths.piece_finding import KnownPiece
from studio.maths.shapes import Measure

CUT, FINISHED, HALVES, QUARTERS, TAPERED = SHAPES = (
    "cut",
    "finished",
    "halves",
    "quarters",
    "tapered",
)
SHAPE_WORDS = {
    CUT: "Square or bar, by its cut size",
    FINISHED: "Square or bar, by its finished size",
    HALVES: "Square for half-square triangles, by their finished side",
    QUARTERS: "Square for quarter-square triangles, by their finished side",
    TAPERED: "Tapered piece, by its cut size",
}
UNITS = {"in": "inches", "mm": "millimetres"}
MOST_INCHES = Fraction(150)
MOST_TOLERANCE_INCHES = Fraction(2)
_GROWS: dict[str, Measure] = {
    FINISHED: shapes.SQUARE_SIDE,
    HALVES: shapes.HALF_SQUARE_LEG,
    QUARTERS: shapes.QUARTER_SQUARE_LONG_SIDE,
}
_SIDES = re.compile(r"\s*(?:×|\bx\b|(?<=\d)x|\bby\b)\s*", re.IGNORECASE)
_BARE = re.compile(r"[\d\s./½¼¾⅛⅜⅝⅞-]+")


class PieceUnreadable(StudioError):
    """A measure of a piece that cannot be read, or that no piece has."""

    def __init__(self, measure: str, typed: str, reason: str) -> None:
        self.measure = measure
        self.typed = typed
        self.reason = reason
        super().__init__(measure, typed, reason)

    def __str__(self) -> str:
        return (
            f"The {self.measure} of the piece cannot be “{self.typed}”. {self.reason}"
        )


def read_piece(
    shape: str,
    size: str,
    narrow: str = "",
    *,
    unit: str = "in",
    engraving: str = "",
    tint: str = "clear",
) -> KnownPiece:
    """Read a piece that is looked for. Raises PieceUnreadable."""
    width, height = _read_size(shape, size, unit)
    short = None
    if shape == TAPERED:
        short = read_measure("short side", narrow, unit)
        if short >= width:
            limit = f"It is shorter than the long side, {show_inches(width)} in."
            raise PieceUnreadable("short side", narrow, limit)
    return KnownPiece("piece", width, height, engraving, tint, short)


def _read_size(shape: str, typed: str, unit: str) -> tuple[Fraction, Fraction]:
    parts = _SIDES.split(typed.strip())
    if len(parts) > 2:
        reason = "Write one side, or two with × between, such as 4 1/4 × 2 3/8."
        raise PieceUnreadable("size", typed.strip(), reason)
    if len(parts) == 2 and shape in (HALVES, QUARTERS):
        reason = "Triangles are cut from a square: write its one finished side."
        raise PieceUnreadable("size", typed.strip(), reason)
    sides = [read_measure("size", part, unit) for part in _with_unit(parts)]
    grows = _GROWS.get(shape)
    more = (grows.trade_inches or Fraction(0)) if grows else Fraction(0)
    return sides[0] + more, sides[-1] + more


def read_measure(measure: str, typed: str, unit: str) -> Fraction:
    """Read one length above nought and up to 150 in; bare numbers are in the unit."""
    inches = _read_length(measure, typed, unit)
    if not inches:
        raise PieceUnreadable(measure, typed.strip(), "A piece has sizes above nought.")
    if inches > MOST_INCHES:
        most = f"{show_inches(MOST_INCHES)} in is the limit. Check the unit, please."
        raise PieceUnreadable(measure, typed.strip(), most)
    return inches


def read_tolerance(typed: str, unit: str) -> Fraction:
    """Read how far off a piece may be: nought up to 2 in."""
    inches = _read_length("tolerance", typed, unit)
    if inches > MOST_TOLERANCE_INCHES:
        most = f"{show_inches(MOST_TOLERANCE_INCHES)} in is the limit."
        raise PieceUnreadable("tolerance", typed.strip(), most)
    return inches


def _read_length(measure: str, typed: str, unit: str) -> Fraction:
    bare = unit == "mm" and _BARE.fullmatch(typed.strip())
    try:
        return parse_length(f"{typed} mm" if bare else typed)
    except LengthUnreadable as unread:
        raise PieceUnreadable(measure, typed.strip(), str(unread)) from unread


def _with_unit(parts: list[str]) -> list[str]:
    """Let the unit behind the second side hold for the first as well: 60 × 108 mm."""
    if len(parts) < 2 or not _BARE.fullmatch(parts[0]):
        return parts
    unit = re.search(r"[a-z\"″]+$", parts[1].strip(), re.IGNORECASE)
    return [f"{parts[0]} {unit[0]}" if unit else parts[0], parts[1]]
