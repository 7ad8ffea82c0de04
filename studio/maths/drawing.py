"""Drawings of template sets and sheets, to scale.

All pieces of one set are drawn to one common scale. The stitched line inside a piece
is the sewing line, a quarter inch in. Everything can be told apart without colour.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from studio.maths import shapes, svg
from studio.maths.shapes import QUARTER_INCH, Point
from studio.maths.sheet_layout import Placement, Sheet
from studio.maths.surds import Surd

BOX = 120
MARGIN = 3
SIZE_PX = 160
SMALLEST_LABEL = 5

GLASS = "#cfe0e6"
EDGE = "#1c2858"
BEVEL = "#7f93ab"
STITCH = "#9c2a24"
SHEET_TONES = ("#fdfbf5", "#cfe0e6", "#a9c3cf", "#e9dcc0", "#d3c3a2")

Corner = Literal["start", "middle", "end"]
Spot = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class TemplatePiece:
    """One acrylic piece: what is engraved on it, and its cut outline in inches.

    The outline runs anticlockwise with y upward, its lowest left corner at nought.
    """

    label: str
    outline: tuple[Point, ...]

    @property
    def width(self) -> Fraction:
        return max(x for x, _ in self.outline)

    @property
    def height(self) -> Fraction:
        return max(y for _, y in self.outline)


@dataclass(frozen=True)
class _Placed:
    piece: TemplatePiece
    left: Fraction
    top: Fraction
    corner: Corner


def square_piece(label: str, side_inches: Fraction) -> TemplatePiece:
    """Give a square template."""
    return bar_piece(label, side_inches, side_inches)


def bar_piece(label: str, width: Fraction, height: Fraction) -> TemplatePiece:
    """Give a rectangular template."""
    nought = Fraction(0)
    corners = ((nought, nought), (width, nought), (width, height), (nought, height))
    return TemplatePiece(label, corners)


def tapered_piece(
    label: str, top: Fraction, base: Fraction, height: Fraction
) -> TemplatePiece:
    """Give a template that is wider at the top than at the base."""
    inset = (top - base) / 2
    nought = Fraction(0)
    corners = ((inset, nought), (inset + base, nought), (top, height), (nought, height))
    return TemplatePiece(label, corners)


def template_set_svg(
    title: str, pieces: Sequence[TemplatePiece], size_px: int = SIZE_PX
) -> str:
    """Draw the pieces of one set to one common scale."""
    placed, width, height = _arranged(pieces)
    scale = (BOX - 2 * MARGIN) / max(width, height)
    left, top = (BOX / scale - width) / 2, (BOX / scale - height) / 2
    spots = [(one.left + left, one.top + top + one.piece.height) for one in placed]
    body = [
        mark
        for one, at in zip(placed, spots, strict=True)
        for mark in _piece_marks(one, scale, at)
    ]
    body += _labels(placed, scale, spots)
    words = ", ".join(piece.label for piece in pieces)
    return svg.picture(
        title,
        f"Clear acrylic: {words}. The stitched line is the sewing line.",
        body,
        box=(BOX, BOX),
        size_px=(size_px, size_px),
    )


def beaker_svg(
    title: str,
    top_inches: Fraction,
    base_inches: Fraction,
    height_inches: Fraction,
    size_px: int = SIZE_PX,
) -> str:
    """Draw one tapered template."""
    piece = tapered_piece(title, top_inches, base_inches, height_inches)
    return template_set_svg(title, [piece], size_px)


def sheet_svg(
    title: str, sheet: Sheet, placements: Sequence[Placement], width_px: int = 600
) -> str:
    """Draw a sheet and its pieces in millimetres; the dashed line is the edge left."""
    by_code: dict[str, list[Placement]] = {}
    for placement in placements:
        by_code.setdefault(placement.code, []).append(placement)
    counts = ", ".join(f"{len(same)} {code}" for code, same in by_code.items())
    return svg.picture(
        title,
        f"{counts} on a sheet of {svg.plain(sheet.width_mm)} × "
        f"{svg.plain(sheet.height_mm)} mm.",
        (
            *_sheet_marks(sheet),
            *(_same_pieces(n, same) for n, same in enumerate(by_code.values())),
        ),
        box=(sheet.width_mm, sheet.height_mm),
        size_px=(width_px, round(width_px * sheet.height_mm / sheet.width_mm)),
    )


def _sheet_marks(sheet: Sheet) -> Iterator[str]:
    across, down = sheet.room_mm
    yield svg.mark(
        "rect", width=sheet.width_mm, height=sheet.height_mm, rx=4, fill="#e7ecec"
    )
    yield svg.mark(
        "rect",
        x=sheet.edge_mm,
        y=sheet.edge_mm,
        width=across,
        height=down,
        fill="none",
        stroke=BEVEL,
        stroke_dasharray="6 4",
    )


def _same_pieces(kind: int, same: Sequence[Placement]) -> str:
    outlines = "".join(
        f"M{svg.plain(one.x_mm)} {svg.plain(one.y_mm)}h{svg.plain(one.width_mm)}"
        f"v{svg.plain(one.height_mm)}h{svg.plain(-one.width_mm)}z"
        for one in same
    )
    pieces = svg.mark(
        "path", d=outlines, fill=SHEET_TONES[kind % len(SHEET_TONES)], stroke=EDGE
    )
    return pieces + "".join(_sheet_label(one) for one in same)


def _sheet_label(one: Placement) -> str:
    size = min(Fraction(18), one.width_mm / len(one.code) * Fraction(3, 2))
    return svg.text(
        one.code,
        one.x_mm + one.width_mm / 2,
        one.y_mm + one.height_mm / 2 + size / 3,
        size,
        text_anchor="middle",
    )


def _arranged(
    pieces: Sequence[TemplatePiece],
) -> tuple[list[_Placed], Fraction, Fraction]:
    if len(pieces) == 1:
        only = pieces[0]
        placed = [_Placed(only, Fraction(0), Fraction(0), "middle")]
        return placed, only.width, only.height
    if len(pieces) == 2:
        return _overlapping(*pieces)
    return min(
        (_in_rows(rows) for rows in _row_splits(pieces)),
        key=lambda arranged: max(arranged[1:]),
    )


def _overlapping(
    back: TemplatePiece, front: TemplatePiece
) -> tuple[list[_Placed], Fraction, Fraction]:
    left, top = back.width * 5 / 9, back.height * 5 / 9
    placed = [
        _Placed(back, Fraction(0), Fraction(0), "start"),
        _Placed(front, left, top, "end"),
    ]
    return placed, left + front.width, top + front.height


def _row_splits(
    pieces: Sequence[TemplatePiece],
) -> Iterator[list[list[TemplatePiece]]]:
    for cuts in range(2 ** (len(pieces) - 1)):
        rows = [[pieces[0]]]
        for n, piece in enumerate(pieces[1:]):
            if cuts >> n & 1:
                rows.append([])
            rows[-1].append(piece)
        yield rows


def _in_rows(
    rows: list[list[TemplatePiece]],
) -> tuple[list[_Placed], Fraction, Fraction]:
    gap = max(piece.width for row in rows for piece in row) / 10
    width = max(sum(p.width for p in row) + gap * (len(row) - 1) for row in rows)
    placed, top = [], Fraction(0)
    for row in rows:
        tall = max(piece.height for piece in row)
        spare = width - sum(piece.width for piece in row) - gap * (len(row) - 1)
        left = spare / 2
        for piece in row:
            placed.append(_Placed(piece, left, top + tall - piece.height, "middle"))
            left += piece.width + gap
        top += tall + gap
    return placed, width, top - gap


def _piece_marks(placed: _Placed, scale: Fraction, at: Spot) -> Iterator[str]:
    outline = placed.piece.outline
    yield svg.mark(
        "path",
        d=_path(outline, scale, at),
        fill=GLASS,
        fill_opacity=Fraction(6, 10),
        stroke=EDGE,
        stroke_width=Fraction(15, 10),
        stroke_linejoin="round",
    )
    if min(placed.piece.width, placed.piece.height) * scale >= 30:
        yield _glint(placed.piece, scale, at)
    if QUARTER_INCH * scale >= 5:
        yield _inner_line(outline, Fraction(2) / scale, scale, at, stroke=BEVEL)
    yield _inner_line(
        outline, QUARTER_INCH, scale, at, stroke=STITCH, stroke_dasharray="4 2.5"
    )


def _glint(piece: TemplatePiece, scale: Fraction, at: Spot) -> str:
    """Two short strokes of light, low on the left, where no label stands."""
    length = min(piece.width, piece.height) * scale / 5
    x = (at[0] + piece.width * 7 / 24) * scale
    y = (at[1] - piece.height / 7) * scale
    strokes = (
        f"M{svg.plain(x + step)} {svg.plain(y)}l{svg.plain(size)} {svg.plain(-size)}"
        for step, size in ((Fraction(0), length), (length / 2, length * 3 / 5))
    )
    return svg.mark(
        "path",
        d="".join(strokes),
        stroke="#fff",
        stroke_width=length / 6,
        stroke_linecap="round",
    )


def _inner_line(
    outline: Sequence[Point], inward: Fraction, scale: Fraction, at: Spot, **look: str
) -> str:
    inside = shapes.moved_outline(outline, -inward)
    path = _path(inside, scale, at)
    return svg.mark("path", d=path, fill="none", stroke_width=Fraction(9, 10), **look)


def _path(
    points: Sequence[tuple[Surd | Fraction, Surd | Fraction]], scale: Fraction, at: Spot
) -> str:
    spots = (
        f"{svg.plain((x + at[0]) * scale)} {svg.plain((at[1] - y) * scale)}"
        for x, y in points
    )
    return f"M{'L'.join(spots)}Z"


def _labels(
    placed: Sequence[_Placed], scale: Fraction, spots: Sequence[Spot]
) -> Iterator[str]:
    sizes = [_label_size(one, scale) for one in placed]
    if len(placed) == 2:
        sizes = [min(sizes)] * 2
    for one, at, size in zip(placed, spots, sizes, strict=True):
        if size >= SMALLEST_LABEL:
            yield _label(one, scale, at, size)


def _label_size(placed: _Placed, scale: Fraction) -> Fraction:
    room = (placed.piece.width - 2 * QUARTER_INCH) * scale - 6
    share = Fraction(1) if placed.corner == "middle" else Fraction(2, 3)
    return min(Fraction(13), share * room / len(placed.piece.label) * Fraction(9, 5))


def _label(placed: _Placed, scale: Fraction, at: Spot, size: Fraction) -> str:
    piece = placed.piece
    inset = QUARTER_INCH + Fraction(3) / scale
    x = {"start": inset, "middle": piece.width / 2, "end": piece.width - inset}
    y = {
        "start": inset * scale + size * 3 / 4 - piece.height * scale,
        "middle": size / 3 - piece.height * scale / 2,
        "end": -inset * scale,
    }
    return svg.text(
        piece.label,
        (at[0] + x[placed.corner]) * scale,
        at[1] * scale + y[placed.corner],
        size,
        text_anchor=placed.corner,
    )
