"""How many pre-cut pieces of cloth so many pieces of one size take.

    pieces from one = the better of ⌊w / a⌋ × ⌊h / b⌋ and ⌊w / b⌋ × ⌊h / a⌋
    pre-cut pieces  = ⌈count / pieces from one⌉

Usable sizes as in `studio.maths.cloth`; each size of piece is counted by itself.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from studio.maths.cloth import FAT_QUARTER, TEN_INCH_SQUARE, PreCut
from studio.maths.yields import pieces_from

USUAL = (FAT_QUARTER, TEN_INCH_SQUARE)


def pre_cut_pieces(
    width_inches: Fraction, height_inches: Fraction, count: int, cloth: PreCut
) -> int | None:
    """Count the pre-cut pieces, or None where not one piece comes out of it."""
    from_one = max(
        pieces_from(cloth.width_inches, cloth.height_inches, *sides)
        for sides in ((width_inches, height_inches), (height_inches, width_inches))
    )
    return ceil(Fraction(count, from_one)) if from_one else None


def in_words(width_inches: Fraction, height_inches: Fraction, count: int) -> str:
    """Say it: ``2 fat quarters or 6 10 in squares``; neither is said plainly."""
    ways = []
    for cloth in USUAL:
        number = pre_cut_pieces(width_inches, height_inches, count, cloth)
        if number is not None:
            ways.append(f"{number} {_named(cloth)}{'s' * (number > 1)}")
    return " or ".join(ways) or "cloth off the bolt: it is larger than a fat quarter"


def _named(cloth: PreCut) -> str:
    return "ten-inch square" if cloth == TEN_INCH_SQUARE else cloth.name
