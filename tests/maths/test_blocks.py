"""Cutting lists of blocks against published ones, and areas against the block."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lengths import parse_length
from studio.maths import block_grids, block_stars, blocks, own_blocks, patches
from studio.maths.blocks import SizeUnkind
from studio.maths.finished_sizes import SizeAbsurd, SizeImpossible, SizeTooFine
from studio.maths.known_blocks import KNOWN, BlockUnknown, known_block
from studio.maths.metric import METRIC, redrafted
from studio.maths.patch import faces
from studio.maths.patch.recipe import USUAL, Cutting, Making
from studio.maths.surds import Surd, as_surd
from tests.maths import worked

SIZES = st.integers(16, 240).map(lambda eighths: Fraction(eighths, 8))
SEAMS = st.sampled_from(
    [Fraction(1, 4), Fraction(3, 8), Fraction(15, 2) * Fraction(5, 127)]
)
EVERY_BLOCK = worked.BLOCKS | {
    f"star {depth} deep": block_stars.sawtooth_star(depth) for depth in (3, 4, 7)
}
ALL = pytest.mark.parametrize("block", EVERY_BLOCK.values(), ids=EVERY_BLOCK)
EXACT = Making(Cutting.EXACT)


def ways_of(row):
    return dict(way.split("=") for way in row["ways"].split("; ") if way)


@pytest.mark.parametrize(
    "row",
    worked.rows("trade_blocks.csv"),
    ids=lambda r: f"{r['block']} {r['finished']} {r['ways']} {r['cutting']}",
)
def test_a_cutting_list_is_the_published_one(row):
    block, making = worked.BLOCKS[row["block"]], worked.making_of(row)

    listed = blocks.cut_list(block, parse_length(row["finished"]), making, ways_of(row))

    assert worked.cut(listed) == worked.pieces(row["pieces"])


@ALL
@settings(max_examples=10)
@given(finished=SIZES)
def test_the_patches_cover_the_block_at_every_size(block, finished):
    step = finished / block.across

    covered = sum((faces.area(one.corners) for one in block.faces()), Surd()) * step**2

    assert covered == as_surd(finished * block.height_inches(finished))


@ALL
def test_what_is_cut_covers_the_block_and_its_seams(block):
    """A wrong count would leave less cloth than the block has."""
    finished = 12 * block.across
    area = finished * block.height_inches(finished)

    listed = blocks.cut_list(block, finished, EXACT, number=2)

    cloth = sum(piece.cloth_square_inches for piece in listed)
    assert 2 * area < cloth < 2 * area * Fraction(7, 4)


@ALL
def test_no_two_patches_of_a_block_lie_on_one_another(block):
    cells = block.cells

    for n, one in enumerate(cells):
        for other in cells[:n]:
            assert (
                one.x >= other.x + other.width
                or other.x >= one.x + one.width
                or one.y >= other.y + other.height
                or other.y >= one.y + one.height
            )


def test_three_inch_corners_sew_to_a_star_of_ten_and_not_of_twelve():
    """12-in star page, 2005, gives finished sizes as cut sizes: 3-in squares are 2½
    finished, and four of them make 10; worked by hand."""
    ways = {"flying geese": "stitch and flip"}
    ten, twelve = (
        blocks.cut_list(block_stars.sawtooth_star(), Fraction(size), USUAL, ways)
        for size in (10, 12)
    )

    assert (3, 3) in worked.cut(ten)
    assert (3, 3) not in worked.cut(twelve)


def test_three_squares_and_two_bars_cut_three_inches_wide_are_seven_and_a_half():
    """Beginner's guide, UK magazine special, 2020, calls it an 8-in block: that is raw."""
    bars = "bar: a at 1 1, 3 by 1\nbar: a at 1 3, 3 by 1\n"
    squares = "\n".join(f"square: b at {x} 2" for x in (1, 2, 3))
    block = own_blocks.read_block(f"Name: raw\nSteps: 3\n{bars}{squares}")

    listed = blocks.cut_list(block, Fraction(15, 2))

    assert worked.cut(listed) == worked.pieces("3 × 3 × 3; 2 × 3 × 8")


def test_a_size_with_no_kind_one_near_it_is_told_without_one():
    piece = blocks.cut_list(block_grids.snowball(), Fraction(6))[0]
    sentence = str(SizeUnkind("snowball", Fraction(6), piece, (), USUAL.ruler))

    assert sentence.endswith("No size near it is kind. Choose exact sizes.")


