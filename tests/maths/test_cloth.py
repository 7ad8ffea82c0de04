"""Cloth as it is asked for and written down: steps of shops, and lists of pieces."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.maths import cutting_plan_reading as reading
from studio.maths.cloth_amounts import ToBuy
from studio.maths.cutting_list import CutPiece
from studio.maths.ruler_marks import by, ruler

HEAD = "name,width,height,count,cloth,turn\n"
QUARTERS = st.integers(1, 1000).map(lambda n: Fraction(n, 8))
TENTHS = st.integers(1, 9000).map(lambda n: Fraction(n, 10) / Fraction(127, 5))


@pytest.mark.parametrize(
    ("inches", "yards", "metres"),
    [
        # Binding maths thread, quilters' forum: 27½ in of cloth, buy ⅞ yd.
        ("55/2", "⅞ yd", "0.7 m"),
        # Quilt backing help, quilters' group: two lengths of 68 in are 136 in.
        ("136", "3⅞ yd", "3.5 m"),
        # Five-inch squares and strips per yard lists: half a yard is 18 in.
        ("18", "½ yd", "0.5 m"),
        ("36", "1 yd", "1 m"),
        # By hand: a hair over a step is the next step.
        ("289/8", "1⅛ yd", "1 m"),
        ("1/8", "⅛ yd", "0.1 m"),
    ],
)
def test_cloth_is_asked_for_in_the_steps_it_is_sold_in(inches, yards, metres):
    asked = ToBuy(Fraction(inches))

    assert (asked.yards_words, asked.metres_words) == (yards, metres)
    assert str(asked) == f"{metres}, or {yards}"


@given(QUARTERS)
def test_what_is_asked_for_is_enough_and_less_than_a_step_too_much(inches):
    asked = ToBuy(inches)

    over_yards = asked.yards * 36 - inches
    over_metres = Fraction(asked.tenths_of_a_metre * 100) / Fraction(127, 5) - inches
    assert 0 <= over_yards < Fraction(9, 2)
    assert 0 <= over_metres < Fraction(1000, 254)


def test_centimetres_are_never_rounded_down():
    # 1 in = 2.54 cm: 12½ in = 31.75 cm.
    assert ToBuy(Fraction(25, 2)).centimetres_words == "31.8 cm"
    assert ToBuy(Fraction(10)).centimetres_words == "25.4 cm"


@pytest.mark.parametrize(
    ("inches", "shown"),
    [
        ("37/8", "4⅝ in"),
        ("187/16", "11 11/16 in"),
        ("1175/254", "11.75 cm"),
        ("50/127", "1 cm"),
        ("14/3", "a shade over 4⅝ in"),
    ],
)
def test_the_ruler_is_set_on_a_mark_it_has(inches, shown):
    assert ruler(Fraction(inches)) == shown


def test_two_sides_share_their_unit_where_they_have_one():
    half_a_metre = Fraction(2500, 127)

    assert by(Fraction(18), Fraction(21)) == "18 × 21 in"
    assert by(half_a_metre, Fraction(2750, 127)) == "50 × 55 cm"
    assert by(half_a_metre, Fraction(21)) == "50 cm × 21 in"


# ---------------------------------------------------------------- lists of pieces


def pieces_in(text):
    return [
        (one.piece.name, one.piece.role, one.piece.count, *one.size_inches, one.turns)
        for cloth in reading.read_pieces(text).values()
        for one in cloth
    ]


@given(
    st.lists(
        st.tuples(
            st.text("ab ,\"'é½", min_size=1, max_size=8).filter(str.strip),
            st.sampled_from(["", "dark", "star, point"]),
            st.integers(1, 999),
            QUARTERS | TENTHS,
            QUARTERS | TENTHS,
        ),
        min_size=1,
        max_size=6,
    ),
    st.booleans(),
)
def test_a_list_is_read_again_as_it_was_written(rows, turns):
    pieces = [CutPiece(name.strip(), *rest) for name, *rest in rows]

    read = pieces_in(reading.write_pieces(pieces, turns=turns))

    assert sorted(read) == sorted(
        (p.name, p.role, p.count, p.width_inches, p.height_inches, turns)
        for p in pieces
    )


@pytest.mark.parametrize(
    "text",
    [
        f"{HEAD}Goose,5 1/4,5¼,12,sky,no\n",
        "Goose,5 1/4,5¼,12,sky,no",
        "Goose, 5 1/4 , 5.25 , 12 , sky , no\n\n",
        "Goose\t5 1/4\t5 1/4\t12\tsky\tno\n",
        "Count,Turn,Name,Cloth,Width,Height\n12,no,Goose,sky,5 1/4,13.335 cm\n",
        "\n\nGoose,5 1/4,5¼,12,sky,no",
    ],
)
def test_a_list_is_read_with_heads_or_without_and_from_a_table_program(text):
    goose = Fraction(21, 4)

    assert pieces_in(text) == [("Goose", "sky", 12, goose, goose, False)]


def test_a_line_that_cannot_be_read_is_named_by_its_number():
    with pytest.raises(reading.ListUnreadable, match="Line 3, “B”: the count is “x”"):
        reading.read_pieces(f"{HEAD}A,4,4,1\nB,4,4,x\n")
    with pytest.raises(reading.ListUnreadable, match="Line 2, “B”: the count is “x”"):
        reading.read_pieces("A,4,4,1\nB,4,4,x\n")
