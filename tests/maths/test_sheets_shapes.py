"""Shapes of pieces by their names, and lists of pieces as a maker writes them."""

from fractions import Fraction
from itertools import pairwise
from math import cos, pi, sin, sqrt
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lengths import to_mm
from studio.maths import outlines
from studio.maths.nesting_shapes import shape_of
from studio.maths.sheets import (
    outline_kinds,
    piece_file,
    plainer,
)

# ------------------------------------------------------------- shapes by their names


def sides_mm(outline):
    closed = [*outline, outline[0]]
    return [
        sqrt(float((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2))
        for a, b in pairwise(closed)
    ]


@pytest.mark.parametrize(
    ("shape", "finished", "grows"),
    [
        ("half-square triangle", 3, 2 + sqrt(2)),
        ("quarter-square triangle", 6, 2 + 2 * sqrt(2)),
        ("triangle", 3, 2 * sqrt(3)),
        ("hexagon", 2, 2 / sqrt(3)),
        ("60-degree diamond", 3, sqrt(3) + 1 / sqrt(3)),
        ("45-degree diamond", 2, 2 * sqrt(2)),
    ],
)
def test_a_finished_measure_grows_by_the_one_rule(shape, finished, grows):
    """Growth of each per seam of ¼ in: cot of both half corners; plain geometry."""
    inches = Fraction(finished)

    outline = outline_kinds.outline_mm(shape, (inches, inches), finished=True)

    wanted = (finished + grows / 4) * 25.4
    assert min(abs(side - wanted) for side in sides_mm(outline)) < 0.002


@pytest.mark.reference
@pytest.mark.parametrize(
    "shape",
    [
        one
        for one in outline_kinds.KNOWN
        if one != "rectangle" and not one.startswith("blunted")
    ],
)
def test_a_cut_outline_is_the_finished_one_moved_out_by_the_seam(shape):
    geometry = pytest.importorskip("shapely")
    sides, narrow = (Fraction(4), Fraction(3, 2)), Fraction(2)

    plain, cut = (
        geometry.Polygon(
            [
                (float(x), float(y))
                for x, y in outline_kinds.outline_mm(
                    shape, sides, narrow=narrow, finished=finished
                )
            ]
        )
        for finished in (False, True)
    )

    grown = plain.buffer(6.35, join_style="mitre", mitre_limit=20)
    assert abs(grown.area - cut.area) / cut.area < 0.0005


def test_a_heart_is_a_square_and_two_half_circles_with_its_point_below():
    """Area a² + π a² / 4, and never smaller than the true heart; plain geometry."""
    outline = outline_kinds.outline_mm("heart", (Fraction(2), Fraction(2)))
    side = 50.8

    area = shape_of(outline).doubled_area / 2 / 1_000_000

    true = side**2 * (1 + pi / 4)
    assert true <= area < true * 1.001
    width, height = outline_kinds.box_mm(outline)
    lowest = [x for x, y in outline if y == height]
    assert [abs(float(x - width / 2)) < 0.01 for x in lowest] == [True]


def test_blunted_tips_end_where_the_strip_ends():
    """A half square of 3 in is cut from 3½ in, a 60-degree triangle of 3 in too.

    The strip widths of blunted templates are printed in a quilting book's chapter.
    """
    three = Fraction(3), Fraction(3)

    square, sixty = (
        outline_kinds.outline_mm(f"blunted {shape} triangle", three, finished=True)
        for shape in ("half-square", "60-degree")
    )

    strip = to_mm(Fraction(7, 2))
    assert outline_kinds.box_mm(square) == (strip, strip)
    assert outline_kinds.box_mm(sixty)[1] == strip
    assert (len(square), len(sixty)) == (5, 4)


def test_shapes_go_by_their_longer_names_too():
    names = ("Trapezoid, both ends sloped", "triangle in a square, side", "SQUARE")

    found = [outline_kinds.plain_name(name) for name in names]

    assert found == ["trapezoid", "side triangle", "rectangle"]


def test_a_tapered_piece_with_no_narrow_side_to_speak_of_is_a_triangle():
    two = Fraction(2), Fraction(2)

    outline = outline_kinds.outline_mm(
        "tapered", two, narrow=Fraction(0), finished=True
    )

    assert len(outline) == 3


def test_a_shape_that_leans_is_not_mirrored():
    """A half trapezoid has its square end on the left, as it is drawn in the lists."""
    made = outlines.half_trapezoid(Fraction(4), Fraction(1)).corners()
    assert [x.bounds()[0] for x, _ in made] == [0, 4, 3, 0]

    outline = outline_kinds.outline_mm("half trapezoid", (Fraction(4), Fraction(1)))

    assert outline == (
        (0, Fraction("25.4")),
        (Fraction("101.6"), Fraction("25.4")),
        (Fraction("76.2"), 0),
        (0, 0),
    )


@settings(max_examples=30, deadline=None)
@given(st.integers(8, 60), st.integers(0, 9999))
def test_fewer_corners_never_make_an_outline_smaller(corners, seed):
    """Random stars: each true corner lies inside the plainer outline, or on it."""
    geometry = pytest.importorskip("shapely")
    chance = Random(seed)
    spots = []
    for n in range(corners):
        far = chance.randint(40_000, 42_000)
        angle = 2 * pi * n / corners
        spots.append(
            (round(50_000 + far * cos(angle)), round(50_000 + far * sin(angle)))
        )
    shape = shape_of([(Fraction(x, 1000), Fraction(y, 1000)) for x, y in spots])

    found = plainer.plainer(shape)

    outer = geometry.Polygon(found.corners).buffer(plainer.ROUNDING)
    assert outer.contains(geometry.Polygon(shape.corners))
    assert (found.width, found.height) == (shape.width, shape.height)


# ------------------------------------------------------------- lists of pieces


HEAD = "name,width,height,count,turn,shape,narrow,finished,fills"


def read(*lines):
    return piece_file.read_pieces([HEAD, *lines])


def test_shapes_are_read_from_the_list_by_their_names():
    kite, taper, corners, bar = read(
        "K,1 1/2,,6,,kite,,yes,",
        "T,3,2,1,,Tapered,1,,",
        '"C",1,1,1,,"0x0; 3x0; 1 1/2x3",,,yes',
        "B,1,2,1,no,bar,,yes,",
    )

    assert len(kite.outline_mm) == 4
    assert set(taper.outline_mm) == {
        (Fraction("25.4"), 0),
        (Fraction("50.8"), 0),
        (Fraction("76.2"), Fraction("50.8")),
        (0, Fraction("50.8")),
    }
    assert (corners.width_mm, corners.height_mm, corners.fills) == (
        Fraction("76.2"),
        Fraction("76.2"),
        True,
    )
    assert (bar.width_mm, bar.height_mm, bar.turns, bar.outline_mm) == (
        Fraction("38.1"),
        Fraction("63.5"),
        False,
        (),
    )


def test_typed_lines_need_no_first_line_and_take_words_in_any_order():
    heart, plain, tiny = piece_file.read_typed(
        "Heart, 2, , 2, finished, heart\n\nA425, 4 1/4, 4 1/4\nT, 1, , 1, fills, triangle, upright"
    )

    assert (heart.name, heart.count, len(heart.outline_mm) > 40) == ("Heart", 2, True)
    assert (plain.count, plain.width_mm) == (1, Fraction("107.95"))
    assert (tiny.fills, tiny.turns) == (True, False)


def test_lines_pasted_from_a_table_are_parted_by_tabs():
    [one] = piece_file.read_typed("A425\t4 1/4\t4 1/4\t3")

    assert (one.name, one.width_mm, one.count) == ("A425", Fraction("107.95"), 3)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (
            "A, 1, 1, 1, blob",
            "A: “blob” is no shape known here; write one of rectangle",
        ),
        ("A, 1, , 1, trapezoid", "A: a trapezoid needs its height, too"),
        ("A, 3, , 1, blunted 60-degree triangle", "A: a blunted shape goes by its"),
        ("A, 3, 2, 1, tapered", "A: a tapered needs its narrow side, too"),
        ("A, 1, 3, 1, trapezoid", "A: A trapezoid 1 in long is all slope."),
        ("A, 1, 1, 1, 0x0; 2x2; 2x0; 0x2", "A: its measures do not close"),
        ("A, 1, 1, 1, 0x0; 1x0; 2x0", "A: its measures do not close"),
        ("A, 1, 1, 1, 0x0; 1x0", "A: its corners are “0x0; 1x0”; write from 3"),
        ("A, 1, 1, 1, 0x0; 1; 2x0", "A: its corners are"),
        ("A, 1, 1, 1, 0x0; 1x4/0; 2x0", "A: a corner cannot be read."),
        ("A, 0, , 1, kite", "A: the width is nought"),
        ("A, 1, 1, none", "A: the count is “none”"),
        ("A, one, 1, 1", "A: the width cannot be read."),
        ("", "No piece is written yet."),
    ],
)
def test_each_unfit_line_is_told_in_a_sentence(line, says):
    with pytest.raises((piece_file.PieceUnfit, piece_file.PieceFileUnfit)) as refused:
        piece_file.read_typed(line)

    assert str(refused.value).startswith(says)
