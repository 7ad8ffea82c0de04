"""Files for the cutter: one sheet as SVG or DXF, at true scale in millimetres.

    SVG  width and height in mm, viewBox in the same numbers, so that one unit is 1 mm
    DXF  release R2010, units set to millimetres, y upward: y = height − y of the sheet

Layers (groups) have the same plain names in both, so that a machine can be told what
to do with each. The check line is on a layer of its own, to be left out when cutting.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from fractions import Fraction
from html import escape
from math import floor
from typing import TYPE_CHECKING

from studio.errors import StudioError
from studio.lengths import show_millimetres
from studio.maths.sheets.drawn import SheetDrawing, check_mm
from studio.maths.sheets.problem import Corner, Outline
from studio.maths.sheets.wording import Words

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

CUT, ENGRAVED, WORDS, CHECK = "cut-lines", "engraved-lines", "words", "check-line"
_COLOURS = {CUT: "#d40000", ENGRAVED: "#0050c8", WORDS: "#0050c8", CHECK: "#008000"}
_DXF_COLOURS = {CUT: 1, ENGRAVED: 5, WORDS: 5, CHECK: 3}
_LINE_MM = "0.1"
_CHECK_WORDS_MM = Fraction(2)


class DxfUnavailable(StudioError):
    """The library that writes DXF is not on this computer."""

    def __str__(self) -> str:
        return (
            "DXF files need the library ezdxf, which is not on this computer; "
            "use the SVG file, which says the same."
        )


def svg_file(drawing: SheetDrawing) -> str:
    """Write one sheet as SVG."""
    width, height = plain_mm(drawing.sheet.width_mm), plain_mm(drawing.sheet.height_mm)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" '
        f'height="{height}mm" viewBox="0 0 {width} {height}">\n'
        f"<title>{escape(drawing.title)}</title>\n"
        f"<desc>{escape(' '.join(drawing.notes))}</desc>\n"
        f"{''.join(groups(drawing))}</svg>\n"
    )


def groups(drawing: SheetDrawing, *, named: bool = True) -> tuple[str, ...]:
    """Write the layers of a sheet as groups of an SVG, in millimetres.

    Where several stand on one paper, they are not to be ``named``.
    """
    layers = {
        CUT: (_path(outline) for outline in drawing.cut),
        ENGRAVED: (_path(outline) for outline in drawing.engraved),
        WORDS: (_text(words) for words in drawing.words),
        CHECK: _check_marks(drawing),
    }
    return tuple(_group(name, marks, named) for name, marks in layers.items())


def dxf_file(drawing: SheetDrawing) -> str:
    """Write one sheet as DXF. Raises DxfUnavailable."""
    document = _new_document()
    space = document.modelspace()
    height = drawing.sheet.height_mm
    for layer, outlines in ((CUT, drawing.cut), (ENGRAVED, drawing.engraved)):
        for outline in outlines:
            space.add_lwpolyline(
                [_upward(corner, height) for corner in outline],
                close=True,
                dxfattribs={"layer": layer},
            )
    for words in drawing.words:
        _add_words(space, words, height, WORDS)
    start, end = drawing.check
    space.add_line(
        _upward(start, height), _upward(end, height), dxfattribs={"layer": CHECK}
    )
    _add_words(space, _check_words(drawing), height, CHECK)
    written = io.StringIO()
    document.write(written)
    return written.getvalue()


def _new_document() -> Drawing:
    # Optional, and slow to load: only who asks for DXF needs it.
    try:
        from ezdxf import filemanagement, units  # noqa: PLC0415
    except ImportError as missing:
        raise DxfUnavailable from missing
    document = filemanagement.new("R2010", units=units.MM)
    for layer, colour in _DXF_COLOURS.items():
        document.layers.add(layer, color=colour)
    return document


def _add_words(space: Modelspace, words: Words, height: Fraction, layer: str) -> None:
    from ezdxf.enums import TextEntityAlignment  # noqa: PLC0415 - as above

    text = space.add_text(
        words.text, height=float(words.size_mm), dxfattribs={"layer": layer}
    )
    at = _upward((words.x_mm, words.y_mm), height)
    text.set_placement(at, align=TextEntityAlignment.MIDDLE_CENTER)


def _upward(corner: Corner, height_mm: Fraction) -> tuple[float, float]:
    return float(corner[0]), float(height_mm - corner[1])


def _group(name: str, marks: Iterator[str], named: bool) -> str:
    colour = _COLOURS[name]
    look = f'fill="none" stroke="{colour}" stroke-width="{_LINE_MM}"'
    mark = f'id="{name}" ' if named else ""
    return f"<g {mark}{look}>\n{''.join(marks)}</g>\n"


def _path(outline: Outline) -> str:
    spots = "L".join(f"{plain_mm(x)} {plain_mm(y)}" for x, y in outline)
    return f'<path d="M{spots}Z"/>\n'


def _text(words: Words, colour: str = _COLOURS[WORDS]) -> str:
    return (
        f'<text x="{plain_mm(words.x_mm)}" y="{plain_mm(words.y_mm + words.size_mm / 3)}" '
        f'font-size="{plain_mm(words.size_mm)}" font-family="sans-serif" '
        f'text-anchor="middle" fill="{colour}" stroke="none">'
        f"{escape(words.text)}</text>\n"
    )


def _check_marks(drawing: SheetDrawing) -> Iterator[str]:
    (x1, y1), (x2, y2) = drawing.check
    yield (
        f'<line x1="{plain_mm(x1)}" y1="{plain_mm(y1)}" '
        f'x2="{plain_mm(x2)}" y2="{plain_mm(y2)}"/>\n'
    )
    yield _text(_check_words(drawing), _COLOURS[CHECK])


def _check_words(drawing: SheetDrawing) -> Words:
    x, y = drawing.check[1]
    return Words(show_millimetres(check_mm(drawing.sheet)), x + 6, y, _CHECK_WORDS_MM)


def plain_mm(length_mm: Fraction) -> str:
    """Write millimetres with three places at most and no needless noughts."""
    thousandths = floor(length_mm * 1000 + Fraction(1, 2))
    sign = "-" if thousandths < 0 else ""
    whole, after = divmod(abs(thousandths), 1000)
    return f"{sign}{whole}.{after:03}".rstrip("0").rstrip(".")
