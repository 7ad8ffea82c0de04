"""A paper proof of one sheet at its true size, on A4 pages that overlap.

    step = what a page shows − the overlap
    pages along a side = ⌈(side − overlap) ÷ step⌉

Each page shows its part of the sheet in exact millimetres, marks down the middle of
each overlap, its neighbours, and a line of 100 mm to measure before anything is trusted.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from html import escape
from math import ceil

from django.utils.safestring import SafeString, mark_safe

from studio import printing, sheet_files
from studio.maths.sheets import cautions
from studio.maths.sheets.drawn import SheetDrawing
from studio.maths.sheets.problem import Corner, Outline

TEMPLATE = "studio/print/sheet_proof.html"
SHOWN_MM = (180, 240)
OVERLAP_MM = 10
_MIDDLE_MM = Fraction(OVERLAP_MM, 2)
_SMALL_MM = 120
_CROSS_MM = 4


@dataclass(frozen=True)
class ProofPage:
    """One page: its row and column from 1, its drawing, and its neighbours in words."""

    row: int
    column: int
    picture: SafeString
    beside: str


@dataclass(frozen=True)
class Tiles:
    """How many pages across and down a sheet takes."""

    across: int
    down: int

    @property
    def count(self) -> int:
        return self.across * self.down


def tiles_of(width_mm: Fraction, height_mm: Fraction) -> Tiles:
    """Count the pages for a sheet."""
    across, down = (
        max(1, ceil((side - OVERLAP_MM) / (shown - OVERLAP_MM)))
        for side, shown in zip((width_mm, height_mm), SHOWN_MM, strict=True)
    )
    return Tiles(across, down)


def proof_context(drawing: SheetDrawing, *, saw: bool) -> dict[str, object]:
    """Give what the paper shows: the whole sheet small, then every page of it."""
    sheet = drawing.sheet
    tiles = tiles_of(sheet.width_mm, sheet.height_mm)
    return {
        "drawing": drawing,
        "whole": _whole(drawing),
        "tiles": tiles,
        "overlap_mm": OVERLAP_MM,
        "pages": list(_pages(drawing, tiles)),
        "cautions": cautions.for_cutting(saw=saw),
    }


def proof_pdf(drawing: SheetDrawing, *, saw: bool) -> bytes:
    """Make the proof. Raises printing.PdfUnavailable."""
    context = proof_context(drawing, saw=saw)
    return printing.render_pdf(TEMPLATE, context, title=f"Proof: {drawing.title}")


def _whole(drawing: SheetDrawing) -> SafeString:
    sheet = drawing.sheet
    scale = min(
        Fraction(_SMALL_MM) / sheet.width_mm, Fraction(_SMALL_MM) / sheet.height_mm
    )
    size = sheet.width_mm * scale, sheet.height_mm * scale
    return _svg(
        drawing, (Fraction(0), Fraction(0)), (sheet.width_mm, sheet.height_mm), size
    )


def _pages(drawing: SheetDrawing, tiles: Tiles) -> Iterator[ProofPage]:
    for row in range(tiles.down):
        for column in range(tiles.across):
            corner = (
                Fraction(column * (SHOWN_MM[0] - OVERLAP_MM)),
                Fraction(row * (SHOWN_MM[1] - OVERLAP_MM)),
            )
            shown = tuple(map(Fraction, SHOWN_MM))
            marks = "".join(_marks(corner, row, column, tiles))
            size = (shown[0], shown[1])
            picture = _svg(_part(drawing, corner), corner, size, size, marks)
            yield ProofPage(row + 1, column + 1, picture, _beside(row, column, tiles))


def _part(drawing: SheetDrawing, corner: Corner) -> SheetDrawing:
    """Leave out what lies nowhere on a page, so that papers stay light."""
    left, top = corner
    right, bottom = left + SHOWN_MM[0], top + SHOWN_MM[1]

    def shows(outline: Outline) -> bool:
        across, down = ([at[n] for at in outline] for n in (0, 1))
        beside = max(across) < left or min(across) > right
        return not beside and max(down) >= top and min(down) <= bottom

    around = (
        (one, one.size_mm * max(1, len(one.text)) / 2, one.size_mm)
        for one in drawing.words
    )
    return replace(
        drawing,
        cut=tuple(filter(shows, drawing.cut)),
        engraved=tuple(filter(shows, drawing.engraved)),
        words=tuple(
            one
            for one, wide, high in around
            if shows(
                ((one.x_mm - wide, one.y_mm - high), (one.x_mm + wide, one.y_mm + high))
            )
        ),
    )


def _svg(
    drawing: SheetDrawing,
    corner: tuple[Fraction, Fraction],
    part: tuple[Fraction, Fraction],
    size: tuple[Fraction, Fraction],
    marks: str = "",
) -> SafeString:
    sheet, plain = drawing.sheet, sheet_files.plain_mm
    box = " ".join(plain(length) for length in (*corner, *part))
    edge = (
        f'<rect x="0" y="0" width="{plain(sheet.width_mm)}" '
        f'height="{plain(sheet.height_mm)}" fill="none" stroke="#000" '
        'stroke-width="0.3"/>'
    )
    return mark_safe(  # noqa: S308 (own drawing, its words escaped where they are put in)
        f'<svg class="true-size" xmlns="http://www.w3.org/2000/svg" '
        f'width="{plain(size[0])}mm" height="{plain(size[1])}mm" viewBox="{box}" '
        f'role="img" aria-label="{escape(drawing.title)}">'
        f"{edge}{''.join(sheet_files.groups(drawing, named=False))}{marks}</svg>"
    )


def _marks(
    corner: tuple[Fraction, Fraction], row: int, column: int, tiles: Tiles
) -> Iterator[str]:
    """Mark the middle of each overlap: dashed lines, and crosses to lay over."""
    left, top = corner
    right, bottom = left + SHOWN_MM[0], top + SHOWN_MM[1]
    across = [
        (column > 0, left + _MIDDLE_MM),
        (column + 1 < tiles.across, right - _MIDDLE_MM),
    ]
    down = [(row > 0, top + _MIDDLE_MM), (row + 1 < tiles.down, bottom - _MIDDLE_MM)]
    for x in (at for there, at in across if there):
        yield _dashed((x, top), (x, bottom))
        for y in (top + Fraction(SHOWN_MM[1], 4), top + Fraction(SHOWN_MM[1] * 3, 4)):
            yield _cross(x, y)
    for y in (at for there, at in down if there):
        yield _dashed((left, y), (right, y))
        for x in (left + Fraction(SHOWN_MM[0], 4), left + Fraction(SHOWN_MM[0] * 3, 4)):
            yield _cross(x, y)


def _dashed(start: tuple[Fraction, Fraction], end: tuple[Fraction, Fraction]) -> str:
    plain = sheet_files.plain_mm
    (x1, y1), (x2, y2) = start, end
    return (
        f'<line x1="{plain(x1)}" y1="{plain(y1)}" x2="{plain(x2)}" y2="{plain(y2)}" '
        'stroke="#777" stroke-width="0.2" stroke-dasharray="2 2"/>'
    )


def _cross(x: Fraction, y: Fraction) -> str:
    plain = sheet_files.plain_mm
    return (
        f'<path d="M{plain(x - _CROSS_MM)} {plain(y)}H{plain(x + _CROSS_MM)}'
        f'M{plain(x)} {plain(y - _CROSS_MM)}V{plain(y + _CROSS_MM)}" fill="none" '
        'stroke="#000" stroke-width="0.2"/>'
    )


def _beside(row: int, column: int, tiles: Tiles) -> str:
    """Name the neighbours: "Left of it page 1, right of it page 3"."""
    number = row * tiles.across + column + 1
    found = [
        (column > 0, f"left of it page {number - 1}"),
        (column + 1 < tiles.across, f"right of it page {number + 1}"),
        (row > 0, f"above it page {number - tiles.across}"),
        (row + 1 < tiles.down, f"below it page {number + tiles.across}"),
    ]
    return ", ".join(words for there, words in found if there)
