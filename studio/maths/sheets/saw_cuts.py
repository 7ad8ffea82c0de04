"""The saw's cuts in order: each goes from side to side of the part being cut.

A part with several pieces is cut where no piece is in the way, again and again, until
every part holds one piece; then the piece is cut free of what is left round it.
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
    """One cut: its number on the sheet, and the line the blade's near side follows."""

    stock: int
    number: int
    down: bool
    at_mm: Fraction
    from_mm: Fraction
    to_mm: Fraction


@dataclass(frozen=True)
class _Part:
    left: Fraction
    top: Fraction
    right: Fraction
    bottom: Fraction

    def ends(self, down: bool) -> tuple[Fraction, Fraction]:
        return (self.top, self.bottom) if down else (self.left, self.right)


def saw_cuts(
    laid: Sequence[Laid], sheet: Sheet, *, stock: int = 1
) -> tuple[SawCut, ...]:
    """List the cuts of one sheet. Raises NotForTheSaw."""
    whole = _Part(Fraction(0), Fraction(0), sheet.width_mm, sheet.height_mm)
    lines = _parted(tuple(laid), whole, sheet.gap_mm)
    return tuple(
        SawCut(stock, number, down, at, *ends)
        for number, (down, at, ends) in enumerate(lines, start=1)
    )


Line = tuple[bool, Fraction, tuple[Fraction, Fraction]]


def _parted(ones: tuple[Laid, ...], part: _Part, gap: Fraction) -> Iterator[Line]:
    if len(ones) == 1:
        yield from _cut_free(ones[0], part)
        return
    for down in (True, False):
        at = _free_line(ones, down)
        if at is not None:
            yield down, at, part.ends(down)
            first, rest = _either_side(part, down, at, gap)
            near = tuple(one for one in ones if _far_side(one, down) <= at)
            far = tuple(one for one in ones if _far_side(one, down) > at)
            yield from _parted(near, first, gap)
            yield from _parted(far, rest, gap)
            return
    raise NotForTheSaw


def _free_line(ones: Sequence[Laid], down: bool) -> Fraction | None:
    """Find the first far side that no other piece reaches across."""
    for at in sorted({_far_side(one, down) for one in ones})[:-1]:
        if not any(_near_side(one, down) < at < _far_side(one, down) for one in ones):
            return at
    return None


def _either_side(
    part: _Part, down: bool, at: Fraction, gap: Fraction
) -> tuple[_Part, _Part]:
    if down:
        return (
            _Part(part.left, part.top, at, part.bottom),
            _Part(at + gap, part.top, part.right, part.bottom),
        )
    return (
        _Part(part.left, part.top, part.right, at),
        _Part(part.left, at + gap, part.right, part.bottom),
    )


def _cut_free(one: Laid, part: _Part) -> Iterator[Line]:
    left, top = one.x_mm, one.y_mm
    right, bottom = left + one.width_mm, top + one.height_mm
    if left > part.left:
        yield True, left, part.ends(True)
    if right < part.right:
        yield True, right, part.ends(True)
    if top > part.top:
        yield False, top, (left, right)
    if bottom < part.bottom:
        yield False, bottom, (left, right)


def _near_side(one: Laid, down: bool) -> Fraction:
    return one.x_mm if down else one.y_mm


def _far_side(one: Laid, down: bool) -> Fraction:
    return one.x_mm + one.width_mm if down else one.y_mm + one.height_mm
