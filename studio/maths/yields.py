"""How many pieces a plain rectangle of cloth gives, in rows and columns.

    squares = ⌊width / side⌋ × ⌊length / side⌋, straight cuts with no trimming loss
    strips  = ⌊(length − straightening) / strip⌋

The straightening loss, often an inch a cut length, is nought unless it is said, since
published lists keep it back without saying so. A bolt is as wide as it is between its
selvedges: 40 to 44 in. Sources: the lists named beside the worked examples.
"""

from __future__ import annotations

from fractions import Fraction
from math import floor

from studio.maths.finished_sizes import above_nought

NOUGHT = Fraction(0)


def pieces_from(
    width_inches: Fraction,
    length_inches: Fraction,
    piece_width_inches: Fraction,
    piece_length_inches: Fraction,
    straightening_inches: Fraction = NOUGHT,
) -> int:
    """Count pieces that all lie the same way."""
    above_nought("piece", min(piece_width_inches, piece_length_inches))
    usable = max(NOUGHT, length_inches - straightening_inches)
    return floor(width_inches / piece_width_inches) * floor(
        usable / piece_length_inches
    )


def squares_from(
    width_inches: Fraction,
    length_inches: Fraction,
    side_inches: Fraction,
    straightening_inches: Fraction = NOUGHT,
) -> int:
    """Count squares."""
    return pieces_from(
        width_inches, length_inches, side_inches, side_inches, straightening_inches
    )


def strips_from(
    length_inches: Fraction,
    strip_inches: Fraction,
    straightening_inches: Fraction = NOUGHT,
) -> int:
    """Count strips across the whole width."""
    whole = Fraction(1)
    return pieces_from(whole, length_inches, whole, strip_inches, straightening_inches)
