"""The pieces of a template set: one for each size that is cut to or trimmed to."""

from fractions import Fraction

import pytest

from studio.lengths import parse_length
from studio.maths import shapes
from studio.maths.block_asking import Asked, read_ways
from studio.maths.blocks import SizeUnkind
from studio.maths.cloth import FAT_QUARTER, TEN_INCH_SQUARE
from studio.maths.explained import show_surd
from studio.maths.finished_sizes import SizeImpossible
from studio.maths.known_blocks import KNOWN, known_block
from studio.maths.metric import METRIC, millimetres
from studio.maths.patch.recipe import Making
from studio.maths.pre_cut_counts import in_words, pre_cut_pieces
from studio.maths.surds import as_surd
from studio.maths.template_sets import template_set


def set_of(block, size, ways=""):
    known = known_block(block)
    return template_set(Asked(known, parse_length(size), ways=read_ways(known, ways)))


def written(pieces):
    return [
        (one.name, one.exact_words, one.trade_words, one.mm_words) for one in pieces
    ]


def bare(piece):
    return piece.trade_words.removesuffix(" square").removesuffix(" in")


def test_a_piece_says_what_it_is_for():
    """Cut at 4⅝, trim to 4¼, and the centre is that size as well: worked by hand."""
    assert [one.use_words for one in set_of("churn dash", "11 1/4")] == [
        "cut the triangle square (dash and ground)",
        "cut the square (centre); trim the half-square triangle",
        "cut the outer bar (ground); cut the inner bar (dash)",
    ]


def test_a_metric_set_stays_metric():
    """30 cm, seam 7.5 mm: squares 10 + 1.5, half squares 10 + 2.5: UK magazine, 2008."""
    known = known_block("churn dash")
    found = template_set(Asked(known, millimetres(300), Making(ruler=METRIC)))

    assert written(found) == [
        ("A square", "125.607 mm square", "12.5 cm square", "125 mm square"),
        ("centre square", "115 mm square", "11.5 cm square", "115 mm square"),
        ("bar", "65 × 115 mm", "6.5 × 11.5 cm", "65 × 115 mm"),
    ]


def test_the_pieces_of_an_eleven_and_a_quarter_inch_frame():
    """A 4⅝, centre 4¼, bar 2⅜ × 4¼, and their millimetres: worked by hand."""
    assert written(set_of("churn dash", "11 1/4")) == [
        ("A square", "4¼ + ¼√2 in square", "4⅝ in square", "117.475 mm square"),
        ("centre square", "4¼ in square", "4¼ in square", "107.95 mm square"),
        ("bar", "2⅜ × 4¼ in", "2⅜ × 4¼ in", "60.325 × 107.95 mm"),
    ]


@pytest.mark.parametrize(
    ("block", "size", "sizes"),
    [
        ("hourglass", "3", ["4¼", "3½"]),
        ("hourglass", "4 1/2", ["5¾", "5"]),
        ("hourglass", "9", ["10¼", "9½"]),
        ("churn dash", "4 1/2", ["2⅜", "2", "1¼ × 2"]),
        ("churn dash", "9", ["3⅞", "3½", "2 × 3½"]),
        ("churn dash", "13 1/2", ["5⅜", "5", "2¾ × 5"]),
    ],
)
def test_the_sets_that_the_demo_sells(block, size, sizes):
    """A = F + 1¼ and F + ½; u + ⅞, u + ½ and u/2 + ½ by u + ½: the demo's rules."""
    assert [bare(one) for one in set_of(block, size)] == sizes


