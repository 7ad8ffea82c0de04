"""Exact lengths: inches as fractions, millimetres for the cutter.

    1 in = 25.4 mm, 1 yd = 36 in, exactly (the international yard and pound of 1959)
    draw at = nominal size + kerf, since the beam takes half its width off each edge

One parser and one writer for the whole studio. A length that cannot be written
exactly is written with "about" in front and three places, never silently rounded.
"""

from __future__ import annotations

import re
from fractions import Fraction
from math import ceil, floor

from studio.errors import StudioError

MM_IN_AN_INCH = Fraction(127, 5)
MOST_INCHES = 10_000
MOST_PLACES = 4

_UNITS = {
    Fraction(1): ("", "in", "ins", "inch", "inches", '"', "″", "”", "''"),
    Fraction(1) / MM_IN_AN_INCH: ("mm", "millimetre", "millimetres"),
    Fraction(10) / MM_IN_AN_INCH: ("cm", "centimetre", "centimetres"),
    Fraction(1000) / MM_IN_AN_INCH: ("m", "metre", "metres"),
    Fraction(36): ("yd", "yds", "yard", "yards"),
}
_INCHES_IN = {name: inches for inches, names in _UNITS.items() for name in names}
_GLYPHS = {
    Fraction(1, 2): "½",
    Fraction(1, 4): "¼",
    Fraction(3, 4): "¾",
    Fraction(1, 8): "⅛",
    Fraction(3, 8): "⅜",
    Fraction(5, 8): "⅝",
    Fraction(7, 8): "⅞",
}
_READ_ONLY_GLYPHS = {Fraction(1, 3): "⅓", Fraction(2, 3): "⅔"}
_RULER = (16, 32, 64)
_MINUS = "−"

_NUMBER_AND_UNIT = re.compile(r"(?P<number>.*?[0-9.])\s*(?P<unit>[^0-9.,/\s-]*)")
_DECIMAL = re.compile(r"([0-9]{1,9})(?:\.([0-9]{1,40}))?|\.([0-9]{1,40})")
_FRACTION = re.compile(r"(?:([0-9]{1,9})[\s-]+)?([0-9]{1,9})\s*/\s*([0-9]{1,9})")


class LengthUnreadable(StudioError):
    """A length that cannot be read as it was typed."""

    def __init__(self, typed: str, reason: str) -> None:
        self.typed = typed
        self.reason = reason
        super().__init__(typed, reason)

    def __str__(self) -> str:
        return self.reason


def parse_length(typed: str) -> Fraction:
    """Read a length as typed; give exact inches, which are meant if no unit is.

    Takes ``2 1/2``, ``2½``, ``2-1/2``, ``2.5``, ``10"``, ``63.5 mm``, ``6.35 cm``,
    ``0.5 m`` and ``1 yd``. Raises LengthUnreadable for anything else.
    """
    plain = _without_glyphs(typed).strip().lower()
    if not plain:
        raise LengthUnreadable(
            typed, "No length is written. Write inches, such as 2 1/2, or 63.5 mm."
        )
    parts = _NUMBER_AND_UNIT.fullmatch(plain)
    if parts is None or parts["unit"] not in _INCHES_IN:
        raise LengthUnreadable(typed, _why_unreadable(typed, plain))
    inches = _number(typed, parts["number"]) * _INCHES_IN[parts["unit"]]
    if inches > MOST_INCHES:
        raise LengthUnreadable(
            typed, f"“{typed.strip()}” is longer than any bolt. Check the unit, please."
        )
    return inches


def show_inches(inches: Fraction) -> str:
    """Write inches as a ruler does: ``4⅝``, ``11 11/16``, ``0``.

    What is on no ruler is written as a decimal, with "about" if it is not exact.
    """
    sign, size = _sign_and_size(inches)
    whole, rest = divmod(size, 1)
    if not rest:
        return f"{sign}{whole}"
    if rest in _GLYPHS:
        return f"{sign}{whole or ''}{_GLYPHS[rest]}"
    if rest.denominator in _RULER:
        return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"
    return _decimal(inches)


