"""Cut lists in whole numbers of one fine unit, and what cannot be cut at all.

    unit = the greatest length that divides every side of every piece

Only sums of sides matter for where a cut may lie, so the cloth is counted in whole
units, rounded down. Where the unit is too fine to work with (inches and centimetres
in one list), sides are rounded up to 1/32 in: the plan stays safe, but nothing is
proven about it except by area.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from math import ceil, floor, gcd, lcm

from studio.errors import StudioError
from studio.lengths import show_inches
from studio.maths.cutting_list import CutPiece
from studio.maths.ruler_marks import by, ruler

COARSE = Fraction(1, 32)
MOST_UNITS = 3000
LONGEST_INCHES = Fraction(360)
FINEST_INCHES = Fraction(1, 16)
MOST_PIECES = 5000


@dataclass(frozen=True)
class Wanted:
    """A piece of a cutting list, and whether it may be turned."""

    piece: CutPiece
    turns: bool = True

    @property
    def size_inches(self) -> tuple[Fraction, Fraction]:
        return self.piece.width_inches, self.piece.height_inches


@dataclass(frozen=True)
class Units:
    """The unit of a cut list, and whether everything is a whole number of it."""

    inches: Fraction
    is_exact: bool

    def up(self, length: Fraction) -> int:
        return ceil(length / self.inches)

    def down(self, length: Fraction) -> int:
        return floor(length / self.inches)


class CannotCut(StudioError):
    """A piece that this cloth, or any cloth, cannot give; with the limit."""

    def __init__(self, name: str, reason: str, limit_inches: Fraction | None) -> None:
        self.name = name
        self.reason = reason
        self.limit_inches = limit_inches
        super().__init__(name, reason, limit_inches)

    def __str__(self) -> str:
        return f"“{self.name}” {self.reason}"


class TooMany(StudioError):
    """More pieces than a plan is made for."""

    def __init__(self, pieces: int) -> None:
        self.pieces = pieces
        super().__init__(pieces)

    def __str__(self) -> str:
        return (
            f"The list asks for {self.pieces} pieces. A plan is made for up to "
            f"{MOST_PIECES}; part the list, please."
        )


def units_for(wanted: Sequence[Wanted], longest: Fraction) -> Units:
    """Find the unit of a list on cloth of so many inches."""
    sides = [side for one in wanted for side in one.size_inches]
    unit = reduce(greatest_common, sides)
    if longest / unit <= MOST_UNITS:
        return Units(unit, is_exact=True)
    return Units(COARSE, is_exact=False)


def refuse_impossible(
    wanted: Iterable[Wanted], width: Fraction, height: Fraction | None
) -> None:
    """Raise CannotCut for a piece that cannot lie on the cloth in any way allowed.

    No height means cloth off the bolt, as long as it needs to be.
    """
    for one in wanted:
        _refuse_senseless(one)
        if not any(_fits(way, width, height) for way in _ways(one)):
            raise CannotCut(one.piece.name, _why(one, width, height), width)


def refuse_too_many(wanted: Iterable[Wanted]) -> None:
    """Raise TooMany for a list that is longer than a plan is made for."""
    pieces = sum(one.piece.count for one in wanted)
    if pieces > MOST_PIECES:
        raise TooMany(pieces)


def _refuse_senseless(one: Wanted) -> None:
    name, limit = one.piece.name, show_inches(LONGEST_INCHES)
    if min(one.size_inches) <= 0:
        raise CannotCut(
            name, "has a side of nought or less. Write its cut size.", Fraction(0)
        )
    if min(one.size_inches) < FINEST_INCHES:
        raise CannotCut(
            name,
            f"has a side finer than {show_inches(FINEST_INCHES)} in, which nobody can "
            "cut. Check the number and its unit, please.",
            FINEST_INCHES,
        )
    if max(one.size_inches) > LONGEST_INCHES:
        raise CannotCut(
            name,
            f"is {ruler(max(one.size_inches))} long. A piece is {limit} in "
            "at most; check the unit, please.",
            LONGEST_INCHES,
        )
    if one.piece.count < 1:
        raise CannotCut(name, "is wanted no times. Write 1 or more.", None)


def _ways(one: Wanted) -> list[tuple[Fraction, Fraction]]:
    width, height = one.size_inches
    return [(width, height), (height, width)] if one.turns else [(width, height)]


def _fits(
    way: tuple[Fraction, Fraction], width: Fraction, height: Fraction | None
) -> bool:
    return way[0] <= width and (height is None or way[1] <= height)


def _why(one: Wanted, width: Fraction, height: Fraction | None) -> str:
    size = by(*one.size_inches)
    cloth = f"{ruler(width)} across" if height is None else by(width, height)
    turned = "either way round" if one.turns else "and may not be turned"
    return (
        f"is {size}, which does not fit on cloth of {cloth}, {turned}. "
        "Join it from two pieces, or take wider cloth."
    )


def greatest_common(one: Fraction, other: Fraction) -> Fraction:
    """Give the greatest length that divides both."""
    below = lcm(one.denominator, other.denominator)
    return Fraction(gcd(int(one * below), int(other * below)), below)
