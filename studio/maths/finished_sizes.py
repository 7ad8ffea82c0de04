"""What a finished size may be, and sentences for what it may not.

    above nought, at most 150 in, and on the finest mark of the ruler (1/16 in, 0.5 mm)

No bed quilt of the trade is wider than 104 in (standard quilt sizes, UK magazine
guide, Feb 2020), so 150 in is a slip of the pen and not a quilt.
"""

from __future__ import annotations

from fractions import Fraction
from math import floor

from studio.errors import StudioError
from studio.lengths import LengthUnreadable, parse_length
from studio.maths.metric import INCH, Ruler

MOST_INCHES = Fraction(150)


class SizeImpossible(StudioError):
    """A finished size of nought or below."""

    def __init__(self, piece: str, inches: Fraction) -> None:
        self.piece = piece
        self.inches = inches
        super().__init__(piece, inches)

    def __str__(self) -> str:
        return f"A finished size is above nought. Write how large the {self.piece} ends up."


class SizeAbsurd(StudioError):
    """A finished size that is larger than any quilt."""

    def __init__(self, piece: str, inches: Fraction, ruler: Ruler) -> None:
        self.piece = piece
        self.inches = inches
        self.ruler = ruler
        super().__init__(piece, inches, ruler)

    def __str__(self) -> str:
        return (
            f"The {self.piece} would be {self.ruler.show(self.inches)} finished, and "
            f"{self.ruler.show(MOST_INCHES)} is the limit here. "
            "Check the number and its unit, please."
        )


class SizeTooFine(StudioError):
    """A finished size that falls between the finest marks of the ruler."""

    def __init__(self, piece: str, inches: Fraction, ruler: Ruler) -> None:
        self.piece = piece
        self.inches = inches
        self.ruler = ruler
        self.below_inches = floor(inches / ruler.finest_inches) * ruler.finest_inches
        self.above_inches = self.below_inches + ruler.finest_inches
        super().__init__(piece, inches, ruler)

    def __str__(self) -> str:
        finest = self.ruler.show(self.ruler.finest_inches)
        above = self.ruler.show(self.above_inches)
        near = (
            f"{self.ruler.show(self.below_inches)} or {above}"
            if self.below_inches
            else above
        )
        return (
            f"The {self.piece} falls between the marks of a ruler, whose finest is "
            f"{finest}. Write {near}."
        )


class FinishedUnreadable(StudioError):
    """A finished size that cannot be read as it was typed."""

    def __init__(self, piece: str, typed: str, reason: str) -> None:
        self.piece = piece
        self.typed = typed
        self.reason = reason
        super().__init__(piece, typed, reason)

    def __str__(self) -> str:
        return f"The size of the {self.piece} cannot be read. {self.reason}"


def read_finished(piece: str, typed: str, ruler: Ruler = INCH) -> Fraction:
    """Read a finished size as typed, in inches unless it has a unit, and check it."""
    try:
        inches = parse_length(typed)
    except LengthUnreadable as unread:
        raise FinishedUnreadable(piece, typed, str(unread)) from unread
    return checked_finished(piece, inches, ruler)


def checked_finished(piece: str, inches: Fraction, ruler: Ruler = INCH) -> Fraction:
    """Give the size back if a quilter can mean it."""
    above_nought(piece, inches)
    if inches > MOST_INCHES:
        raise SizeAbsurd(piece, inches, ruler)
    if (inches / ruler.finest_inches).denominator != 1:
        raise SizeTooFine(piece, inches, ruler)
    return inches


def above_nought(piece: str, inches: Fraction) -> Fraction:
    """Give the size back if it is a size at all."""
    if inches <= 0:
        raise SizeImpossible(piece, inches)
    return inches
