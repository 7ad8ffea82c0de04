"""Every shape of template in its three forms, against printed constants and geometry."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lengths import MM_IN_AN_INCH, parse_length
from studio.maths import shape_drawing, template_shapes
from studio.maths.finished_sizes import SizeAbsurd, SizeImpossible, SizeTooFine
from studio.maths.metric import INCH, METRIC, inch_ruler
from studio.maths.outlines import BarTooShort, HeartOutline
from studio.maths.template_shapes import SHAPES, shape_named, template
from tests.maths import worked

ALL = pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.word)
PRINTED = {(row["shape"], row["measure"]): row for row in worked.rows("shapes.csv")}


def made(word, *typed, ruler=INCH):
    return template(shape_named(word), [parse_length(size) for size in typed], ruler)


def sizes(found):
    return {one.measure.measure: one for one in found.sizes}


def box_of(corners):
    plain = [[float(end.bounds()[0]) for end in at] for at in corners]
    return [max(at[n] for at in plain) - min(at[n] for at in plain) for n in (0, 1)]


def test_every_printed_measure_can_be_asked_for():
    offered = {
        (one.measure.shape, one.measure.measure)
        for shape in SHAPES
        for one in template(shape, shape.first_inches).sizes
    }

    assert offered >= set(PRINTED)


@ALL
def test_every_measure_is_larger_by_the_printed_constant(shape):
    for one in template(shape, shape.first_inches).sizes:
        row = PRINTED.get((one.measure.shape, one.measure.measure))
        if row:
            grown = one.exact.inches - one.finished.inches
            assert grown.nearest(Fraction(1, 10_000)) == Fraction(row["constant"])
            assert one.trade.inches - one.finished.inches.bounds()[0] >= Fraction(
                row["trade"]
            ) - Fraction(4, 1000)


@ALL
@settings(max_examples=20, deadline=None)
@given(
    times=st.integers(2, 40),
    ruler=st.sampled_from([INCH, inch_ruler(Fraction(3, 8))]),
)
def test_the_three_forms_stand_in_one_order(shape, times, ruler):
    """Exact ≤ cutter's, by less than a thousandth of a millimetre; exact ≤ trade's."""
    inches = [first * times / 4 for first in shape.first_inches]

    for one in template(shape, inches, ruler).sizes:
        exact_mm = one.exact.inches * MM_IN_AN_INCH
        over = one.cutter.millimetres - exact_mm
        assert over.bounds()[1] >= 0
        assert over.bounds()[0] < Fraction(1, 1000)
        assert (one.trade.inches - one.exact.inches).bounds()[1] >= Fraction(-3, 1000)


@ALL
def test_a_strip_is_as_high_as_the_template_that_lies_on_it(shape):
    found = template(shape, shape.first_inches)
    if not shape.strip or isinstance(found.cut, HeartOutline):
        return
    across = sizes(found)[shape.strip].exact.inches

    sides = box_of(found.blunted_corners or found.cut.corners())

    assert any(
        side == pytest.approx(float(across.bounds()[0]), abs=1e-9) for side in sides
    )


@ALL
def test_the_cut_side_of_the_drawing_is_the_cut_size_of_the_table(shape):
    """Edges and bases, measured between the corners of the outline."""
    found = template(shape, shape.first_inches)
    if isinstance(found.cut, HeartOutline) or shape.blunted:
        return
    points = [[float(end.bounds()[0]) for end in at] for at in found.cut.corners()]
    lengths = [
        math.dist(one, other)
        for one, other in zip(points, points[1:] + points[:1], strict=True)
    ]

    for name, one in sizes(found).items():
        if name not in {"width across", "height", "across flats"}:
            exact = float(one.exact.inches.bounds()[0])
            assert any(length == pytest.approx(exact) for length in lengths)


@pytest.mark.parametrize(
    ("word", "typed", "strip"),
    [
        ("60-degree-triangle", "3", "3¾ in"),
        ("60-degree-triangle-tip-blunted", "3", "3½ in"),
        ("half-square-triangle-tips-blunted", "3", "3½ in"),
        ("hexagon", "1", "2¼ in"),
    ],
)
def test_a_template_says_which_strip_it_wants(word, typed, strip):
    """A quilting book, cutting chapter: height + ¾, or + ½ with the tip trimmed."""
    assert made(word, typed).strip == f"Cut from a strip of {strip}."


def test_the_tip_of_a_diamond_two_inches_across_is_cut_from_two_and_a_half():
    """A quilting book, cutting chapter; an edge of 2√2 in is two inches across."""
    across = sizes(made("45-degree-diamond", "2 13/16"))["width across"]

    assert INCH.show(across.trade.inches) == "2½ in"


def test_a_square_template_weighs_what_the_tables_say():
    """97 g: cast acrylic thickness tolerance explained, after ISO 7823-1."""
    assert made("square", "6").grams == 97


def test_a_heart_has_straight_sides_and_lobes():
    """4 in: sides 4¼, lobes of radius 2¼, 6½ across; worked by hand."""
    found = sizes(made("heart", "4"))

    assert {name: INCH.show(one.trade.inches) for name, one in found.items()} == {
        "straight side": "4¼ in",
        "radius of a lobe": "2¼ in",
        "across the lobes": "6½ in",
    }


def test_a_metric_template_is_told_in_centimetres():
    """5 cm and a seam of 0.75: 2.561 cm exactly, 2.5 in the trade: printed practice."""
    (leg,) = made("half-square-triangle", "5 cm", ruler=METRIC).sizes

    assert leg.exact.shown == "6.5 + 0.75√2 cm"
    assert str(leg.trade) == "7.5 cm by the trade's constants"
    assert leg.cutter.millimetres == Fraction("75.607")


@ALL
@pytest.mark.parametrize(
    ("inches", "error"),
    [
        (Fraction(0), SizeImpossible),
        (Fraction(-2), SizeImpossible),
        (Fraction(3000), SizeAbsurd),
        (Fraction(65, 32), SizeTooFine),
    ],
)
def test_a_size_that_cannot_be_cut_is_refused_by_name(shape, inches, error):
    with pytest.raises(error, match=re.escape(f"{shape.asks[0].lower()} of the")):
        template(shape, [inches, *shape.first_inches[1:]])


def test_a_bar_that_is_all_slope_is_refused():
    with pytest.raises(BarTooShort, match="longer than 4 in"):
        made("trapezoid-both-ends-sloped", "4", "2")


def test_an_unknown_shape_names_the_known_ones():
    with pytest.raises(template_shapes.ShapeUnknown, match="square, rectangle, half"):
        shape_named("star")


@ALL
def test_a_template_is_drawn_with_its_sewing_line_inside(shape):
    drawn = shape_drawing.template_svg("It", template(shape, shape.first_inches))

    root = ElementTree.fromstring(drawn)  # noqa: S314 - drawn by the studio itself
    cut, sewn = (
        [float(n) for n in re.findall(r"[ML](-?[0-9.]+) -?[0-9.]+", mark.get("d"))]
        for mark in root.iter("{http://www.w3.org/2000/svg}path")
    )
    assert 0 < min(cut) < min(sewn)
    assert max(sewn) < 120
    assert shape.name in root[1].text
