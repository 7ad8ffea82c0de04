"""Small pictures of goods that have no outline of their own: cloth, paper, boxes.

They show what kind of thing an item is, in the same line as the template drawings.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import Literal

from studio.maths import motifs, svg
from studio.maths.motifs import Area, Print

BOX = 120
SIZE_PX = 160
MOST_LAYERS = 5

PAPER = "#fdfbf5"
GLASS = "#cfe0e6"
KRAFT = "#c9a877"
KRAFT_DARK = "#a98655"
EDGE = "#1c2858"
STITCH = "#9c2a24"
FAINT = "#7f93ab"

ClothForm = Literal["fat quarters", "squares", "strips"]
GoodsKind = Literal[
    "pattern", "booklet", "card", "dots", "box", "sheet", "sleeve", "label", "sample"
]


def swatch_svg(
    title: str, cloth_name: str, count: int, form: ClothForm, size_px: int = SIZE_PX
) -> str:
    """Draw a bundle of cloth; one range of cloth looks alike in every form."""
    prints = motifs.prints_of(cloth_name, max(1, min(count, MOST_LAYERS)))
    body = (*_FORMS[form](prints), *_count_tag(count))
    return _picture(title, f"{count} {form} of {cloth_name}.", body, size_px)


def goods_svg(
    kind: GoodsKind, title: str, words: str = "", size_px: int = SIZE_PX
) -> str:
    """Draw a kind of goods; ``words``, such as a size, are printed on it if any."""
    return _picture(title, f"{_KINDS[kind]}.", _GOODS[kind](title, words), size_px)


def _picture(
    title: str, description: str, body: Sequence[str] | Iterator[str], size_px: int
) -> str:
    marks = svg.group(body, stroke_linejoin="round", stroke_width=Fraction(6, 5))
    size = (size_px, size_px)
    return svg.picture(title, description, [marks], box=(BOX, BOX), size_px=size)


def _fan(prints: Sequence[Print]) -> Iterator[str]:
    for n, printed in enumerate(prints):
        turn = Fraction(9 * (2 * n - len(prints) + 1), 2)
        folded = motifs.cloth(printed, Area(44, 10, 32, 92))
        yield svg.group([folded], transform=f"rotate({svg.plain(turn)} 60 150)")


def _pile(prints: Sequence[Print]) -> Iterator[str]:
    room = 4 * (MOST_LAYERS - len(prints))
    for n, printed in enumerate(prints):
        yield motifs.cloth(
            printed, Area(6 + room + 8 * n, 38 + room // 2 - 8 * n, 76, 76)
        )


def _roll(prints: Sequence[Print]) -> Iterator[str]:
    yield svg.mark("circle", cx=56, cy=60, r=52, fill=PAPER, stroke=svg.INK)
    for n in range(8):
        printed = prints[n % len(prints)]
        for radius, colour in ((50 - 6 * n, printed.ground), (48 - 6 * n, printed.ink)):
            yield _ring(radius, colour)
    yield svg.mark("circle", cx=56, cy=60, r=5, fill=PAPER, stroke=svg.INK)


def _ring(radius: int, colour: str) -> str:
    width = Fraction(7, 2)
    return svg.mark(
        "circle", cx=56, cy=60, r=radius, fill="none", stroke=colour, stroke_width=width
    )


def _count_tag(count: int) -> Iterator[str]:
    yield svg.mark("path", d="M74 92h32l10 11-10 11H74z", fill=PAPER, stroke=svg.INK)
    yield svg.mark("circle", cx=109, cy=103, r=2, fill="none", stroke=svg.INK)
    yield svg.text(str(count), 90, 110, 19, text_anchor="middle", font_weight="bold")


def _sheet_of_paper(x: int, y: int, width: int, height: int) -> str:
    return svg.mark(
        "rect", x=x, y=y, width=width, height=height, rx=1, fill=PAPER, stroke=EDGE
    )


def _lines(*places: tuple[int, int, int]) -> str:
    path = "".join(f"M{x} {y}h{length}" for x, y, length in places)
    return svg.mark("path", d=path, stroke=FAINT, stroke_width=2)


def _pattern(title: str, words: str) -> Iterator[str]:
    prints = motifs.prints_of(title, 2)
    yield _sheet_of_paper(25, 6, 76, 108)
    yield _sheet_of_paper(19, 6, 76, 108)
    yield svg.mark("path", d="M24 6v108", stroke=FAINT)
    for n in range(9):
        x, y = 33 + 18 * (n % 3), 16 + 18 * (n // 3)
        yield motifs.cloth(prints[n % 2], Area(x, y, 18, 18))
    yield _lines((33, 84, 54), (33, 91, 40))
    yield from _printed(words, 60, 107)


def _booklet(_: str, words: str) -> Iterator[str]:
    yield svg.mark(
        "path",
        d="M60 26Q40 14 8 20v76q32-6 52 6q20-12 52-6V20Q80 14 60 26z",
        fill=PAPER,
        stroke=EDGE,
    )
    yield svg.mark("path", d="M60 26v76", stroke=EDGE)
    yield svg.mark(
        "path", d="M18 32h30v30H18zM18 32l30 30M48 32L18 62", fill="none", stroke=EDGE
    )
    yield _lines((72, 36, 30), (72, 46, 24), (72, 56, 30), (72, 66, 20), (18, 74, 30))
    yield from _printed(words, 86, 86)


def _card(_: str, words: str) -> Iterator[str]:
    yield _sheet_of_paper(14, 22, 92, 76)
    yield svg.mark(
        "rect",
        x=20,
        y=28,
        width=80,
        height=64,
        fill="none",
        stroke=STITCH,
        stroke_dasharray="4 2.5",
    )
    yield _lines((30, 76, 60), (30, 84, 44))
    yield from _printed(words, 60, 62, 26)


def _dots(_: str, words: str) -> Iterator[str]:
    yield _sheet_of_paper(24, 6, 72, 108)
    yield svg.mark("circle", cx=60, cy=16, r=4, fill="none", stroke=EDGE)
    for n in range(12):
        x, y = 40 + 20 * (n % 3), 36 + 20 * (n // 3)
        yield svg.mark("circle", cx=x, cy=y, r=7, fill=GLASS, stroke=EDGE)
        yield svg.mark(
            "path",
            d=f"M{x - 3} {y}q0-3 3-3",
            fill="none",
            stroke="#fff",
            stroke_width=2,
        )
    yield from _printed(words, 60, 110)


def _box(_: str, words: str) -> Iterator[str]:
    yield svg.mark("path", d="M14 48h92v62H14z", fill=KRAFT, stroke=EDGE)
    yield svg.mark("path", d="M8 32h104v18H8z", fill=KRAFT_DARK, stroke=EDGE)
    yield svg.mark("path", d="M54 32h12v78H54z", fill=STITCH, stroke=EDGE)
    yield svg.mark(
        "path",
        d="M60 32q-30-6-22-20q10-10 22 20q12-30 22-20q8 14-22 20z",
        fill=STITCH,
        stroke=EDGE,
    )
    yield from _printed(words, 34, 86)


def _sheet(_: str, words: str) -> Iterator[str]:
    yield svg.mark("path", d="M8 24h104v72H8z", fill=GLASS, stroke=EDGE)
    yield svg.mark(
        "path",
        d="M8 96l4 6h104V30l-4-6v72z",
        fill=FAINT,
        fill_opacity=Fraction(1, 2),
        stroke=EDGE,
    )
    yield svg.mark("path", d="M112 24v30Q92 52 84 24z", fill=PAPER, stroke=EDGE)
    yield svg.mark(
        "path",
        d="M22 76l34-34M34 80l22-22",
        stroke="#fff",
        stroke_width=4,
        stroke_linecap="round",
    )
    yield from _printed(words, 84, 86)


def _sleeve(_: str, words: str) -> Iterator[str]:
    yield svg.mark(
        "path",
        d="M22 28h76v86H22z",
        fill=GLASS,
        fill_opacity=Fraction(1, 2),
        stroke=EDGE,
    )
    yield svg.mark("path", d="M22 28l8-20h60l8 20z", fill=PAPER, stroke=EDGE)
    yield svg.mark("path", d="M24 34h72", stroke=STITCH, stroke_dasharray="4 2.5")
    yield svg.mark(
        "path",
        d="M34 96l30-30M46 98l18-18",
        stroke="#fff",
        stroke_width=4,
        stroke_linecap="round",
    )
    yield from _printed(words, 60, 60)


def _label(_: str, words: str) -> Iterator[str]:
    yield svg.mark(
        "rect", x=10, y=32, width=100, height=56, rx=6, fill=PAPER, stroke=EDGE
    )
    bars = "".join(f"M{x} 44v20" for x in (22, 26, 32, 35, 41, 47, 50, 56))
    yield svg.mark("path", d=bars, stroke=EDGE, stroke_width=2)
    yield _lines((22, 74, 50), (68, 48, 30), (68, 58, 22))
    yield from _printed(words, 92, 80)


def _sample(title: str, words: str) -> Iterator[str]:
    prints = motifs.prints_of(title, 3)
    yield svg.mark(
        "rect",
        x=9,
        y=9,
        width=102,
        height=102,
        rx=3,
        fill=prints[1].ground,
        stroke=EDGE,
    )
    for n in range(16):
        area = Area(14 + 23 * (n % 4), 14 + 23 * (n // 4), 23, 23)
        yield motifs.cloth(prints[(n + n // 4) % 3], area)
    yield from _printed(words, 60, 66, 20)


def _printed(words: str, x: int, y: int, size: int = 14) -> Iterator[str]:
    if words:
        yield svg.text(words, x, y, size, text_anchor="middle", font_weight="bold")


_FORMS: dict[ClothForm, Callable[[Sequence[Print]], Iterator[str]]] = {
    "fat quarters": _fan,
    "squares": _pile,
    "strips": _roll,
}
_KINDS: dict[GoodsKind, str] = {
    "pattern": "A printed pattern",
    "booklet": "An open booklet",
    "card": "A printed card",
    "dots": "A card of clear grip dots",
    "box": "A gift box with a ribbon",
    "sheet": "A sheet of clear acrylic with its film",
    "sleeve": "A clear sleeve",
    "label": "A label",
    "sample": "A sewn sample",
}
_GOODS: dict[GoodsKind, Callable[[str, str], Iterator[str]]] = {
    "pattern": _pattern,
    "booklet": _booklet,
    "card": _card,
    "dots": _dots,
    "box": _box,
    "sheet": _sheet,
    "sleeve": _sleeve,
    "label": _label,
    "sample": _sample,
}
