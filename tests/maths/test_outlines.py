"""Cut outlines of every shape, against printed constants, geometry and a second hand."""

from __future__ import annotations

import math
import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lengths import MM_IN_AN_INCH, parse_length, show_inches
from studio.maths import explained, outlines, shapes
from studio.maths.finished_sizes import SizeImpossible
from studio.maths.metric import METRIC, inch_ruler
from studio.maths.patch.recipe import Making
from studio.maths.surds import Surd, as_surd, square_root
from tests.maths import worked

TEN_THOUSANDTH = Fraction(1, 10_000)
SEAMS = st.sampled_from([Fraction(1, 4), Fraction(3, 8), Fraction(15, 50)])
SIZES = st.integers(12, 96).map(lambda eighths: Fraction(eighths, 8))
SHAPES = {
    "square": lambda f: outlines.rectangle(f, f),
    "strip": lambda f: outlines.rectangle(5 * f, f),
    "half square": outlines.half_square_triangle,
    "quarter square": outlines.quarter_square_triangle,
    "trapezoid": lambda f: outlines.trapezoid(4 * f, f),
    "half trapezoid": lambda f: outlines.half_trapezoid(3 * f, f),
    "parallelogram": lambda f: outlines.parallelogram(2 * f, f),
    "45-degree diamond": outlines.diamond_45,
    "60-degree diamond": outlines.diamond_60,
    "equilateral": outlines.equilateral_triangle,
    "triangle in a square": outlines.triangle_in_square,
    "triangle beside a square": outlines.triangle_beside_square,
    "hexagon": outlines.hexagon,
    "kite": outlines.kite,
}
ALL = pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)


def plain(points):
    return [tuple(float(end.bounds()[0]) for end in point) for point in points]


def measure(shape, name):
    (found,) = (m for m in shapes.MEASURES if (m.shape, m.measure) == (shape, name))
    return found


@ALL
@settings(max_examples=10)
@given(finished=SIZES, seam=SEAMS)
def test_an_outline_closes_finished_and_cut(shape, finished, seam):
    for outline in (shape(finished), shape(finished).cut(seam)):
        gone = [
            sum((s.length_inches * s.heading[n] for s in outline.sides), Surd())
            for n in (0, 1)
        ]

        assert gone == [Surd(), Surd()]


@ALL
@settings(max_examples=10)
@given(finished=SIZES, seam=SEAMS)
def test_every_cut_side_lies_a_seam_outside_the_finished_one(shape, finished, seam):
    """Distance of a point from a line, from memory: |(q − p) × d| ÷ |d|."""
    sewn, cut = (
        plain(shape(finished).corners()),
        plain(shape(finished).cut(seam).corners()),
    )

    for n, (x, y) in enumerate(cut):
        for p, q in ((sewn[n - 1], sewn[n]), (sewn[n], sewn[(n + 1) % len(sewn)])):
            across = (x - p[0]) * (q[1] - p[1]) - (y - p[1]) * (q[0] - p[0])
            assert across / math.dist(p, q) == pytest.approx(float(seam))


@ALL
def test_an_outline_is_cut_alike_whichever_side_it_begins_with(shape):
    whole = shape(Fraction(3))
    corners, cut = whole.corners(), whole.cut().corners()

    for n in range(len(whole.sides)):
        sides = whole.sides[n:] + whole.sides[:n]
        begun = outlines.Outline(whole.shape, sides, corners[n])
        assert begun.cut().corners() == cut[n:] + cut[:n]


@ALL
def test_headings_are_one_long_and_corners_are_what_they_are_called(shape):
    """cot(A/2) = tan of half the turn, from memory."""
    outline = shape(Fraction(3))

    for before, side in zip(
        outline.sides[-1:] + outline.sides, outline.sides, strict=False
    ):
        x, y = (float(end.bounds()[0]) for end in side.heading)
        was_x, was_y = (float(end.bounds()[0]) for end in before.heading)
        turn = math.atan2(was_x * y - was_y * x, was_x * x + was_y * y)
        assert math.hypot(x, y) == pytest.approx(1)
        assert float(side.corner.value.bounds()[0]) == pytest.approx(math.tan(turn / 2))


