"""The saw's cuts in order: each goes from side to side of the part being cut.

A part with several pieces is cut where no piece is in the way, again and again, until
every part holds one piece; then the piece is cut free of what is left round it. What
lies left of a cut or above it is done first, then what lies beyond.

    taken by a cut   from the line to the line + blade, always off what is not kept

so the blade runs beyond a line that ends a piece, and before one that begins a piece.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from studio.errors import StudioError
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets.laid import Laid


class NotForTheSaw(StudioError):
    """A sheet that cannot be parted by cuts from side to side."""

    def __str__(self) -> str:
        return "These places cannot be cut from side to side; lay them for the saw."


@dataclass(frozen=True)
class SawCut:
    """One cut: its number on the sheet, its line, and where its part begins.

    The blade's near side follows the line, its far side where a piece begins there.
    """

    stock: int
    number: int
    down: bool
    at_mm: Fraction
    from_mm: Fraction
    to_mm: Fraction
    part_mm: Fraction
    begins: bool

    @property
    def in_part_mm(self) -> Fraction:
        """Measure the line from the near edge of the part that is cut."""
        return self.at_mm - self.part_mm

    @property
    def length_mm(self) -> Fraction:
        return self.to_mm - self.from_mm


@dataclass(frozen=True)
class _Part:
    left: Fraction
    top: Fraction
    right: Fraction
    bottom: Fraction

    def ends(self, down: bool) -> tuple[Fraction, Fraction]:
        return (self.top, self.bottom) if down else (self.left, self.right)

    def begins(self, down: bool) -> Fraction:
        return self.left if down else self.top


@dataclass(frozen=True)
class _Line:
    down: bool
    at: Fraction
    ends: tuple[Fraction, Fraction]
    part: Fraction
    begins: bool = False


def saw_cuts(
    laid: Sequence[Laid],
    sheet: Sheet,
    *,
    stock: int = 1,
    blade_mm: Fraction | None = None,
) -> tuple[SawCut, ...]:
    """List the cuts of one sheet. Raises NotForTheSaw.

    The blade takes the whole gap unless it is thinner; then what lies beyond a cut is
    trimmed to its size.
    """
    whole = _Part(Fraction(0), Fraction(0), sheet.width_mm, sheet.height_mm)
    gap = sheet.gap_mm
    blade = gap if blade_mm is None else min(blade_mm, gap)
    lines = _parted(tuple(laid), whole, blade)
    return tuple(
        SawCut(stock, number, one.down, one.at, *one.ends, one.part, one.begins)
        for number, one in enumerate(lines, start=1)
    )


def _parted(ones: tuple[Laid, ...], part: _Part, blade: Fraction) -> Iterator[_Line]:
    if len(ones) == 1:
        yield from _cut_free(ones[0], part)
        return
    for down in (True, False):
        at = _free_line(ones, down, blade)
        if at is not None:
            yield _Line(down, at, part.ends(down), part.begins(down))
            first, rest = _either_side(part, down, at, blade)
            near = tuple(one for one in ones if _far_side(one, down) <= at)
            far = tuple(one for one in ones if _far_side(one, down) > at)
            yield from _parted(near, first, blade)
            yield from _parted(far, rest, blade)
            return
    raise NotForTheSaw


def _free_line(ones: Sequence[Laid], down: bool, blade: Fraction) -> Fraction | None:
    """Find the first far side beyond which the blade meets no other piece."""
    for at in sorted({_far_side(one, down) for one in ones})[:-1]:
        beyond = [one for one in ones if _far_side(one, down) > at]
        if all(_near_side(one, down) >= at + blade for one in beyond):
            return at
    return None


def _either_side(
    part: _Part, down: bool, at: Fraction, blade: Fraction
) -> tuple[_Part, _Part]:
    if down:
        return (
            _Part(part.left, part.top, at, part.bottom),
            _Part(at + blade, part.top, part.right, part.bottom),
        )
    return (
        _Part(part.left, part.top, part.right, at),
        _Part(part.left, at + blade, part.right, part.bottom),
    )


def _cut_free(one: Laid, part: _Part) -> Iterator[_Line]:
    """Trim the sides of a piece that are not cut yet, left and right first."""
    left, top = one.x_mm, one.y_mm
    right, bottom = left + one.width_mm, top + one.height_mm
    if left > part.left:
        yield _Line(True, left, part.ends(True), part.left, begins=True)
    if right < part.right:
        yield _Line(True, right, part.ends(True), max(left, part.left))
    if top > part.top:
        yield _Line(False, top, (left, right), part.top, begins=True)
    if bottom < part.bottom:
        yield _Line(False, bottom, (left, right), max(top, part.top))


def _near_side(one: Laid, down: bool) -> Fraction:
    return one.x_mm if down else one.y_mm


def _far_side(one: Laid, down: bool) -> Fraction:
    return one.x_mm + one.width_mm if down else one.y_mm + one.height_mm
