"""What a maker asks of a block, read as she types it: size, way, mode and seam.

    a bare number is inches, everywhere
    in the metric system a size in inches is redrafted, 2.5 cm for an inch: 12 → 30 cm
    a size in centimetres that is on no mark of an inch ruler is cut in centimetres
    a seam lies above nought and up to 1 in, on sixteenths (metric: or on 0.1 mm)

A size of two sides, such as 4 × 2, is taken where the block has that shape.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from studio.errors import StudioError
from studio.lengths import LengthUnreadable, parse_length
from studio.maths import blocks
from studio.maths.blocks import UnitCount
from studio.maths.cutting_list import CutPiece
from studio.maths.finished_sizes import (
    FinishedUnreadable,
    above_nought,
    checked_finished,
)
from studio.maths.known_blocks import KnownBlock
from studio.maths.metric import INCH, METRIC, MM, Ruler, inch_ruler, metric_ruler
from studio.maths.metric import redrafted as to_metric
from studio.maths.patch.recipe import Cutting, Making, Recipe

MOST_SEAM_INCHES = Fraction(1)
USUAL_SEAM = "usual"
MODES = {
    Cutting.TRADE: "as the trade rounds",
    Cutting.EXACT: "exact",
    Cutting.OVERSIZE: "oversize, then trim",
}
_SIDES = re.compile(r"(.+?)\s*(?:×|\bx\b|(?<=\d)x|\bby\b)\s*(.+)", re.IGNORECASE)
_CENTIMETRES = re.compile(
    r"\d\s*(cm|mm|m|centimetres?|millimetres?|metres?)\b", re.IGNORECASE
)


class SeamUnfit(StudioError):
    """A seam that nobody can sew or measure."""

    def __init__(self, typed: str, reason: str) -> None:
        self.typed = typed
        self.reason = reason
        super().__init__(typed, reason)

    def __str__(self) -> str:
        return f"The seam cannot be “{self.typed.strip()}”. {self.reason}"


class ModeUnknown(StudioError):
    """A word that is no mode of cutting."""

    def __init__(self, typed: str) -> None:
        self.typed = typed
        super().__init__(typed)

    def __str__(self) -> str:
        known = ", ".join(mode.value for mode in Cutting)
        return f"“{self.typed}” is no mode of cutting. Choose one of: {known}."


class WayUnfit(StudioError):
    """A way in which nothing in the block is made."""

    def __init__(self, block: str, typed: str, known: tuple[str, ...]) -> None:
        self.block = block
        self.typed = typed
        self.known = known
        super().__init__(block, typed, known)

    def __str__(self) -> str:
        if not self.known:
            return f"The {self.block} is made in one way only. Leave the way out."
        return (
            f"“{self.typed}” is no way to make the {self.block}. "
            f"Choose one of: {', '.join(self.known)}."
        )


class SidesUnfit(StudioError):
    """Two sides that the block does not have."""

    def __init__(self, block: str, meant_inches: Fraction, ruler: Ruler) -> None:
        self.block = block
        self.meant_inches = meant_inches
        self.ruler = ruler
        super().__init__(block, meant_inches, ruler)

    def __str__(self) -> str:
        return (
            f"At that width the {self.block} is {self.ruler.show(self.meant_inches)} "
            "high. Write the width alone, or both sides so."
        )


@dataclass(frozen=True)
class Asked:
    """One block at one finished size, and how she cuts it."""

    known: KnownBlock
    finished_inches: Fraction
    making: Making = field(default_factory=Making)
    ways: Mapping[str, str] = field(default_factory=dict)
    redrafted_from: Fraction | None = None

    @property
    def ruler(self) -> Ruler:
        return self.making.ruler

    @property
    def height_inches(self) -> Fraction:
        return self.known.block.height_inches(self.finished_inches)

    @property
    def size(self) -> str:
        """Write the finished size: ``8 in square`` or ``4 × 2 in``."""
        return self.ruler.show_by(self.finished_inches, self.height_inches)

    @property
    def way(self) -> str:
        """Write the ways in use, with the patch where more than one has a choice."""
        chosen = [(patch, self._way_of(patch.name)) for patch in self.known.choices]
        if not chosen:
            patches = dict.fromkeys(cell.patch for cell in self.known.block.cells)
            return "; ".join(dict.fromkeys(patch.ways[0][0] for patch in patches))
        if len(chosen) == 1:
            return chosen[0][1]
        return "; ".join(f"{patch.name}: {way}" for patch, way in chosen)

    def cut_list(self, number: int = 1) -> tuple[CutPiece, ...]:
        """Give what to cut. Raises what `studio.maths.blocks.cut_list` raises."""
        return blocks.cut_list(
            self.known.block, self.finished_inches, self.making, self.ways, number
        )

    def recipes(self) -> tuple[tuple[UnitCount, Recipe], ...]:
        return blocks.recipes(
            self.known.block, self.finished_inches, self.making, self.ways
        )

    def _way_of(self, patch: str) -> str:
        usual = {one.name: one.way_names[0] for one in self.known.choices}
        return self.ways.get(patch) or usual[patch]


def read_asked(
    known: KnownBlock,
    size: str,
    *,
    making: Making,
    ways: Mapping[str, str] | None = None,
) -> Asked:
    """Read a finished size for a block that is made so."""
    inches, inch_size = read_size(known, size, making.ruler)
    return Asked(known, inches, making, ways or {}, inch_size)


def read_size(
    known: KnownBlock, typed: str, ruler: Ruler
) -> tuple[Fraction, Fraction | None]:
    """Give the finished width, and the inch size that it is redrafted from, if any."""
    sides = [_read_side(known, side) for side in _sides(typed)]
    width = sides[0]
    redraft = ruler.is_metric and not is_metric_size(typed)
    if redraft:
        width = to_metric(width)
    checked_finished(known.name, width, ruler)
    height = known.block.height_inches(width)
    if len(sides) == 2 and sides[1] * width != height * sides[0]:
        raise SidesUnfit(known.name, height, ruler)
    return width, sides[0] if redraft else None


def is_metric_size(typed: str) -> bool:
    """Tell whether a size says centimetres or another of the metric units."""
    return bool(_CENTIMETRES.search(typed))


def wants_metric(typed: str) -> bool:
    """Tell whether a size is in centimetres and on no mark of an inch ruler."""
    if not is_metric_size(typed):
        return False
    try:
        inches = parse_length(_sides(typed)[0])
    except LengthUnreadable:
        return False
    return (inches / INCH.finest_inches).denominator != 1


def read_seam(typed: str, *, metric: bool = False) -> Ruler:
    """Give the ruler for a seam as typed; nothing typed is the usual seam."""
    if typed.strip().lower() in ("", USUAL_SEAM):
        return METRIC if metric else INCH
    try:
        seam = parse_length(typed)
    except LengthUnreadable as unread:
        raise SeamUnfit(typed, str(unread)) from unread
    if not 0 < seam <= MOST_SEAM_INCHES:
        raise SeamUnfit(typed, "A seam is above nought and up to 1 in (25.4 mm).")
    if (seam * 16).denominator == 1:
        return metric_ruler(seam / MM) if metric else inch_ruler(seam)
    if not metric:
        raise SeamUnfit(typed, "Write it in sixteenths of an inch, such as 1/4.")
    if (seam / MM * 10).denominator != 1:
        raise SeamUnfit(typed, "Write it in tenths of a millimetre, such as 7.5 mm.")
    return metric_ruler(seam / MM)


def read_mode(typed: str) -> Cutting:
    """Read a mode of cutting by its word."""
    for mode in Cutting:
        if mode.value == typed.strip().lower():
            return mode
    raise ModeUnknown(typed)


def read_ways(known: KnownBlock, typed: str) -> dict[str, str]:
    """Read ways as typed: ``stitch and flip``, or patch and way with = between.

    Several are parted by semicolons. A way without a patch goes for every patch of
    the block that can be made so.
    """
    ways: dict[str, str] = {}
    for part in filter(None, (part.strip() for part in typed.split(";"))):
        patch, _, way = part.rpartition("=")
        ways |= _ways_in(known, _spaced(patch), _spaced(way))
    return ways


def _ways_in(known: KnownBlock, patch: str, way: str) -> dict[str, str]:
    fit = {
        one.name: way
        for one in known.choices
        if way in one.way_names and patch in ("", one.name)
    }
    if not fit:
        listed = dict.fromkeys(w for one in known.choices for w in one.way_names)
        raise WayUnfit(known.name, way, tuple(listed))
    return fit


def _spaced(typed: str) -> str:
    return " ".join(typed.lower().replace("_", " ").split())


def _sides(typed: str) -> tuple[str, ...]:
    found = _SIDES.fullmatch(typed.strip())
    if found is None:
        return (typed,)
    unit = re.search(r"[a-z\"″]+$", found[2].strip(), re.IGNORECASE)
    bare = re.search(r"[\d½¼¾⅛⅜⅝⅞]$", found[1])
    return (found[1] + (unit[0] if unit and bare else ""), found[2])


def _read_side(known: KnownBlock, typed: str) -> Fraction:
    try:
        inches = parse_length(typed)
    except LengthUnreadable as unread:
        raise FinishedUnreadable(known.name, typed, str(unread)) from unread
    return above_nought(known.name, inches)
