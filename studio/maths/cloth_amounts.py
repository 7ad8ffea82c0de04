"""How much cloth to ask for, in the steps it is sold in.

    yards     up to the next eighth, 4 1/2 in
    metres    up to the next 10 cm

A length is never rounded down. Steps are common practice: shops that cut by 25 cm or
by the half metre give the next of those.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from studio.lengths import show_inches, to_mm
from studio.maths.finishing import yards_up

TEN_CENTIMETRES_MM = 100


@dataclass(frozen=True)
class ToBuy:
    """A length of cloth off a bolt, exact in inches."""

    inches: Fraction

    @property
    def yards(self) -> Fraction:
        return yards_up(self.inches)

    @property
    def tenths_of_a_metre(self) -> int:
        return ceil(to_mm(self.inches) / TEN_CENTIMETRES_MM)

    @property
    def centimetres_words(self) -> str:
        """Write the length up to the next tenth of a centimetre: ``57.2 cm``."""
        whole, rest = divmod(ceil(to_mm(self.inches)), 10)
        return f"{whole}.{rest} cm"

    @property
    def metres_words(self) -> str:
        whole, rest = divmod(self.tenths_of_a_metre, 10)
        return f"{whole}.{rest} m" if rest else f"{whole} m"

    @property
    def yards_words(self) -> str:
        return f"{show_inches(self.yards)} yd"

    def __str__(self) -> str:
        return f"{self.metres_words}, or {self.yards_words}"