@pytest.mark.parametrize(
    ("block", "size", "piece", "form"),
    [
        ("pinwheel", "8", "A square", 4 + shapes.Fraction(1, 4) * (2 + shapes.ROOT_2)),
        (
            "hourglass",
            "4",
            "A square",
            4 + shapes.Fraction(1, 4) * (2 + 2 * shapes.ROOT_2),
        ),
        (
            "diamond in a square",
            "8",
            "centre square",
            4 * shapes.ROOT_2 + as_surd(1) / 2,
        ),
        (
            "economy block",
            "8",
            "B square",
            2 * shapes.ROOT_2 + shapes.Fraction(1, 4) * (2 + shapes.ROOT_2),
        ),
    ],
)
def test_the_exact_form_is_that_of_the_handbook(block, size, piece, form):
    """s(2 + √2) for half squares, s(2 + 2√2) for quarters: plane geometry."""
    found = {one.name: one for one in set_of(block, size)}[piece]

    assert found.width.form == form
    assert found.exact_words == f"{show_surd(form)} in square"


@pytest.mark.parametrize("known", KNOWN, ids=lambda known: known.slug)
def test_no_piece_is_smaller_than_geometry_wants_and_none_stands_twice(known):
    """The inch constants of the trade are rounded up, never down: common practice."""
    pieces = template_set(Asked(known, known.first_inches))

    # A mark of the ruler counts as met within 0.003 in, the thickness of its line.
    slack = Fraction(3, 1000)
    for piece in pieces:
        for side in (piece.width, piece.height):
            assert -slack <= side.trade_inches - side.exact_inches <= Fraction(1, 4)
    assert len({one.size for one in pieces}) == len(pieces)
    assert len({one.name for one in pieces}) == len(pieces)


def test_every_size_of_the_cut_list_has_its_piece():
    """The cut list is checked against printed charts elsewhere."""
    for known in KNOWN:
        asked = Asked(known, known.first_inches)
        sizes = {one.size for one in template_set(asked)}

        cut = {
            tuple(sorted((one.width_inches, one.height_inches)))
            for one in asked.cut_list()
        }
        assert cut - sizes == set()


def test_another_way_asks_for_other_pieces():
    """Stitch and flip: bars 4½ × 2½ and squares 2½; four at a time: 5¼ and 2⅞.

    Source: Sawtooth Star block, quilting magazine, 2013; geese chart, personal page.
    """
    usual = {bare(one) for one in set_of("sawtooth star", "8")}
    flipped = {
        bare(one)
        for one in set_of("sawtooth star", "8", "flying geese=stitch and flip")
    }

    assert usual - flipped == {"5¼", "2⅞"}
    assert flipped == {"4½", "2½ × 4½", "2½"}


def test_a_piece_off_every_ruler_is_written_as_a_fraction():
    """9¼ / 3 + ½ = 3 7/12: arithmetic."""
    with pytest.raises(SizeUnkind, match="The nearest kind sizes are 9 in"):
        set_of("churn dash", "9 1/4")


def test_no_set_for_a_size_of_nought():
    with pytest.raises(SizeImpossible, match="above nought"):
        set_of("churn dash", "0")


def test_negative_terms_come_after_the_others():
    assert show_surd(as_surd(12) - 6 * shapes.ROOT_2) == "12 − 6√2"
    assert show_surd(6 * shapes.ROOT_2 - Fraction(11, 2)) == "6√2 − 5½"


def test_twenty_four_a_squares_from_pre_cut_cloth():
    """12 a fat quarter and 4 a ten-inch square: 2 or 6; worked by hand."""
    side = parse_length("4 5/8")

    assert pre_cut_pieces(side, side, 24, FAT_QUARTER) == 2
    assert pre_cut_pieces(side, side, 24, TEN_INCH_SQUARE) == 6
    assert in_words(side, side, 24) == "2 fat quarters or 6 ten-inch squares"


def test_a_piece_that_only_fits_turned_is_counted_turned():
    """A bar 20 × 4 in lies along the 21 in of a fat quarter: 4 of them; arithmetic."""
    assert pre_cut_pieces(Fraction(20), Fraction(4), 4, FAT_QUARTER) == 1
    assert pre_cut_pieces(Fraction(20), Fraction(4), 4, TEN_INCH_SQUARE) is None


def test_a_piece_larger_than_a_fat_quarter_comes_off_the_bolt():
    assert in_words(Fraction(22), Fraction(22), 1).startswith("cloth off the bolt")
