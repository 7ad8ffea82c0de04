"""Lengths as a ruler has them: on a mark, or between two and said so.

inches in eighths and sixteenths; else centimetres, if it is on their marks of ½ mm;
else a shade over the last eighth
"""

from __future__ import annotations

from fractions import Fraction
from math import floor

from studio.lengths import show_inches, show_millimetres, to_mm


def ruler(inches: Fraction) -> str:
    """Write what to set on the ruler: ``4⅝ in``, ``11.75 cm``."""
    if (inches * 16).denominator == 1:
        return f"{show_inches(inches)} in"
    if (to_mm(inches) * 2).denominator == 1:
        return show_millimetres(to_mm(inches) / 10).replace(" mm", " cm")
    return f"a shade over {show_inches(Fraction(floor(inches * 8), 8))} in"


def by(width_inches: Fraction, height_inches: Fraction) -> str:
    """Write two sides: ``18 × 21 in``, ``50 × 55 cm``, or each with its own unit."""
    width, height = ruler(width_inches), ruler(height_inches)
    for unit in (" in", " cm"):
        if width.endswith(unit) and height.endswith(unit):
            return f"{width.removesuffix(unit)} × {height}"
    return f"{width} × {height}"
