"""A piece's three sizes: as named, as drawn for the cutter, and as measured.

    drawn     nominal + kerf where the kerf is to be in, rounded up to 0.001 mm
    measured  in order while |measured − nominal at that warmth| ≤ tolerance
    at t °C   nominal × (1 + 7.7 × 10⁻⁵ × (t − 20))

Acrylic sheet grows about 7.7 × 10⁻⁵ of its length for each degree (makers' data sheets
of cast acrylic give 7 to 8, from memory): 260 mm grows 0.20 mm in 10 °C.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from studio.lengths import show_millimetres

GROWTH_PER_DEGREE = Fraction(77, 1_000_000)
USUAL_DEGREES = 20
USUAL_TOLERANCE_MM = Fraction(1, 5)
_FINEST_MM = Fraction(1, 1000)
_SHOWN_MM = Fraction(1, 100)


@dataclass(frozen=True)
class Measured:
    """One side as measured, and what it should have been at that warmth."""

    nominal_mm: Fraction
    measured_mm: Fraction
    degrees: int = USUAL_DEGREES
    tolerance_mm: Fraction = USUAL_TOLERANCE_MM

    @property
    def expected_mm(self) -> Fraction:
        return self.nominal_mm + growth_mm(
            self.nominal_mm, self.degrees - USUAL_DEGREES
        )

    @property
    def over_mm(self) -> Fraction:
        """Give what it is over; below nought where it is under."""
        return self.measured_mm - self.expected_mm

    @property
    def is_in_order(self) -> bool:
        return abs(self.over_mm) <= self.tolerance_mm

    @property
    def sentence(self) -> str:
        off = show_millimetres(_rounded(abs(self.over_mm)))
        allowed = show_millimetres(self.tolerance_mm)
        if self.is_in_order:
            return f"In order: {off} off, and {allowed} is allowed."
        way = "too large" if self.over_mm > 0 else "too small"
        return (
            f"Not in order: {off} {way}, and {allowed} is allowed. "
            "Check the kerf with one test piece before the next sheet."
        )


def drawn_mm(nominal_mm: Fraction, kerf_mm: Fraction, *, kerf_in: bool) -> Fraction:
    """Give the size to draw, so that the piece comes out at its nominal size."""
    drawn = nominal_mm + (kerf_mm if kerf_in else 0)
    return ceil(drawn / _FINEST_MM) * _FINEST_MM


def tolerance_line(
    sides_mm: tuple[Fraction, Fraction], tolerance_mm: Fraction = USUAL_TOLERANCE_MM
) -> str:
    """Say between which sizes a measured piece is in order, at 20 °C."""
    ranges = range_words(sides_mm, tolerance_mm)
    return f"Measured at {USUAL_DEGREES} °C, {ranges} is in order."


def range_words(
    sides_mm: tuple[Fraction, Fraction], tolerance_mm: Fraction = USUAL_TOLERANCE_MM
) -> str:
    """Write the range of each side: "98.23 to 98.62 and 50.6 to 51 mm"."""
    ranges = " and ".join(
        f"{_bare(side - tolerance_mm, ceil)} to {_bare(side + tolerance_mm, floor)}"
        for side in dict.fromkeys(sides_mm)
    )
    return f"{ranges} mm"


def _bare(length_mm: Fraction, rounded: Callable[[Fraction], int]) -> str:
    """Write a limit to 0.01 mm, rounded to the safe side."""
    limit = rounded(length_mm / _SHOWN_MM) * _SHOWN_MM
    return show_millimetres(limit).removesuffix(" mm")


def growth_mm(length_mm: Fraction, degrees: int) -> Fraction:
    """Give by how much a length of acrylic grows when so much warmer."""
    return length_mm * GROWTH_PER_DEGREE * degrees


def warmth_note(length_mm: Fraction) -> str:
    """Say what ten degrees do to a length."""
    grown = _rounded(growth_mm(length_mm, 10))
    return (
        f"Acrylic grows when warm: {show_millimetres(length_mm)} becomes "
        f"{show_millimetres(grown)} longer for 10 °C more. Measure sheets that have "
        "lain in the room for a night."
    )


def _rounded(length_mm: Fraction) -> Fraction:
    return Fraction(int(length_mm / _SHOWN_MM + Fraction(1, 2))) * _SHOWN_MM