@pytest.mark.parametrize("name", [one.name for one in KNOWN])
def test_every_known_block_is_covered_at_the_size_it_is_first_shown_at(name):
    known = known_block(name)
    step = known.first_inches / known.block.across

    seen = sum((faces.area(f.corners) for f in known.block.faces()), Surd()) * step**2

    whole = known.first_inches * known.block.height_inches(known.first_inches)
    assert float(seen.bounds()[0]) == pytest.approx(float(whole), rel=0.0001)


def test_a_star_of_half_the_size_fits_the_centre_exactly():
    """Common practice."""
    whole, small = block_stars.sawtooth_star(2), block_stars.sawtooth_star()

    inner = [one for one in whole.cells if 1 <= one.x < 3 and 1 <= one.y < 3]

    assert sum(one.width * one.height for one in inner) == 4
    assert len(inner) == len(small.cells)
    assert worked.cut(blocks.cut_list(whole, Fraction(8)))[:1] == worked.pieces(
        "1 × 1 1/2 × 1 1/2"
    )


@pytest.mark.parametrize("depth", range(4, 9))
def test_a_star_in_a_star_is_known_by_name_to_any_depth(depth):
    """A centre of two steps holds a star of half the size: common practice."""
    known = known_block(f"Sawtooth star, {depth} deep")

    widths = {
        piece.width_inches
        for piece in blocks.cut_list(known.block, known.first_inches)
        if piece.role == "centre"
    }

    assert known_block(known.slug) == known
    assert widths == {known.first_inches / 2**depth + Fraction(1, 2)}


@pytest.mark.parametrize("name", ["sawtooth star, 0 deep", "sawtooth star, 9 deep"])
def test_a_star_deeper_than_a_ruler_can_cut_is_not_known(name):
    with pytest.raises(BlockUnknown, match="is no block known here"):
        known_block(name)


def test_every_star_in_a_star_has_cloths_of_its_own():
    roles = block_stars.sawtooth_star(4).roles

    assert [role for role in roles if "point" in role] == [
        "fourth point",
        "third point",
        "inner point",
        "point",
    ]
    assert block_stars.sawtooth_star(8).roles[1] == "8th ground"


def test_ten_friendship_stars_need_twenty_squares_of_each_cloth():
    """Four units a star, two at a time: 40 ÷ 2, worked by hand."""
    listed = blocks.cut_list(block_stars.friendship_star(), Fraction(6), number=10)

    counts = {(p.role, p.name): p.count for p in listed}

    assert counts["point", "triangle square"] == 20
    assert counts["ground", "triangle square"] == 20
    assert counts["ground", "square"] == 40


def test_batches_are_shared_by_blocks():
    """Three hourglass blocks are two pairs of squares, not three; worked by hand."""
    listed = blocks.cut_list(block_grids.hourglass(), Fraction(6), number=3)

    assert [piece.count for piece in listed] == [2, 2]


@pytest.mark.parametrize(
    ("block", "finished", "kind"),
    [
        ("nine-patch", "8", "7⅞ in and 8¼ in"),
        ("churn dash", "10", "9¾ in and 10½ in"),
        ("sawtooth star", "7 1/4", "7 in and 7½ in"),
    ],
)
def test_an_unkind_size_is_named_with_the_kind_ones_near_it(block, finished, kind):
    """Steps of ⅜, ¾ and ½ in keep every cut on an eighth; worked by hand."""
    with pytest.raises(SizeUnkind) as refused:
        blocks.cut_list(worked.BLOCKS[block], parse_length(finished))

    assert f"The nearest kind sizes are {kind}." in str(refused.value)
    assert "finer than ⅛ in" in str(refused.value)


def test_the_sentence_about_an_unkind_size_names_the_piece():
    with pytest.raises(SizeUnkind) as refused:
        blocks.cut_list(block_grids.courthouse_steps(), Fraction(12))

    assert str(refused.value) == (
        "At 12 in the courthouse steps needs a square cut 2.9 in square, finer than "
        "⅛ in. The nearest kind sizes are 11¼ in and 12½ in. Choose one, or exact sizes."
    )


def test_an_unkind_size_can_still_be_cut_exactly():
    listed = blocks.cut_list(block_grids.nine_patch(), Fraction(8), EXACT)

    assert {piece.width_inches for piece in listed} == {Fraction(19, 6)}


@pytest.mark.parametrize("name", ["sawtooth star", "churn dash", "economy block"])
@pytest.mark.parametrize("finished", ["6", "12"])
def test_kind_sizes_are_kind(name, finished):
    block = worked.BLOCKS[name]

    for size in blocks.kind_sizes(block, parse_length(finished)):
        sides = [p.width_inches * 8 for p in blocks.cut_list(block, size)]
        assert {side.denominator for side in sides} == {1}


