"""Pictures of cloth and goods: small, sound, and the same each time."""

from __future__ import annotations

import re
from typing import get_args
from xml.etree import ElementTree

import pytest

from studio.maths import motifs, pictures

SVG = "{http://www.w3.org/2000/svg}"
RANGE = "Fog on the Fell"
FORMS = get_args(pictures.ClothForm)
KINDS = get_args(pictures.GoodsKind)


def swatch(form, count=42):
    return pictures.swatch_svg("Bundle", RANGE, count, form)


def goods(kind):
    return pictures.goods_svg(kind, "Larktarn tool roll", "4½")


ALL = pytest.mark.parametrize(
    "drawn",
    [*map(swatch, FORMS), *map(goods, KINDS)],
    ids=[*FORMS, *KINDS],
)


def parsed(drawn):
    return ElementTree.fromstring(drawn)  # noqa: S314 - drawn by the studio itself


def lightness(colour):
    """Relative luminance of WCAG 2.2."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@ALL
def test_a_picture_is_sound_small_and_described(drawn):
    root = parsed(drawn)

    assert root.get("role") == "img"
    assert root[0].tag == SVG + "title"
    assert root[1].text.endswith(".")
    assert len(drawn.encode()) < 4096


@ALL
def test_a_picture_needs_no_style_no_script_and_no_id(drawn):
    names = {name for mark in parsed(drawn).iter() for name in mark.attrib}

    assert names.isdisjoint({"style", "class", "id", "href"})
    assert not re.search(r"<(style|script|image|pattern)", drawn)


@pytest.mark.parametrize("kind", KINDS)
def test_words_are_printed_on_goods_when_there_are_any(kind):
    plain = pictures.goods_svg(kind, "Larktarn tool roll")

    assert [mark.text for mark in parsed(goods(kind)).iter(SVG + "text")] == ["4½"]
    assert list(parsed(plain).iter(SVG + "text")) == []


def test_every_kind_of_goods_looks_different():
    drawn = {kind: pictures.goods_svg(kind, "same") for kind in KINDS}

    assert len({re.sub("<desc>.*</desc>", "", one) for one in drawn.values()}) == len(
        KINDS
    )


@pytest.mark.parametrize(
    ("count", "layers"), [(1, 1), (3, 3), (5, 5), (12, 5), (42, 5)]
)
def test_a_bundle_shows_its_count_and_at_most_five_layers(count, layers):
    root = parsed(swatch("fat quarters", count))

    assert [mark.text for mark in root.iter(SVG + "text")] == [str(count)]
    assert len(list(root.iter(SVG + "rect"))) == layers


def test_one_range_of_cloth_has_the_same_prints_in_every_form():
    colours = [
        {c for c in re.findall(r"#[0-9a-f]{6}", swatch(form)) if c in _cloth_colours()}
        for form in FORMS
    ]

    assert colours[0] == colours[1] == colours[2]
    assert len(colours[0]) == 4


def _cloth_colours():
    return {colour for palette in motifs.PALETTES for colour in palette}


def test_the_ranges_of_the_shelf_can_be_told_apart():
    names = [
        RANGE,
        "Medlar & Kiln",
        "Rook Parliament",
        "Barley & Soot",
        "Tin Roof Rain",
        "Cinderbeck Plains",
    ]

    first_prints = {motifs.prints_of(name, 1)[0].ground for name in names}

    assert len(first_prints) == len(names)


@pytest.mark.parametrize("palette", motifs.PALETTES)
def test_marks_stand_out_from_their_ground_without_colour(palette):
    """3 to 1, WCAG 2.2 contrast of drawn parts, by its own formula."""
    ground, ink, second_ground, second_ink = map(lightness, palette)

    for one, other in ((ground, ink), (second_ground, second_ink)):
        light, dark = max(one, other), min(one, other)
        assert (light + 0.05) / (dark + 0.05) >= 3
