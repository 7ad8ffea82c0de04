"""Drawings of blocks and of units step by step: sound, and clear without colour."""

from __future__ import annotations

import re
from fractions import Fraction
from xml.etree import ElementTree

import pytest

from studio.maths import block_drawing, block_grids, block_stars, hatching, patches
from studio.maths.hatching import DARK_LOOKS, LIGHT_LOOKS
from studio.maths.patch.recipe import USUAL
from tests.maths import worked

SVG = "{http://www.w3.org/2000/svg}"
EVERY_BLOCK = worked.BLOCKS | {"eight-point star": block_stars.eight_point_star()}
EVERY_WAY = [
    (patch, way) for patch in patches.PATCHES.values() for way in patch.way_names
]


def steps(patch, way):
    width = Fraction(4)
    height = width / 2 if patch.box == "two by one" else width
    recipe = patch.recipe(width, height, USUAL, way)
    return block_drawing.steps_svg(f"{recipe.unit}, {way}", recipe, patch.slots)


DRAWINGS = {
    name: block_drawing.block_svg(name, block) for name, block in EVERY_BLOCK.items()
} | {f"{patch.name}, {way}": steps(patch, way) for patch, way in EVERY_WAY}
ALL = pytest.mark.parametrize("drawn", DRAWINGS.values(), ids=DRAWINGS)


def parsed(drawn):
    return ElementTree.fromstring(drawn)  # noqa: S314 - drawn by the studio itself


def lightness(colour):
    """Relative luminance of WCAG 2.2."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    low, high = sorted((lightness(one), lightness(other)))
    return (high + 0.05) / (low + 0.05)


def inside(outline, spot):
    """Cross products of one sign, from memory; a hair of rounding is let be."""
    sides = [
        (x - outline[n - 1][0]) * (spot[1] - outline[n - 1][1])
        - (y - outline[n - 1][1]) * (spot[0] - outline[n - 1][0])
        for n, (x, y) in enumerate(outline)
    ]
    return min(sides) > -1.5 or max(sides) < 1.5


@ALL
def test_a_drawing_is_one_picture_with_a_title_and_a_description(drawn):
    root = parsed(drawn)

    first, second = list(root)[:2]

    assert root.get("role") == "img"
    assert first.text == root.get("aria-label")
    assert second.tag == SVG + "desc"
    assert second.text.endswith(".")


@ALL
def test_a_drawing_needs_no_style_no_script_and_no_id(drawn):
    names = {name for tag in parsed(drawn).iter() for name in tag.attrib}

    assert names.isdisjoint({"style", "class", "id", "href", "onload", "clip-path"})
    assert not re.search(r"<(style|script|image|use|pattern|clipPath)", drawn)


@ALL
def test_a_drawing_is_small_and_lies_inside_its_box(drawn):
    _, _, width, height = map(float, parsed(drawn).get("viewBox").split())

    starts = re.findall(r"[ML](-?[0-9.]+) (-?[0-9.]+)", drawn)

    assert len(drawn.encode()) < 12_000
    assert all(0 <= float(x) <= width and 0 <= float(y) <= height for x, y in starts)


@pytest.mark.parametrize("name", EVERY_BLOCK)
def test_every_role_of_a_block_is_drawn_in_a_look_of_its_own(name):
    block = EVERY_BLOCK[name]

    fills = {mark.get("fill") for mark in parsed(DRAWINGS[name]).iter(SVG + "path")}
    looks = hatching.looks_of(block.roles)

    assert {look.ground for look in looks.values()} <= fills
    assert len({(look.ground, look.motif) for look in looks.values()}) == len(looks)


def test_looks_differ_in_motif_or_in_lightness():
    """3 to 1 or another motif: WCAG 2.2 contrast of drawn parts, by its own formula."""
    looks = (*DARK_LOOKS, *LIGHT_LOOKS)

    alike = [
        (one, other)
        for n, one in enumerate(looks)
        for other in looks[:n]
        if one.motif == other.motif and contrast(one.ground, other.ground) < 3
    ]

    assert alike == []


LOOKS = [look for look in (*DARK_LOOKS, *LIGHT_LOOKS) if look.motif != "plain"]


@pytest.mark.parametrize("look", LOOKS)
def test_marks_on_cloth_stand_out_from_it(look):
    """3 to 1: WCAG 2.2 contrast of drawn parts, by its own formula."""
    assert contrast(look.ground, look.ink) >= 3


@pytest.mark.parametrize(
    "motif", ["slopes", "rises", "rows", "posts", "dots", "checks"]
)
def test_marks_of_a_cloth_stay_inside_its_patch(motif):
    triangle = [(Fraction(x), Fraction(y)) for x, y in ((3, 90), (60, 3), (117, 90))]
    look = hatching.Look("#ffffff", "#000000", motif)

    marks = list(hatching.cloth([triangle], look))[1]
    spots = [
        (float(x), float(y)) for x, y in re.findall(r"[ML]([0-9.]+) ([0-9.]+)", marks)
    ]

    assert len(spots) > 10
    assert all(inside([(float(x), float(y)) for x, y in triangle], s) for s in spots)


def test_steps_are_numbered_and_told_in_the_description():
    drawn = steps(patches.GEESE, "four at a time")

    root = parsed(drawn)

    assert [mark.text for mark in root.iter(SVG + "text")] == ["1", "2", "3", "4"]
    assert "1. Lay two sky squares on opposite corners" in root[1].text
    assert root[1].text.endswith(
        "Dotted lines are drawn, dashed ones sewn, whole ones cut."
    )


def test_sewing_lines_lie_a_seam_beside_the_diagonal():
    """A 3⅞ in square of 104 units: ¼ in square to the line is 0.3536 along the edge,
    9.49 units; worked by hand."""
    patch = patches.HALF
    recipe = patch.recipe(Fraction(3), Fraction(3))
    drawn = block_drawing.steps_svg("Two", recipe, patch.slots)

    sewn = [
        mark.get("d")
        for mark in parsed(drawn).iter(SVG + "path")
        if mark.get("stroke-dasharray") == "5 3"
    ]
    ends = [tuple(map(float, p.split())) for p in sewn[0].strip("M").split("L")]

    assert len(sewn) == 2
    assert 128 + 104 - ends[1][0] == pytest.approx(9.49, abs=0.02)


def test_a_churn_dash_shows_four_ninths_of_dash_and_four_of_ground():
    """Four corners and four rails, half of each: 4 of 9 steps each, worked by hand."""
    block = block_grids.churn_dash()

    covered = {role: Fraction(0) for role in block.roles}
    for face in block.faces():
        ends = zip(face.corners, face.corners[1:] + face.corners[:1], strict=True)
        covered[face.role] += abs(sum(x * b - a * y for (x, y), (a, b) in ends)) / 2

    assert covered == {"centre": 1, "ground": 4, "dash": 4}
