"""Cloth as it is bought: off the bolt, cut beforehand, or in a bundle of prints.

    length to buy = straightening + the strips, one behind the other

Usable sizes, selvedges and folds taken off, are common practice: 40 in across for
strips and 42 in across for squares, a fat quarter 18 × 21 in, a fat eighth 9 × 21 in,
a long quarter 9 × 42 in, strips 2½ × 40 in, squares of 5 and 10 in. Each can be
measured and changed.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from studio.errors import StudioError
from studio.maths.ruler_marks import by, ruler

WIDTH_FOR_STRIPS = Fraction(40)
WIDTH_FOR_SQUARES = Fraction(42)
STRAIGHTENING = Fraction(1)


@dataclass(frozen=True)
class Bolt:
    """Cloth by length: its usable width, and what straightening its end takes."""

    width_inches: Fraction = WIDTH_FOR_STRIPS
    straightening_inches: Fraction = Fraction(0)

    def __str__(self) -> str:
        return f"bolt of {ruler(self.width_inches)} usable width"


@dataclass(frozen=True)
class PreCut:
    """A piece of cloth cut beforehand, by its usable size."""

    name: str
    width_inches: Fraction
    height_inches: Fraction

    def __str__(self) -> str:
        return f"{self.name}, {by(self.width_inches, self.height_inches)}"


FAT_QUARTER = PreCut("fat quarter", Fraction(18), Fraction(21))
FAT_EIGHTH = PreCut("fat eighth", Fraction(9), Fraction(21))
LONG_QUARTER = PreCut("long quarter", Fraction(9), Fraction(42))
STRIP = PreCut("2½ in strip", Fraction(5, 2), Fraction(40))
FIVE_INCH_SQUARE = PreCut("5 in square", Fraction(5), Fraction(5))
TEN_INCH_SQUARE = PreCut("10 in square", Fraction(10), Fraction(10))
PRE_CUTS = (
    FAT_QUARTER,
    FAT_EIGHTH,
    LONG_QUARTER,
    STRIP,
    FIVE_INCH_SQUARE,
    TEN_INCH_SQUARE,
)


@dataclass(frozen=True)
class Bundle:
    """So many pieces of one shape, in so many different prints."""

    name: str
    shape: PreCut
    pieces: int
    prints: int

    def __post_init__(self) -> None:
        if self.prints < 1 or self.pieces < self.prints:
            raise BundleEmpty(self.name, self.pieces, self.prints)

    def times(self, number: int) -> Bundle:
        """Give so many of it, whose prints are not joined: as many more prints."""
        return Bundle(self.name, self.shape, self.pieces * number, self.prints * number)


class BundleEmpty(StudioError):
    """A bundle that holds no prints, or fewer pieces than prints."""

    def __init__(self, name: str, pieces: int, prints: int) -> None:
        self.name = name
        self.pieces = pieces
        self.prints = prints
        super().__init__(name, pieces, prints)

    def __str__(self) -> str:
        return (
            f"{self.name} is written down with {self.pieces} pieces in {self.prints} "
            "prints. Write how many pieces and prints it holds, then ask again."
        )


class FromOnePrint(StrEnum):
    """What has to be of one print, which a bundle may hold several pieces of.

    That no two patches of one print touch is not among these: it is promised nowhere,
    because it depends on how the blocks are laid out.
    """

    NOTHING = "any piece from any print"
    BLOCK_ROLE = "each cloth of a block from one print"
    BLOCK = "a whole block from one print"
    ROLE = "each cloth of a kit from one print"
    KIT = "a whole kit from one print"


NOT_PROMISED = (
    "Whether two patches of one print touch is not worked out here. "
    "Lay the blocks out before sewing them."
)
