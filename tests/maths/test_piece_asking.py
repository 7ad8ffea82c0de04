"""A piece as it is asked for, in inches or millimetres, by its cut or finished size."""

from fractions import Fraction

import pytest

from studio.lengths import parse_length
from studio.maths import piece_asking, piece_pictures
from studio.maths.piece_asking import PieceUnreadable
from studio.maths.piece_finding import KnownPiece, Match


def sides(shape, typed, unit="in", narrow=""):
    piece = piece_asking.read_piece(shape, typed, narrow, unit=unit)
    return piece.width_inches, piece.height_inches


@pytest.mark.parametrize(
    ("shape", "typed", "unit", "width", "height"),
    [
        ("cut", "4 1/4", "in", "4 1/4", "4 1/4"),
        ("cut", "4¼ × 2⅜", "in", "4 1/4", "2 3/8"),
        ("cut", "4 1/4x2 3/8", "in", "4 1/4", "2 3/8"),
        ("cut", "4 1/4 by 2 3/8", "in", "4 1/4", "2 3/8"),
        # 25.4 mm to the inch, exactly: the international yard and pound of 1959.
        ("cut", "107.95 × 60.325", "mm", "4 1/4", "2 3/8"),
        ("cut", "107.95 × 60.325 mm", "in", "4 1/4", "2 3/8"),
        ("cut", "4 1/4 in", "mm", "4 1/4", "4 1/4"),
        # + 1/2, + 7/8 and + 1 1/4 in: common practice, printed in quilters' charts.
        ("finished", "3 3/4 × 1 7/8", "in", "4 1/4", "2 3/8"),
        ("halves", "3 3/4", "in", "4 5/8", "4 5/8"),
        ("quarters", "3", "in", "4 1/4", "4 1/4"),
    ],
)
def test_a_piece_is_read_as_a_maker_writes_it(shape, typed, unit, width, height):
    assert sides(shape, typed, unit) == (parse_length(width), parse_length(height))


def test_a_tapered_piece_has_a_short_side():
    piece = piece_asking.read_piece("tapered", "5 × 5", "3 1/2")

    assert piece.narrow_inches == Fraction(7, 2)


@pytest.mark.parametrize(
    ("shape", "typed", "narrow", "unit", "sentence"),
    [
        ("cut", "0", "", "in", "A piece has sizes above nought."),
        ("cut", "-4", "", "in", "“-4” is below nought."),
        ("cut", "3000", "", "in", "150 in is the limit."),
        ("cut", "4 5/0", "", "in", "Nothing can be parted into noughts"),
        ("cut", "4.5.1", "", "in", "“4.5.1” is not a length."),
        ("cut", "4 × 5 × 6", "", "in", "Write one side, or two"),
        ("cut", "4 ×", "", "in", "No length is written."),
        ("halves", "4 × 5", "", "in", "write its one finished side."),
        ("tapered", "5 × 5", "", "in", "The short side of the piece cannot be “”."),
        ("tapered", "5 × 5", "5", "in", "It is shorter than the long side, 5 in."),
    ],
)
def test_a_piece_that_cannot_be_is_named_with_its_limit(
    shape, typed, narrow, unit, sentence
):
    with pytest.raises(PieceUnreadable) as refused:
        piece_asking.read_piece(shape, typed, narrow, unit=unit)

    assert sentence in str(refused.value)


def test_the_tolerance_has_a_limit():
    assert piece_asking.read_tolerance("0.4", "mm") == Fraction(2, 127)
    with pytest.raises(PieceUnreadable, match=r"The tolerance .* 2 in is the limit"):
        piece_asking.read_tolerance("3", "in")


def test_found_pieces_are_drawn_to_one_scale():
    """120 px for the longest side of all, 5 in: 24 px an inch, and 3 px round it."""
    wanted = KnownPiece("piece", Fraction(4), Fraction(2))
    large = KnownPiece("L", Fraction(5), Fraction(2))
    small = KnownPiece("S", Fraction(2), Fraction(3))

    scale = piece_pictures.common_scale([wanted, large, small])
    drawings = [
        piece_pictures.match_svg(Match(wanted, one), scale) for one in (large, small)
    ]

    assert scale == 24
    assert 'viewBox="0 0 126 54"' in drawings[0]
    # The wanted piece lies turned beside the small one: 2 × 4 over 2 × 3.
    assert 'viewBox="0 0 54 102"' in drawings[1]
    assert "wanted, dashed: 4 × 2 in" in drawings[1]
