"""A cutting plan as a plain value: places, cuts in order, scraps, and the proof."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from studio.maths.cloth import Bolt, PreCut

STRIP = "strip"
CROSS_CUT = "cross-cut"
TRIM = "trim"


@dataclass(frozen=True)
class Placement:
    """One piece: which length or pre-cut piece it is cut from, and where it lies."""

    name: str
    stock: int
    x_inches: Fraction
    y_inches: Fraction
    width_inches: Fraction
    height_inches: Fraction
    is_turned: bool


@dataclass(frozen=True)
class Cut:
    """One cut, in order: across or along, what the ruler shows, and where it runs."""

    number: int
    stock: int
    step: str
    is_across: bool
    measure_inches: Fraction
    from_inches: tuple[Fraction, Fraction]
    to_inches: tuple[Fraction, Fraction]


def strip_numbers(cuts: Sequence[Cut]) -> list[int]:
    """Number the strip that each cut is made in, from 0, by the strips among them.

    Strips run across the cloth, or along it; all of one cloth the same way.
    """
    strips: dict[int, list[Cut]] = {}
    for cut in cuts:
        if cut.step == STRIP:
            strips.setdefault(cut.stock, []).append(cut)
    axes = {stock: 1 if here[0].is_across else 0 for stock, here in strips.items()}
    lines = {
        stock: [cut.from_inches[axes[stock]] for cut in here]
        for stock, here in strips.items()
    }
    return [
        bisect_right(lines.get(cut.stock, []), cut.from_inches[axes.get(cut.stock, 1)])
        for cut in cuts
    ]


@dataclass(frozen=True)
class Scrap:
    """What is left over in one piece."""

    stock: int
    x_inches: Fraction
    y_inches: Fraction
    width_inches: Fraction
    height_inches: Fraction

    def holds(self, least_inches: tuple[Fraction, Fraction]) -> bool:
        """Say whether a piece of that size still lies on it, either way round."""
        mine = sorted((self.width_inches, self.height_inches))
        theirs = sorted(least_inches)
        return mine[0] >= theirs[0] and mine[1] >= theirs[1]


@dataclass(frozen=True)
class Certificate:
    """Whole-number weights that anybody can check the bound of a bolt with."""

    unit_inches: Fraction
    stages: str
    heights: tuple[int, ...]
    weights: tuple[tuple[int, ...], ...]
    refused: tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Plan:
    """A cutting plan. ``used`` and ``bound`` are inches off a bolt, or pieces."""

    cloth: Bolt | PreCut
    stages: str
    used: Fraction
    bound: Fraction
    seconds: float
    placements: tuple[Placement, ...]
    cuts: tuple[Cut, ...]
    scraps: tuple[Scrap, ...]
    certificate: Certificate | None = None

    @property
    def is_proven(self) -> bool:
        return self.used == self.bound

    @property
    def gap(self) -> Fraction:
        """Give how much more than the least this may be."""
        return self.used - self.bound

    @property
    def stocks(self) -> int:
        """Give how many lengths or pieces are cut."""
        return 1 if isinstance(self.cloth, Bolt) else int(self.used)

    @property
    def straightening_inches(self) -> Fraction:
        """Give what is cut off the end of a bolt before anything is measured."""
        if isinstance(self.cloth, Bolt):
            return self.cloth.straightening_inches
        return Fraction(0)

    @property
    def size_inches(self) -> tuple[Fraction, Fraction]:
        """Give the width and height of one length, once straightened, or piece."""
        if isinstance(self.cloth, Bolt):
            return self.cloth.width_inches, self.used - self.straightening_inches
        return self.cloth.width_inches, self.cloth.height_inches
