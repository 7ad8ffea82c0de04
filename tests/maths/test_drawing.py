"""Drawings: sound, small, readable aloud, and true to their common scale."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from studio.lengths import parse_length
from studio.maths import drawing, sheet_layout

SVG = "{http://www.w3.org/2000/svg}"


def square(label, side):
    return drawing.square_piece(label, parse_length(side))


def sandglass_set():
    pieces = [square("A 4¼", "4 1/4"), square("Trim 3½", "3 1/2")]
    return drawing.template_set_svg("Sandglass set, 3 in", pieces)


def ringfence_set():
    rail = drawing.bar_piece("C 2", parse_length("2"), parse_length("3 1/2"))
    pieces = [square("A 3⅞", "3 7/8"), square("3½", "3 1/2"), rail]
    return drawing.template_set_svg("Ringfence set, 9 in", pieces)


def beaker():
    sizes = [parse_length(size) for size in ("3 1/2", "2 1/2", "3 1/2")]
    return drawing.beaker_svg("Beaker 3", *sizes)


def full_sheet():
    sheet = sheet_layout.USUAL_SHEET
    side = parse_length("3 1/2")
    placements = sheet_layout.in_rows("SQ350", side, side, sheet)
    return drawing.sheet_svg("Layout LB", sheet, placements)


DRAWINGS = {
    "sandglass set": sandglass_set(),
    "ringfence set": ringfence_set(),
    "beaker": beaker(),
    "sheet": full_sheet(),
}
ALL = pytest.mark.parametrize("drawn", DRAWINGS.values(), ids=DRAWINGS.keys())


def parsed(drawn):
    return ElementTree.fromstring(drawn)  # noqa: S314 - drawn by the studio itself


def marks(drawn, name):
    return parsed(drawn).iter(SVG + name)


def points(path):
    return [tuple(map(float, p.split())) for p in path.strip("MZ").split("L")]


def area(corners):
    """Shoelace formula, from memory."""
    ends = zip(corners, corners[1:] + corners[:1], strict=True)
    return abs(sum(x * b - a * y for (x, y), (a, b) in ends)) / 2


@ALL
def test_a_drawing_is_one_picture_with_a_title_and_a_description(drawn):
    root = parsed(drawn)

    first, second = list(root)[:2]

    assert root.get("role") == "img"
    assert (first.tag, second.tag) == (SVG + "title", SVG + "desc")
    assert first.text == root.get("aria-label")
    assert second.text.endswith(".")


@ALL
def test_a_drawing_needs_no_style_no_script_and_no_id(drawn):
    names = {name for tag in parsed(drawn).iter() for name in tag.attrib}

    assert names.isdisjoint({"style", "class", "id", "href", "onload"})
    assert not re.search(r"<(style|script|image|use|foreignObject)", drawn)


@ALL
def test_a_drawing_is_small(drawn):
    assert len(drawn.encode()) < 4096


@ALL
def test_all_marks_lie_inside_the_picture(drawn):
    """Corners written as absolute points; relative paths start at one."""
    root = parsed(drawn)
    _, _, width, height = map(float, root.get("viewBox").split())

    starts = re.findall(r"[ML](-?[0-9.]+) (-?[0-9.]+)", drawn)

    assert starts
    assert all(0 <= float(x) <= width and 0 <= float(y) <= height for x, y in starts)


def test_pieces_of_one_set_share_one_scale():
    """(4¼ ÷ 3½)² = 289/196; worked by hand."""
    outlines = [
        points(mark.get("d"))
        for mark in marks(sandglass_set(), "path")
        if mark.get("fill") == drawing.GLASS
    ]

    large, small = map(area, outlines)

    assert large / small == pytest.approx(289 / 196, rel=0.001)


def test_the_sewing_line_lies_a_quarter_inch_inside():
    """A 3½ in square has its sewing line at 3 in; worked by hand."""
    drawn = drawing.template_set_svg("Spare", [square("3½", "3 1/2")])

    by_look = {
        mark.get("fill") + (mark.get("stroke-dasharray") or ""): area(
            points(mark.get("d"))
        )
        for mark in marks(drawn, "path")
        if mark.get("fill") == drawing.GLASS or mark.get("stroke-dasharray")
    }
    outline, sewing_line = by_look.values()

    assert sewing_line / outline == pytest.approx((3 / 3.5) ** 2, rel=0.001)


def test_the_beaker_is_wider_at_the_top():
    """Top 3½, base 2½: 7 to 5; worked by hand."""
    (outline,) = (
        points(mark.get("d"))
        for mark in marks(beaker(), "path")
        if mark.get("fill") == drawing.GLASS
    )

    widths = {}
    for x, y in outline:
        widths.setdefault(y, []).append(x)
    top, base = (max(widths[y]) - min(widths[y]) for y in sorted(widths))

    assert top / base == pytest.approx(7 / 5, rel=0.001)


def test_each_piece_carries_its_engraved_label():
    labels = [mark.text for mark in marks(ringfence_set(), "text")]

    assert labels == ["A 3⅞", "3½", "C 2"]


def test_a_sheet_shows_every_piece_it_was_given():
    labels = [mark.text for mark in marks(full_sheet(), "text")]

    assert labels == ["SQ350"] * 24
    assert "24 SQ350 on a sheet of 600 × 400 mm." in full_sheet()


def test_words_in_a_label_cannot_break_the_drawing():
    drawn = drawing.template_set_svg('<b>"5" & more</b>', [square("<i>&", "5")])

    root = parsed(drawn)

    assert root.get("aria-label") == '<b>"5" & more</b>'
    assert [mark.text for mark in marks(drawn, "text")] == ["<i>&"]