def test_the_deepest_star_is_kind_at_sixty_four_inches_and_not_before():
    """Its smallest step is a 512th of the block: 64 ÷ 512 = ⅛; worked by hand."""
    deepest = known_block("sawtooth star, 8 deep").block

    assert blocks.kind_sizes(deepest, Fraction(37, 4)) == (64,)


def test_a_metric_star_is_redrafted_and_cut_in_centimetres():
    """12 in to 30 cm, squares + 1.5, 3.5 and 2.5 cm: printed metric practice."""
    metric = Making(ruler=METRIC)

    listed = blocks.cut_list(
        block_stars.sawtooth_star(), redrafted(Fraction(12)), metric
    )

    assert [METRIC.show(piece.width_inches) for piece in listed] == [
        "16.5 cm",
        "9 cm",
        "18.5 cm",
        "10 cm",
    ]


@pytest.mark.parametrize(
    ("finished", "error", "words"),
    [
        (Fraction(0), SizeImpossible, "how large the sawtooth star ends up"),
        (Fraction(-8), SizeImpossible, "above nought"),
        (Fraction(3000), SizeAbsurd, "The sawtooth star would be 3000 in finished"),
        (Fraction(97, 32), SizeTooFine, "The sawtooth star falls between the marks"),
    ],
)
def test_a_block_of_no_sensible_size_is_refused(finished, error, words):
    with pytest.raises(error) as refused:
        blocks.cut_list(block_stars.sawtooth_star(), finished)

    assert words in str(refused.value)


def sides_of(face):
    return {
        frozenset((face.corners[n - 1], corner))
        for n, corner in enumerate(face.corners)
    }


@pytest.mark.parametrize(
    ("turn", "corner"), [(0, (0, 0)), (1, (1, 0)), (2, (1, 1)), (3, (0, 1))]
)
def test_a_patch_turns_clockwise(turn, corner):
    """The first half lies upper left, then upper right, lower right, lower left."""
    placed = blocks.cell(patches.HALF, ["a", "b"], (0, 0), turn=turn)

    first, second = placed.faces()

    assert corner in first.corners
    assert corner not in second.corners


def test_every_goose_of_a_star_points_at_the_centre():
    """Common practice: the ground's long side lies on the edge of the block."""
    geese = [
        face
        for face in block_stars.sawtooth_star().faces()
        if face.role == "ground" and len(face.corners) == 3
    ]

    on_the_edge = [
        side
        for face in geese
        for side in sides_of(face)
        for n in (0, 1)
        for edge in (0, 4)
        if all(point[n] == edge for point in side)
    ]

    assert len(geese) == len(on_the_edge) == 4


@pytest.mark.parametrize(
    ("block", "role"),
    [(block_stars.friendship_star(), "point"), (block_grids.churn_dash(), "dash")],
    ids=["friendship star", "churn dash"],
)
def test_what_goes_round_the_centre_shares_its_sides(block, role):
    """Common practice: a centre of a step, with one cloth along all its four sides."""
    (centre,) = (face for face in block.faces() if face.role == "centre")
    around = [face for face in block.faces() if face.role == role]

    shared = {side for face in around for side in sides_of(face)} & sides_of(centre)

    assert len(shared) == 4


def test_a_log_cabin_is_light_on_two_sides_and_dark_on_two():
    """Light 1 + 2, 3 + 4, 5 + 6 steps, dark 2 + 3, 4 + 5, 6 + 7; worked by hand."""
    block = block_grids.log_cabin(3)

    covered = {role: Fraction(0) for role in block.roles}
    for one in block.cells:
        covered[one.roles[0]] += one.width * one.height

    assert covered == {"centre": 1, "light": 21, "dark": 27}


def test_a_heart_is_as_wide_as_it_is_even():
    """The left of a heart mirrors the right: its ground has the same area."""
    for block in (
        worked.BLOCKS["heart of two lobes"],
        worked.BLOCKS["heart on four steps"],
    ):
        left = right = Surd()
        for face in block.faces():
            if face.role == "ground":
                is_left = max(x for x, _ in face.corners) <= block.across / 2
                left += faces.area(face.corners) * int(is_left)
                right += faces.area(face.corners) * int(not is_left)

        assert left == right


def test_a_way_for_an_unknown_patch_is_refused():
    with pytest.raises(patches.PatchUnknown, match="“flying goose” is no patch"):
        blocks.cut_list(
            block_stars.sawtooth_star(), Fraction(8), USUAL, {"flying goose": "folded"}
        )
