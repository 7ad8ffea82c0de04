"""A kept sheet as a picture for a page or a card: outlines filled, each with its name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from studio.maths import svg
from studio.maths.sheets import offsetting, wording
from studio.maths.sheets.keeping import KeptSheet
from studio.maths.sheets.laid import outline_of
from studio.maths.sheets.problem import Outline

_SHEET, _EDGE, _LINE = "#e7ecec", "#7f93ab", "#1c2858"
_TONES = ("#fdfbf5", "#cfe0e6", "#a9c3cf", "#e9dcc0", "#d3c3a2")
_FILLER = "#f3efe4"
_LETTERS_MM = tuple(map(Fraction, (18, 15, 12, 10, 8, 6, 5, 4)))


def kept_svg(title: str, kept: KeptSheet, width_px: int = 600) -> str:
    """Draw the sheet; what only fills the rest has a dashed outline."""
    sheet = kept.sheet
    words = ", ".join(f"{count} {piece.name}" for piece, count in kept.counts)
    return svg.picture(
        title,
        f"{words} on a sheet of {svg.plain(sheet.width_mm)} × "
        f"{svg.plain(sheet.height_mm)} mm.",
        (*_sheet_marks(kept), *_pieces(kept)),
        box=(sheet.width_mm, sheet.height_mm),
        size_px=(width_px, round(width_px * sheet.height_mm / sheet.width_mm)),
    )


def _sheet_marks(kept: KeptSheet) -> Iterator[str]:
    sheet = kept.sheet
    across, down = sheet.room_mm
    yield svg.mark(
        "rect", width=sheet.width_mm, height=sheet.height_mm, rx=4, fill=_SHEET
    )
    yield svg.mark(
        "rect",
        x=sheet.edge_mm,
        y=sheet.edge_mm,
        width=across,
        height=down,
        fill="none",
        stroke=_EDGE,
        stroke_dasharray="6 4",
    )


def _pieces(kept: KeptSheet) -> Iterator[str]:
    names = list(Counter(one.name for one in kept.laid))
    for kind, piece in enumerate(kept.pieces):
        outlines = [outline_of(piece, one) for one in kept.laid if one.kind == kind]
        if not outlines:
            continue
        tone = _TONES[names.index(piece.name) % len(_TONES)]
        look = {"stroke_dasharray": "4 3"} if piece.fills else {}
        yield svg.mark(
            "path",
            d="".join(map(_path, outlines)),
            fill=_FILLER if piece.fills else tone,
            stroke=_LINE,
            **look,
        )
        yield from (_label(piece.name, outline) for outline in outlines)


def _path(outline: Outline) -> str:
    spots = "L".join(f"{svg.plain(x)} {svg.plain(y)}" for x, y in outline)
    return f"M{spots}Z"


def _label(name: str, outline: Outline) -> str:
    corners = offsetting.one_way_round(outline)
    words = wording.fitted_words(name, corners, _LETTERS_MM)
    return svg.text(
        name,
        words.x_mm,
        words.y_mm + words.size_mm / 3,
        words.size_mm,
        text_anchor="middle",
    )