@pytest.mark.parametrize(
    ("outline", "side", "shape", "name"),
    [
        (outlines.rectangle(Fraction(2), Fraction(2)), 0, "square", "side"),
        (outlines.half_square_triangle(Fraction(2)), 0, "half-square triangle", "leg"),
        (
            outlines.quarter_square_triangle(Fraction(2)),
            0,
            "quarter-square triangle",
            "long side",
        ),
        (
            outlines.trapezoid(Fraction(8), Fraction(2)),
            0,
            "trapezoid, both ends sloped",
            "long base",
        ),
        (
            outlines.trapezoid(Fraction(8), Fraction(2)),
            2,
            "trapezoid, both ends sloped",
            "short base",
        ),
        (
            outlines.half_trapezoid(Fraction(8), Fraction(2)),
            0,
            "trapezoid, one end square",
            "long base",
        ),
        (
            outlines.half_trapezoid(Fraction(8), Fraction(2)),
            2,
            "trapezoid, one end square",
            "short base",
        ),
        (outlines.diamond_45(Fraction(2)), 0, "45-degree diamond", "edge"),
        (outlines.diamond_60(Fraction(2)), 1, "60-degree diamond", "edge"),
        (outlines.equilateral_triangle(Fraction(2)), 0, "equilateral triangle", "side"),
        (outlines.hexagon(Fraction(2)), 3, "hexagon", "side"),
        (outlines.kite(Fraction(2)), 0, "kite", "long edge"),
        (outlines.kite(Fraction(2)), 1, "kite", "short edge"),
        (
            outlines.triangle_in_square(Fraction(2)),
            0,
            "triangle in a square, centre",
            "base",
        ),
        (
            outlines.triangle_beside_square(Fraction(2)),
            2,
            "triangle in a square, side",
            "long leg",
        ),
        (
            outlines.triangle_beside_square(Fraction(2)),
            0,
            "triangle in a square, side",
            "short leg",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_cut_side_grows_by_the_printed_constant(outline, side, shape, name):
    """The constants themselves are checked row by row against the handbook's."""
    grown = outline.cut().sides[side].length_inches - outline.sides[side].length_inches

    assert grown == measure(shape, name).growth()


def test_a_kite_has_the_printed_finished_edges():
    """Long 0.8660 a, short a/2: handbook."""
    long, short, *_ = outlines.kite(Fraction(1)).sides

    assert long.length_inches.nearest(TEN_THOUSANDTH) == Fraction("0.8660")
    assert short.length_inches == as_surd(Fraction(1, 2))


def test_a_heart_keeps_its_centres_and_widens_its_arcs():
    """Finished radius a/2, cut radius a/2 + ¼; cleft of the finished heart at (a, a)."""
    heart = outlines.heart(Fraction(4))

    cut = heart.cut()

    assert heart.cleft == as_surd(4)
    assert [arc.centre for arc in cut.arcs()] == [arc.centre for arc in heart.arcs()]
    assert (heart.radius_inches, cut.radius_inches) == (2, Fraction(9, 4))


@given(SIZES, SEAMS)
def test_both_arcs_of_a_cut_heart_pass_through_their_ends(size, seam):
    for arc in outlines.heart(size).cut(seam).arcs():
        for x, y in (arc.start, arc.end):
            over, up = x - arc.centre[0], y - arc.centre[1]
            assert over * over + up * up == as_surd(arc.radius_inches**2)


def test_a_heart_is_drawn_inside_its_box():
    """A 4 in heart is 6 in each way; with seams 6½, at ten to the inch 65."""
    path = outlines.heart(Fraction(4)).cut().path(Fraction(10))

    spots = [
        (float(x), float(y))
        for x, y in re.findall(r"(?:[ML]|0 0 0 )([0-9.]+) ([0-9.]+)", path)
    ]

    assert len(spots) == 4
    assert spots[0] == (0, 65)
    assert all(0 <= x <= 65 and 0 <= y <= 65 for x, y in spots)


@pytest.mark.parametrize(
    "row",
    worked.rows("trade_templates.csv"),
    ids=lambda r: f"{r['shape']}, {r['measure']}",
)
def test_a_template_is_cut_to_the_published_size(row):
    finished = parse_length(row["finished"])

    size = explained.template_size(finished, measure(row["shape"], row["measure"]))

    assert size.exact.inches.nearest(TEN_THOUSANDTH) == Fraction(row["exact"])
    assert size.trade.inches == parse_length(row["trade"])


@pytest.mark.parametrize(
    "row", worked.rows("trade_blunted.csv"), ids=lambda r: r["template"]
)
def test_a_blunted_template_wants_the_published_strip(row):
    make = {
        "60-degree triangle": outlines.blunted_sixty,
        "half-square triangle": outlines.blunted_half_square,
    }[row["template"]]

    blunted = make(parse_length(row["finished"]))

    ys = [y for _, y in blunted.corners]
    high = max(float(y.bounds()[1]) for y in ys) - min(float(y.bounds()[0]) for y in ys)
    assert blunted.strip_inches == parse_length(row["strip"])
    assert high == pytest.approx(float(blunted.strip_inches))


def test_a_blunted_half_square_is_cut_from_a_plain_strip():
    """Both sharp tips trimmed to F + ½, cut from an F + ½ strip: common practice."""
    blunted = outlines.blunted_half_square(Fraction(3))

    xs = [x.nearest(TEN_THOUSANDTH) for x, _ in blunted.corners]
    ys = [y.nearest(TEN_THOUSANDTH) for _, y in blunted.corners]

    assert max(xs) - min(xs) == max(ys) - min(ys) == Fraction(7, 2)
    assert str(blunted) == (
        "Half-square triangle, tips blunted: cut from a strip of 3½ in."
    )


def test_a_blunted_sixty_degree_template_wants_a_strip_of_height_and_a_half():
    """Finished height + ½ with the tip trimmed ¼, + ¾ with it whole: a quilting
    book, cutting chapter."""
    blunted = outlines.blunted_sixty(Fraction(3))
    whole = explained.template_size(
        Fraction(3), measure("equilateral triangle", "height")
    )

    ys = [y for _, y in blunted.corners]

    assert show_inches(blunted.strip_inches) == "3½"
    assert ys[2] - ys[0] == as_surd(Fraction(7, 2))
    assert show_inches(whole.trade.inches) == "3¾"
    assert whole.exact.inches == as_surd(Fraction(15, 4))


def test_hexagons_of_one_inch_come_from_a_strip_of_two_and_a_quarter():
    """1.732 + ½ = 2.232, up to 2¼; computed, no published row."""
    assert show_inches(outlines.hexagon_strip(Fraction(1))) == "2¼"
    assert outlines.hexagon_strip(
        Fraction(1), Making(ruler=inch_ruler(Fraction(3, 8)))
    ) == Fraction(5, 2)


@pytest.mark.parametrize(
    "row", worked.rows("trade_acrylic.csv"), ids=lambda r: r["thickness_mm"]
)
def test_a_template_weighs_what_the_tables_say(row):
    side = parse_length(row["side"])
    area = outlines.rectangle(side, side).area_square_inches()

    grams = outlines.acrylic_grams(area, Fraction(row["thickness_mm"]))

    assert grams == int(row["grams"])


def test_the_three_kinds_of_size_say_which_they_are():
    """3 + ½ + ¼√2 = 3.8536; 97.8803 mm, outward 97.881; worked by hand."""
    size = explained.template_size(Fraction(3), shapes.HALF_SQUARE_LEG)

    assert str(size) == (
        "Half-square triangle, leg: 3 in finished gives 3½ + ¼√2 in exactly, about "
        "3.8536 in; 3⅞ in by the trade's constants; 97.881 mm for the cutter."
    )
    assert size.exact.inches == square_root(Fraction(1, 8)) + Fraction(7, 2)


def test_a_metric_template_is_explained_in_centimetres():
    """5 cm and 2.5 cm: printed metric practice."""
    side = 50 / MM_IN_AN_INCH

    size = explained.template_size(side, shapes.HALF_SQUARE_LEG, METRIC)

    assert str(size.trade) == "7.5 cm by the trade's constants"


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (Surd(), "0"),
        (square_root(2), "√2"),
        (3 - square_root(5) / 3, "3 − (1/3)√5"),
        (as_surd(Fraction(5, 16)), "(5/16)"),
    ],
)
def test_a_sum_of_roots_is_written_as_it_stands(value, shown):
    assert explained.show_surd(value) == shown


@ALL
@pytest.mark.parametrize("size", [Fraction(0), Fraction(-3)])
def test_a_shape_of_no_size_is_refused_by_name(shape, size):
    with pytest.raises(SizeImpossible, match=r"Write how large the .+ ends up"):
        shape(size)


@pytest.mark.parametrize(
    ("make", "long", "least"),
    [(outlines.trapezoid, 4, "4 in"), (outlines.half_trapezoid, 2, "2 in")],
)
def test_a_bar_that_is_all_slope_is_refused_with_its_limit(make, long, least):
    """A slope of 45 degrees takes as much of the length as the bar is high."""
    with pytest.raises(outlines.BarTooShort, match=f"longer than {least}"):
        make(Fraction(long), Fraction(2))


@pytest.mark.parametrize("strip", [Fraction(0), Fraction(-1)])
def test_a_blunted_template_of_no_size_is_refused(strip):
    for make in (outlines.blunted_half_square, outlines.blunted_sixty):
        with pytest.raises(SizeImpossible):
            make(strip)
