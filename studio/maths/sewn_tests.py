"""What a sewn test block says about its seams.

    raw block = finished + 2 seams, measured raw edge to raw edge
    passed    = every block within the allowance, 1/16 in as the house rule
    a join takes (raw − measured) / joins too much, and each of its two seam
    allowances half of that

Source: worked by hand; a seam 1/32 in too deep loses 1/16 at every join (common
practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from studio.errors import StudioError
from studio.maths.blocks import Block
from studio.maths.finished_sizes import above_nought
from studio.maths.metric import INCH, Ruler

ALLOWED_INCHES = Fraction(1, 16)


class BlocksUnmeasured(StudioError):
    """A test with no measured block, or with no join to judge by."""

    def __init__(self, reason: str) -> None:
        self.reason = reason
        super().__init__(reason)

    def __str__(self) -> str:
        return self.reason


@dataclass(frozen=True)
class MeasuredBlock:
    """One sewn block: its number, and how much larger it is than it should be."""

    number: int
    measured_inches: Fraction
    over_inches: Fraction
    joins: int
    allowed_inches: Fraction
    ruler: Ruler

    @property
    def passed(self) -> bool:
        return abs(self.over_inches) <= self.allowed_inches

    @property
    def join_inches(self) -> Fraction:
        """Give what each join takes too much; below nought if too little."""
        return -self.over_inches / self.joins

    @property
    def seam_inches(self) -> Fraction:
        """Give what each seam allowance is too wide; below nought if too narrow."""
        return self.join_inches / 2

    def __str__(self) -> str:
        show = self.ruler.show
        if not self.over_inches:
            return (
                f"Block {self.number} measures {show(self.measured_inches)}, as meant."
            )
        much, wide = (
            ("too much", "too wide")
            if self.over_inches < 0
            else ("too little", "too narrow")
        )
        size = "short" if self.over_inches < 0 else "over"
        across = f"{_number(self.joins)} across, so each join takes"
        return (
            f"Block {self.number} is {show(abs(self.over_inches))} {size}: {across} "
            f"{show(abs(self.join_inches))} {much}, each seam allowance "
            f"{show(abs(self.seam_inches))} {wide}."
        )


@dataclass(frozen=True)
class SewnTest:
    """A size that was sewn so many times, and what came of it."""

    finished_inches: Fraction
    raw_inches: Fraction
    allowed_inches: Fraction
    blocks: tuple[MeasuredBlock, ...]
    ruler: Ruler

    @property
    def passed(self) -> bool:
        return all(one.passed for one in self.blocks)

    @property
    def least_inches(self) -> Fraction:
        return self.raw_inches - self.allowed_inches

    @property
    def most_inches(self) -> Fraction:
        return self.raw_inches + self.allowed_inches

    def __str__(self) -> str:
        show = self.ruler.show
        should = (
            f"The raw block should measure {show(self.raw_inches)}, from "
            f"{show(self.least_inches)} to {show(self.most_inches)}."
        )
        if self.passed:
            return f"{should} Passed: every block does."
        wrong = " ".join(str(one) for one in self.blocks if not one.passed)
        return f"{should} Not passed. {wrong}"


def judge(
    finished_inches: Fraction,
    measured_inches: Sequence[Fraction],
    *,
    joins: int,
    allowed_inches: Fraction = ALLOWED_INCHES,
    ruler: Ruler = INCH,
) -> SewnTest:
    """Judge blocks measured raw edge to raw edge, across so many joins."""
    if not measured_inches:
        raise BlocksUnmeasured("No block is measured yet. Write at least one size.")
    if joins < 1:
        raise BlocksUnmeasured("A test needs at least one join across the block.")
    raw = above_nought("block", finished_inches) + ruler.two_seams
    sewn = tuple(
        MeasuredBlock(
            number,
            above_nought(f"block {number}", size),
            size - raw,
            joins,
            allowed_inches,
            ruler,
        )
        for number, size in enumerate(measured_inches, 1)
    )
    return SewnTest(finished_inches, raw, allowed_inches, sewn, ruler)


def joins_along_the_edge(block: Block) -> int:
    """Count the joins that a tape crosses along the upper edge of a block."""
    return sum(1 for one in block.cells if one.y == 0) - 1


def _number(joins: int) -> str:
    words = {1: "one join", 2: "two joins", 3: "three joins", 4: "four joins"}
    return words.get(joins, f"{joins} joins")