def show_mm(inches: Fraction) -> str:
    """Write a length of so many inches in millimetres: ``117.475 mm``."""
    return show_millimetres(to_mm(inches))


def show_millimetres(millimetres: Fraction) -> str:
    """Write millimetres exactly, or to three places with "about" in front."""
    return f"{_decimal(millimetres, most_places=6)} mm"


def to_mm(inches: Fraction) -> Fraction:
    """Turn inches into exact millimetres."""
    return inches * MM_IN_AN_INCH


def cutter_mm(inches: Fraction, *, kerf_tenths_mm: int) -> Fraction:
    """Give the millimetres to draw at, so that the piece comes out at its size.

    Rounded up to a thousandth of a millimetre, finer than a cutter can follow.
    """
    drawn = to_mm(inches) + Fraction(kerf_tenths_mm, 10)
    return Fraction(ceil(drawn * 1000), 1000)


def _without_glyphs(typed: str) -> str:
    for value, glyph in (*_GLYPHS.items(), *_READ_ONLY_GLYPHS.items()):
        typed = typed.replace(glyph, f" {value}")
    return (
        typed.replace("\N{FRACTION SLASH}", "/").replace(_MINUS, "-").replace("–", "-")
    )


def _number(typed: str, plain: str) -> Fraction:
    decimal = _DECIMAL.fullmatch(plain)
    if decimal:
        return _from_decimal(typed, plain, decimal[2] or decimal[3] or "")
    fraction = _FRACTION.fullmatch(plain)
    if fraction is None:
        raise LengthUnreadable(typed, _why_unreadable(typed, plain))
    return _from_fraction(typed, fraction[1], int(fraction[2]), int(fraction[3]))


def _from_decimal(typed: str, plain: str, places: str) -> Fraction:
    if len(places) > MOST_PLACES:
        raise LengthUnreadable(
            typed,
            f"“{typed.strip()}” has more figures after the point than can be cut. "
            f"Write up to {MOST_PLACES}, or a fraction such as 2 1/3.",
        )
    return Fraction(plain)


def _from_fraction(typed: str, whole: str | None, top: int, bottom: int) -> Fraction:
    if bottom == 0:
        raise LengthUnreadable(
            typed,
            f"Nothing can be parted into noughts, as “{typed.strip()}” does."
            " Write a fraction such as 2 1/2.",
        )
    if whole is None:
        return Fraction(top, bottom)
    if top >= bottom:
        meant = show_inches(int(whole) + Fraction(top, bottom))
        raise LengthUnreadable(
            typed,
            f"“{typed.strip()}” has a fraction of a whole or more. "
            f"If {meant} is meant, write that.",
        )
    return int(whole) + Fraction(top, bottom)


def _why_unreadable(typed: str, plain: str) -> str:
    shown = typed.strip()
    if re.match(r"-\s*[0-9.]", plain):
        return f"“{shown}” is below nought. A length is nought or more."
    if re.fullmatch(r"[0-9]+,[0-9]+.*", plain):
        return f"“{shown}” has a comma. Write a point for decimals, such as 2.5."
    unit = re.fullmatch(r"[0-9./\s-]*[0-9]\s*([a-z]+)\.?", plain)
    if unit:
        return (
            f"“{unit[1]}” is not a unit known here. "
            "Write in, mm, cm, m or yd after the number."
        )
    return f"“{shown}” is not a length. Write inches, such as 2 1/2, or 63.5 mm."


def _sign_and_size(length: Fraction) -> tuple[str, Fraction]:
    return (_MINUS if length < 0 else ""), abs(length)


def _decimal(number: Fraction, most_places: int = 3) -> str:
    sign, size = _sign_and_size(number)
    for places in range(most_places + 1):
        scaled = size * 10**places
        if scaled.denominator == 1:
            return sign + _with_point(scaled.numerator, places)
    rounded = floor(size * 1000 + Fraction(1, 2))
    return f"about {sign}{_with_point(rounded, 3)}"


def _with_point(scaled: int, places: int) -> str:
    whole, after = divmod(scaled, 10**places)
    return f"{whole}.{after:0{places}}" if places else str(whole)
