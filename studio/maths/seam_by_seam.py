"""Which seam of a test block is out, from the units measured along one edge.

    the first and the last unit show their finished size and one seam allowance, the
    units between show their finished size alone
    allowance of the first join  = what the first unit is short of that
    of each join after it        = what the unit before it is short of, less the last
    what is left at the last unit is no seam: that unit was cut or trimmed wrong

Measured on the sewn block, pressed, from seam to seam and from seam to raw edge. Source:
plane geometry; two allowances of one join are alike (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from studio.errors import StudioError
from studio.maths.blocks import Block
from studio.maths.finished_sizes import above_nought
from studio.maths.metric import INCH, Ruler


class UnitsMiscounted(StudioError):
    """More or fewer units measured than lie along the edge."""

    def __init__(self, measured: int, there: int) -> None:
        self.measured = measured
        self.there = there
        super().__init__(measured, there)

    def __str__(self) -> str:
        return (
            f"{self.there} units lie along the edge of this block, and {self.measured} "
            "are measured. Write one size for each, from left to right."
        )


@dataclass(frozen=True)
class JoinFound:
    """One join: by how much each of its two allowances is too wide, in inches."""

    number: int
    seam_inches: Fraction
    ruler: Ruler

    @property
    def join_inches(self) -> Fraction:
        return 2 * self.seam_inches

    def __str__(self) -> str:
        if not self.seam_inches:
            return f"Join {self.number} is sewn as meant."
        much, wide = (
            ("too much", "too wide")
            if self.seam_inches > 0
            else ("too little", "too narrow")
        )
        show = self.ruler.show
        return (
            f"Join {self.number} takes {show(abs(self.join_inches))} {much}: each of "
            f"its allowances is {show(abs(self.seam_inches))} {wide}."
        )


@dataclass(frozen=True)
class EdgeFound:
    """All joins along one edge, and what no seam accounts for."""

    joins: tuple[JoinFound, ...]
    left_over_inches: Fraction
    ruler: Ruler

    @property
    def left_over_words(self) -> str:
        """Say what no seam accounts for, or nothing."""
        if not self.left_over_inches:
            return ""
        size = self.ruler.show(abs(self.left_over_inches))
        way = "small" if self.left_over_inches > 0 else "large"
        return (
            f"That leaves {size} that no seam accounts for: a unit was cut or trimmed "
            f"too {way}. Measure the units again before you move the needle."
        )

    def __str__(self) -> str:
        words = (*map(str, self.joins), self.left_over_words)
        return " ".join(filter(None, words))


def units_along_the_edge(block: Block, finished_inches: Fraction) -> list[Fraction]:
    """Give the finished widths of the units along the upper edge, in inches."""
    step = finished_inches / block.across
    first_row = sorted(
        (one for one in block.cells if one.y == 0), key=lambda one: one.x
    )
    return [one.width * step for one in first_row]


def shown_sizes(units: Sequence[Fraction], seam_inches: Fraction) -> list[Fraction]:
    """Give what a tape should show of each unit, in inches."""
    last = len(units) - 1
    ends = [(n == 0) + (n == last) for n in range(len(units))]
    return [unit + end * seam_inches for unit, end in zip(units, ends, strict=True)]


def find_seams(
    units: Sequence[Fraction],
    measured_inches: Sequence[Fraction],
    ruler: Ruler = INCH,
) -> EdgeFound:
    """Say of each join what it takes. Raises UnitsMiscounted."""
    if len(measured_inches) != len(units):
        raise UnitsMiscounted(len(measured_inches), len(units))
    for number, size in enumerate(measured_inches, 1):
        above_nought(f"unit {number}", size)
    meant = shown_sizes(units, ruler.seam_inches)
    short = [a - b for a, b in zip(meant, measured_inches, strict=True)]
    joins: list[JoinFound] = []
    taken = Fraction(0)
    for number, lost in enumerate(short[:-1], 1):
        taken = lost - taken
        joins.append(JoinFound(number, taken, ruler))
    return EdgeFound(tuple(joins), short[-1] - taken, ruler)
