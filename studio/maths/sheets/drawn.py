"""A sheet as the cutter gets it: lines to cut, lines to engrave, and words, apart.

    cut line        the outline, moved outward by half the kerf where the kerf is in
    engraved line   the seam inside the outline, where the piece is wide enough for it
    check line      100 mm exactly, in the edge along the longer side

Millimetres from the top left corner, to the nearest 0.001 mm: finer than a cutter can
follow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from studio.lengths import show_millimetres
from studio.maths.shapes import moved_outline
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets.layout import Laid
from studio.maths.surds import as_surd

QUARTER_INCH_MM = Fraction(127, 20)
CHECK_MM = Fraction(100)
FINEST_MM = Fraction(1, 1000)
_LARGEST_WORDS_MM = Fraction(6)
_LEAST_INSIDE_MM = Fraction(5)

Corner = tuple[Fraction, Fraction]
Outline = tuple[Corner, ...]


@dataclass(frozen=True)
class Words:
    """Words centred on a spot."""

    text: str
    x_mm: Fraction
    y_mm: Fraction
    size_mm: Fraction


@dataclass(frozen=True)
class SheetDrawing:
    """One sheet, its layers kept apart."""

    title: str
    sheet: Sheet
    cut: tuple[Outline, ...]
    engraved: tuple[Outline, ...]
    words: tuple[Words, ...]
    check: tuple[Corner, Corner]
    notes: tuple[str, ...]


def drawn_rectangles(
    title: str,
    laid: Sequence[Laid],
    sheet: Sheet,
    *,
    kerf_mm: Fraction = Fraction(0),
    seam_mm: Fraction = QUARTER_INCH_MM,
) -> SheetDrawing:
    """Draw rectangles for the cutter; a kerf above nought is put into the lines."""
    outlines = [(one.name, _corners(one)) for one in laid]
    return drawn_outlines(title, outlines, sheet, kerf_mm=kerf_mm, seam_mm=seam_mm)


def drawn_outlines(
    title: str,
    outlines: Sequence[tuple[str, Outline]],
    sheet: Sheet,
    *,
    kerf_mm: Fraction = Fraction(0),
    seam_mm: Fraction = QUARTER_INCH_MM,
) -> SheetDrawing:
    """Draw any outlines for the cutter, each with its name."""
    named = [(name, _one_way_round(corners)) for name, corners in outlines]
    inside = [corners for _, corners in named if _is_wide(corners, seam_mm)]
    return SheetDrawing(
        title,
        sheet,
        tuple(_moved(corners, kerf_mm / 2) for _, corners in named),
        tuple(_moved(corners, -seam_mm) for corners in inside) if seam_mm else (),
        tuple(_named(name, corners) for name, corners in named),
        _check_line(sheet),
        (_kerf_note(kerf_mm), "The check line is 100 mm; measure it before you cut."),
    )


def _kerf_note(kerf_mm: Fraction) -> str:
    if kerf_mm:
        return (
            f"A kerf of {show_millimetres(kerf_mm)} is in the cut lines already; "
            "allow for none at the machine."
        )
    return "Cut lines are at nominal size; allow for the kerf at the machine."


def _corners(one: Laid) -> Outline:
    right, bottom = one.x_mm + one.width_mm, one.y_mm + one.height_mm
    return (
        (one.x_mm, one.y_mm),
        (right, one.y_mm),
        (right, bottom),
        (one.x_mm, bottom),
    )


def _one_way_round(corners: Outline) -> Outline:
    turn = sum(
        a[0] * b[1] - b[0] * a[1]
        for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)
    )
    return corners if turn > 0 else corners[::-1]


def _moved(corners: Outline, outward_mm: Fraction) -> Outline:
    if not outward_mm:
        return tuple((_near(x), _near(y)) for x, y in corners)
    moved = moved_outline(corners, outward_mm)
    return tuple(
        (as_surd(x).nearest(FINEST_MM), as_surd(y).nearest(FINEST_MM)) for x, y in moved
    )


def _near(length_mm: Fraction) -> Fraction:
    return floor(length_mm / FINEST_MM + Fraction(1, 2)) * FINEST_MM


def _box(corners: Outline) -> tuple[Corner, Corner]:
    across, down = [x for x, _ in corners], [y for _, y in corners]
    return (min(across), min(down)), (max(across), max(down))


def _is_wide(corners: Outline, seam_mm: Fraction) -> bool:
    """Engrave a seam only where something is left inside it, and edges are long."""
    (left, top), (right, bottom) = _box(corners)
    return min(right - left, bottom - top) > 2 * seam_mm + _LEAST_INSIDE_MM and all(
        (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 > (2 * seam_mm) ** 2
        for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)
    )


def _named(name: str, corners: Outline) -> Words:
    (left, top), (right, bottom) = _box(corners)
    size = min(
        _LARGEST_WORDS_MM, (right - left) / max(3, len(name)), (bottom - top) / 3
    )
    return Words(name, (left + right) / 2, (top + bottom) / 2, _near(size))


def _check_line(sheet: Sheet) -> tuple[Corner, Corner]:
    middle = sheet.edge_mm / 2
    if sheet.width_mm >= sheet.height_mm:
        y = sheet.height_mm - middle
        return (sheet.edge_mm, y), (sheet.edge_mm + CHECK_MM, y)
    return (middle, sheet.edge_mm), (middle, sheet.edge_mm + CHECK_MM)
