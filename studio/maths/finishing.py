"""Binding, backing and wadding, and how large a quilt for a bed is.

    binding      length = 2(W + H) + allowance, strips = ⌈length / usable width⌉;
                 with diagonal joins n U − (n − 1) w ≥ length
    strip width  4 × finished + 1/2 in at the least; 2 1/2 in is usual
    bias         side of the square = √(length × strip), up to the next inch
    backing      quilt + 2 m each way; n widths with n U − 2(n − 1) a ≥ the side across,
                 a the seam; both directions are tried and the smaller taken
    bed          mattress + 2 drops wide, mattress + 1 drop long, + what is tucked in

Defaults: allowance 10 in, usable 40 in, margin 4 in, strip 2 1/2 in (metric 25, 102, 10
and 6.5 cm, the strip from memory). The
allowance and the usable width are contested, so both can be changed. Sources: common
practice; standard quilt sizes, UK magazine guide, Feb 2020; the pages named beside
the worked examples. UK mattress sizes from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from studio.errors import StudioError
from studio.maths.cutting_list import CutPiece
from studio.maths.finished_sizes import above_nought
from studio.maths.metric import INCH, Ruler, millimetres
from studio.maths.surds import square_root

INCHES_IN_A_YARD = 36
ALLOWANCE_INCHES = Fraction(10)
USABLE_INCHES = Fraction(40)
STRIP_INCHES = Fraction(5, 2)
METRIC_STRIP_INCHES = millimetres(65)
MARGIN_INCHES = Fraction(4)
BARE_STRIP_EXTRA = Fraction(1, 2)
WHOLE_INCH = Fraction(1)


class ClothTooNarrow(StudioError):
    """A usable width from which nothing can be joined."""

    def __init__(self, usable_inches: Fraction, needed_inches: Fraction) -> None:
        self.usable_inches = usable_inches
        self.needed_inches = needed_inches
        super().__init__(usable_inches, needed_inches)

    def __str__(self) -> str:
        show = INCH.show
        return (
            f"Cloth {show(self.usable_inches)} wide cannot be joined here; it takes "
            f"more than {show(self.needed_inches)}. Check the usable width, please."
        )


@dataclass(frozen=True)
class Binding:
    """Double-fold strips to go round a quilt, on the straight grain."""

    length_inches: Fraction
    strips: int
    strip_inches: Fraction
    usable_inches: Fraction

    @property
    def cloth_inches(self) -> Fraction:
        """Give the length of cloth that the strips take."""
        return self.strips * self.strip_inches

    def piece(self, role: str = "binding") -> CutPiece:
        """Give the strips as a line of a cutting list."""
        return CutPiece(
            "binding strip", role, self.strips, self.usable_inches, self.strip_inches
        )


@dataclass(frozen=True)
class Backing:
    """Widths of cloth to join for a backing, each as long as the other side."""

    width_inches: Fraction
    height_inches: Fraction
    widths: int
    length_inches: Fraction
    usable_inches: Fraction
    seams_run_down: bool

    @property
    def cloth_inches(self) -> Fraction:
        """Give the length of cloth that the widths take."""
        return self.widths * self.length_inches

    def piece(self, role: str = "backing") -> CutPiece:
        """Give the widths as a line of a cutting list."""
        return CutPiece(
            "backing width", role, self.widths, self.usable_inches, self.length_inches
        )


@dataclass(frozen=True)
class Bed:
    """A bed: its mattress, and the quilt that a UK magazine gives for it."""

    name: str
    mattress_inches: tuple[Fraction, Fraction]
    quilt_inches: tuple[Fraction, Fraction]


def _cm(width: int, length: int) -> tuple[Fraction, Fraction]:
    return millimetres(width * 10), millimetres(length * 10)


BEDS = (
    Bed("cot", _cm(60, 120), _cm(120, 140)),
    Bed("single", _cm(90, 190), _cm(140, 200)),
    Bed("double", _cm(135, 190), _cm(200, 200)),
    Bed("king", _cm(150, 200), _cm(225, 220)),
    Bed("super king", _cm(180, 200), _cm(260, 220)),
)


def binding(
    width_inches: Fraction,
    height_inches: Fraction,
    *,
    allowance_inches: Fraction = ALLOWANCE_INCHES,
    usable_inches: Fraction = USABLE_INCHES,
    strip_inches: Fraction = STRIP_INCHES,
    diagonal_joins: bool = False,
) -> Binding:
    """Give the binding of a quilt; diagonal joins lose one strip width each."""
    above_nought("quilt", min(width_inches, height_inches))
    length = 2 * (width_inches + height_inches) + allowance_inches
    lost = strip_inches if diagonal_joins else Fraction(0)
    if usable_inches <= lost:
        raise ClothTooNarrow(usable_inches, lost)
    strips = ceil((length - lost) / (usable_inches - lost))
    return Binding(length, strips, strip_inches, usable_inches)


def bare_strip(finished_inches: Fraction) -> Fraction:
    """Give the narrowest double-fold strip for a finished binding width."""
    return 4 * above_nought("binding", finished_inches) + BARE_STRIP_EXTRA


def bias_square(length_inches: Fraction, strip_inches: Fraction) -> Fraction:
    """Give the side of the square that a length of bias strip is cut from."""
    return square_root(length_inches * strip_inches).rounded_up(WHOLE_INCH)


def backing(
    width_inches: Fraction,
    height_inches: Fraction,
    *,
    margin_inches: Fraction = MARGIN_INCHES,
    usable_inches: Fraction = USABLE_INCHES,
    seam_inches: Fraction = INCH.seam_inches,
) -> Backing:
    """Give the backing of a quilt, with its seams whichever way takes less cloth."""
    above_nought("quilt", min(width_inches, height_inches))
    width, height = width_inches + 2 * margin_inches, height_inches + 2 * margin_inches
    if usable_inches <= 2 * seam_inches:
        raise ClothTooNarrow(usable_inches, 2 * seam_inches)
    down = _widths(width, usable_inches, seam_inches)
    along = _widths(height, usable_inches, seam_inches)
    if down * height <= along * width:
        return Backing(width, height, down, height, usable_inches, True)
    return Backing(width, height, along, width, usable_inches, False)


def wadding(
    width_inches: Fraction,
    height_inches: Fraction,
    margin_inches: Fraction = MARGIN_INCHES,
) -> CutPiece:
    """Give the wadding, as large as the backing."""
    two = 2 * margin_inches
    return CutPiece("wadding", "wadding", 1, width_inches + two, height_inches + two)


def bed_quilt(
    bed: Bed, drop_inches: Fraction, tuck_inches: Fraction = Fraction(0)
) -> tuple[Fraction, Fraction]:
    """Give the size of a quilt that hangs down on both sides and at the foot."""
    width, length = bed.mattress_inches
    return width + 2 * drop_inches, length + drop_inches + tuck_inches


def blocks_to_cover(
    size_inches: tuple[Fraction, Fraction],
    block_inches: Fraction,
    borders_inches: Fraction = Fraction(0),
) -> tuple[int, int]:
    """Count blocks across and down that reach a size, borders on all sides."""
    above_nought("block", block_inches)
    across, down = (
        max(1, ceil((side - 2 * borders_inches) / block_inches)) for side in size_inches
    )
    return across, down


def yards_up(inches: Fraction, step_yards: Fraction = Fraction(1, 8)) -> Fraction:
    """Give a length of cloth in yards, up to the next step that is sold."""
    return ceil(inches / INCHES_IN_A_YARD / step_yards) * step_yards


def half_metres_up(inches: Fraction) -> Fraction:
    """Give a length of cloth in metres, up to the next half metre."""
    return Fraction(ceil(inches / millimetres(500)), 2)


def usual_ruler_margins(ruler: Ruler) -> tuple[Fraction, Fraction, Fraction]:
    """Give allowance, usable width and margin in the habits of a ruler."""
    if ruler.is_metric:
        return millimetres(250), millimetres(1020), millimetres(100)
    return ALLOWANCE_INCHES, USABLE_INCHES, MARGIN_INCHES


def usual_strip(ruler: Ruler) -> Fraction:
    """Give the usual width of a binding strip: 2 1/2 in, or 6.5 cm."""
    return METRIC_STRIP_INCHES if ruler.is_metric else STRIP_INCHES


def _widths(across: Fraction, usable: Fraction, seam: Fraction) -> int:
    """n U − 2(n − 1) a ≥ across."""
    return max(1, ceil((across - 2 * seam) / (usable - 2 * seam)))
