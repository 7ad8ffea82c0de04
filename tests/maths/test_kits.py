"""Kits from bundles: counts by hand, published counts, and whole plans beside them."""

import json
from fractions import Fraction
from time import monotonic

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.computer import ROOT
from studio.maths import cutting_kits, cutting_kits_by_plans, cutting_plan, kit_lines
from studio.maths.cloth import (
    FAT_QUARTER,
    FIVE_INCH_SQUARE,
    STRIP,
    TEN_INCH_SQUARE,
    Bundle,
    BundleEmpty,
    FromOnePrint,
    PreCut,
)
from studio.maths.cutting_kits import Project
from studio.maths.cutting_list import CutPiece
from studio.maths.cutting_units import CannotCut, Wanted
from studio.maths.known_blocks import known_block

EIGHTH = Fraction(1, 8)
EVERY_RULE = list(FromOnePrint)


def wanted(name, width, height, count, role="dark"):
    return Wanted(CutPiece(name, role, count, Fraction(width), Fraction(height)))


def bundle(shape, pieces, prints):
    return Bundle("FB", shape, pieces, prints)


def kits(project, cloth, rule=FromOnePrint.NOTHING, **more):
    return cutting_kits.kits_from(project, cloth, rule=rule, **more)


# ---------------------------------------------------------------- published and by hand


def test_three_eight_inch_stars_come_from_one_fat_quarter():
    # Three 8-in sawtooth stars from one fat quarter, blog tutorial, Mar 2018: 5¼, 4½,
    # four 2½ and four 2⅞ in squares a star, from a fat quarter of 20½ × 17¼ in.
    [line] = kit_lines.read_kits("star, sawtooth star, 8, 1", known_block)
    cloth = bundle(PreCut("fat quarter", Fraction(41, 2), Fraction(69, 4)), 1, 1)

    found = kits(line.project(FromOnePrint.KIT), cloth, FromOnePrint.KIT, seconds=20)

    # By area no more than three: 353⅝ sq in, and 105⅞ sq in a star.
    assert (found.kits, found.ceiling) == (3, 3)


@pytest.mark.parametrize(
    ("width", "length", "side", "squares"),
    [(18, 22, "5/2", 56), (18, 22, 4, 20), (18, 22, 5, 12), (18, 22, "13/2", 6)],
)
def test_a_kit_of_all_squares_of_a_piece_comes_once_from_each_piece(
    width, length, side, squares
):
    # 'Number of Squares from a Fat Quarter' handout; math charts page, 2002.
    cloth = bundle(PreCut("fat quarter", Fraction(width), Fraction(length)), 8, 8)
    kit = Project("kit", (wanted("S", side, side, squares),))
    more = Project("kit", (wanted("S", side, side, squares + 1),))

    assert kits(kit, cloth, FromOnePrint.KIT).kits == 8
    assert kits(more, cloth, FromOnePrint.KIT).ceiling == 0
    assert cutting_kits.bundles_for(40, kit, cloth).bundles == 5


def test_a_ten_inch_square_of_each_of_two_prints_gives_eight_triangle_squares():
    # Eight at a time, 4 in finished: a square of 9¾ in of each of two cloths; computed
    # from the formulas, no single published row.
    kit = Project(
        "eight",
        (
            wanted("light", "39/4", "39/4", 1, "light"),
            wanted("dark", "39/4", "39/4", 1, "dark"),
        ),
    )

    found = kits(kit, bundle(TEN_INCH_SQUARE, 42, 21), FromOnePrint.ROLE)

    # Two squares to a kit, of whichever prints: 42 squares are 21 kits.
    assert (found.kits, found.ceiling, found.pieces_left) == (21, 21, 0)


def test_two_squares_of_one_print_make_a_kit_that_takes_both():
    # By hand: a square of 4½ in is one to a 5 in square; 42 squares in 21 prints.
    kit = Project("pair", (wanted("S", "9/2", "9/2", 2),))

    assert kits(kit, bundle(FIVE_INCH_SQUARE, 42, 21), FromOnePrint.KIT).kits == 21
    assert kits(kit, bundle(FIVE_INCH_SQUARE, 42, 42), FromOnePrint.KIT).kits == 0
    assert kits(kit, bundle(FIVE_INCH_SQUARE, 42, 42)).kits == 21


def test_prints_that_are_not_alike_in_number_are_told_as_bounds():
    # By hand: 5 squares in 2 prints are 3 and 2, so one kit of three.
    kit = Project("three", (wanted("S", "9/2", "9/2", 3),))

    found = kits(kit, bundle(FIVE_INCH_SQUARE, 5, 2), FromOnePrint.KIT)

    assert found.kits <= 1 <= found.ceiling
    assert not found.is_proven


def test_one_print_a_block_lets_a_kit_have_several():
    # By hand: a block takes a whole 10 in square; three blocks to a kit, 12 squares.
    block = (wanted("S", 9, 9, 1),)
    cloth = bundle(TEN_INCH_SQUARE, 12, 12)

    assert kits(Project("k", block, 3), cloth, FromOnePrint.BLOCK).kits == 4
    assert kits(Project("k", block, 3), cloth, FromOnePrint.KIT).kits == 0


def test_prints_of_two_bundles_are_not_joined():
    # By hand: each bundle is one square short of a second kit of its one print.
    kit = Project("two", (wanted("S", "9/2", "9/2", 2),))
    one = bundle(FIVE_INCH_SQUARE, 3, 1)

    assert kits(kit, one, FromOnePrint.KIT).kits == 1
    assert kits(kit, one.times(2), FromOnePrint.KIT).kits == 2
    assert kits(kit, one.times(2)).kits == 3


def test_a_bundle_of_five_fat_quarters_makes_so_many_kits_and_says_what_stays():
    # By hand: 12 squares of 4⅝ in to a fat quarter, so 60 in five; 8 to a kit.
    kit = cutting_kits.Project("cushion", (wanted("A", "37/8", "37/8", 8),))
    bundle = Bundle("Fog on the Fell", FAT_QUARTER, 5, 5)

    any_print = cutting_kits.kits_from(kit, bundle)
    one_print = cutting_kits.kits_from(kit, bundle, rule=FromOnePrint.KIT)

    assert (any_print.kits, any_print.pieces_left, any_print.is_proven) == (7, 0, True)
    assert (one_print.kits, one_print.pieces_left, one_print.is_proven) == (5, 0, True)


def test_forty_kits_take_the_bundles_that_whole_pieces_give():
    # By hand: 40 × 8 squares, 12 to a fat quarter: 27 fat quarters, 6 bundles of 5.
    kit = cutting_kits.Project("cushion", (wanted("A", "37/8", "37/8", 8),))
    bundle = Bundle("Fog on the Fell", FAT_QUARTER, 5, 5)

    needed = cutting_kits.bundles_for(40, kit, bundle)

    assert (needed.bundles, needed.at_least) == (6, 6)


def test_each_role_from_one_print_is_between_any_print_and_one_print():
    pieces = (
        wanted("A", 4, 4, 4, role="dark"),
        wanted("B", "5/2", "5/2", 9, role="light"),
    )
    kit = cutting_kits.Project("mat", pieces)
    bundle = Bundle("Tin Roof Rain", TEN_INCH_SQUARE, 12, 12)

    kits = [
        cutting_kits.kits_from(kit, bundle, rule=rule).kits
        for rule in (FromOnePrint.NOTHING, FromOnePrint.ROLE, FromOnePrint.KIT)
    ]

    # By hand: four 4 in squares fill a ten-inch square but for strips under 2½ in, and
    # sixteen 2½ in squares fill one, of which a role takes nine.
    assert kits == [7, 6, 0]


def test_every_bundle_is_asked_about_every_project():
    small = cutting_kits.Project("coaster", (wanted("A", 4, 4, 1),))
    large = cutting_kits.Project("tote", (wanted("A", 9, 9, 2),))
    bundles = [
        Bundle("squares", FIVE_INCH_SQUARE, 40, 20),
        Bundle("quarters", FAT_QUARTER, 5, 5),
    ]

    found = cutting_kits.what_makes_what(bundles, [small])
    refused = pytest.raises(CannotCut)

    assert [(one.cloth, one.kits) for one in found] == [
        ("squares", 40),
        ("quarters", 100),
    ]
    with refused:
        cutting_kits.what_makes_what(bundles, [large])


def test_a_bundle_with_no_prints_is_refused():
    with pytest.raises(BundleEmpty, match="Write how many pieces and prints it holds"):
        Bundle("FB-01", FAT_QUARTER, 5, 0)


# ---------------------------------------------------------------- known answers


def instances():
    path = ROOT / "tests/worked/cutting_instances.jsonl"
    rows = map(json.loads, path.read_text(encoding="utf-8").splitlines())
    return [row for row in rows if row["family"] == "kits"]


@pytest.mark.parametrize("row", instances(), ids=lambda row: row["id"])
def test_blocks_whose_roles_are_of_one_print_are_counted_as_listed(row):
    """Each row names its source: every way of cutting one piece was listed."""
    width, height = (side * EIGHTH for side in row["stock"])
    pieces = tuple(
        Wanted(CutPiece(f"{sides}", str(role), count, *(s * EIGHTH for s in sides)))
        for role, counts in enumerate(row["roles"])
        for sides, count in zip(row["types"], counts, strict=True)
        if count
    )
    sizes = len({piece.size_inches for piece in pieces})
    for many, blocks in list(row["answer"]["blocks"].items())[-2:]:
        cloth = bundle(PreCut("cloth", width, height), int(many), int(many))

        found = kits(
            Project("block", pieces), cloth, FromOnePrint.BLOCK_ROLE, seconds=0.2
        )

        assert found.kits <= blocks <= found.ceiling
        assert sizes > 3 or found.is_proven


# ---------------------------------------------------------------- plans beside them


@st.composite
def projects(draw):
    eighths = st.integers(8, 60).map(lambda n: Fraction(n, 8))
    return Project(
        "kit",
        tuple(
            wanted(
                f"P{number}",
                draw(eighths),
                draw(eighths),
                draw(st.integers(1, 5)),
                draw(st.sampled_from(["dark", "light"])),
            )
            for number in range(draw(st.integers(1, 4)))
        ),
        draw(st.integers(1, 3)),
    )


@given(projects(), st.integers(1, 6))
@settings(max_examples=8, deadline=None)
def test_so_many_kits_can_be_planned_and_one_more_cannot(project, pieces):
    cloth = bundle(TEN_INCH_SQUARE, pieces, pieces)

    found = kits(project, cloth, seconds=0.3)

    if found.kits:
        assert least_pieces(project, found.kits).bound <= pieces
    assert least_pieces(project, found.ceiling + 1).used > pieces


def least_pieces(project, number):
    pieces = [
        wanted(
            one.piece.name,
            *one.size_inches,
            one.piece.count * project.blocks * number,
        )
        for one in project.wanted
    ]
    return cutting_plan.fewest_pieces(pieces, TEN_INCH_SQUARE, seconds=0.2)


STRICTER = [
    (FromOnePrint.KIT, FromOnePrint.ROLE),
    (FromOnePrint.ROLE, FromOnePrint.BLOCK_ROLE),
    (FromOnePrint.KIT, FromOnePrint.BLOCK),
    (FromOnePrint.BLOCK, FromOnePrint.BLOCK_ROLE),
    (FromOnePrint.BLOCK_ROLE, FromOnePrint.NOTHING),
]


@given(projects(), st.sampled_from([(4, 4), (6, 3), (7, 3)]))
@settings(max_examples=5, deadline=None)
def test_a_stricter_rule_never_makes_more_kits(project, size):
    cloth = bundle(TEN_INCH_SQUARE, *size)

    found = {rule: kits(project, cloth, rule, seconds=0.2) for rule in EVERY_RULE}

    assert [found[one].kits <= found[other].ceiling for one, other in STRICTER] == [
        True
    ] * len(STRICTER)


@given(projects(), st.sampled_from(EVERY_RULE), st.sampled_from([(4, 4), (6, 3)]))
@settings(max_examples=8, deadline=None)
def test_plans_alone_agree_with_what_is_exact(project, rule, size):
    cloth = bundle(TEN_INCH_SQUARE, *size)

    exact = kits(project, cloth, rule, seconds=0.3)
    plans = cutting_kits_by_plans.kits_from(project, cloth, rule, monotonic() + 0.2)

    assert plans.kits <= exact.ceiling
    assert exact.kits <= plans.ceiling
    assert 0 <= plans.pieces_left <= size[0]


@pytest.mark.parametrize("rule", EVERY_RULE)
def test_forty_kits_take_bundles_enough_for_forty(rule):
    pieces = (wanted("A", 4, 4, 4, "dark"), wanted("B", "5/2", "5/2", 9, "light"))
    kit, cloth = Project("mat", pieces), bundle(FAT_QUARTER, 12, 12)

    needed = cutting_kits.bundles_for(40, kit, cloth, rule=rule)

    assert needed.at_least <= needed.bundles
    assert kits(kit, cloth.times(needed.bundles), rule).kits >= 40
    assert kits(kit, cloth.times(needed.at_least - 1), rule).kits < 40


def test_many_sizes_are_told_as_bounds_and_a_piece_that_does_not_fit_is_named():
    logs = tuple(wanted(f"L{n}", n + 2, 2, 2) for n in range(9))
    kit = Project("log cabin", logs)

    found = kits(kit, bundle(FAT_QUARTER, 5, 5), seconds=0.5)

    # By area: 378 sq in a piece, 216 sq in a kit, so no more than eight from five.
    assert 5 <= found.kits <= found.ceiling <= 8
    with pytest.raises(CannotCut, match="“L9” is 3 × 3 in"):
        kits(Project("k", (wanted("L9", 3, 3, 1),)), bundle(STRIP, 40, 20))


# ---------------------------------------------------------------- kits as she writes them


def test_kits_are_read_a_line_each():
    lines = "cushion, sawtooth star, 8, 4\n\nmat, Nine-patch, 6 in, 2\n"

    found = kit_lines.read_kits(lines, known_block)

    assert [(one.name, one.words) for one in found] == [
        ("cushion", "4 × sawtooth star, 8 in square finished"),
        ("mat", "2 × nine-patch, 6 in square finished"),
    ]


def test_units_made_four_at_a_time_are_cut_for_all_blocks_of_a_kit():
    # Fast flying geese chart: one large square gives four; seven take two.
    [line] = kit_lines.read_kits("geese, flying geese, 4, 7", known_block)

    together = line.project(FromOnePrint.NOTHING)
    apart = line.project(FromOnePrint.BLOCK)

    assert (together.wanted[0].piece.count, together.blocks) == (2, 1)
    assert (apart.wanted[0].piece.count, apart.blocks) == (1, 7)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (
            "cushion, sawtooth star, 8",
            "Line 1, “cushion, sawtooth star, 8”: write name",
        ),
        (", sawtooth star, 8, 4", "write name, block, size and how many"),
        ("a, garden gate, 8, 4", "is no block known here"),
        ("a, pinwheel, 0, 4", "Line 1"),
        ("a, pinwheel, 3000, 4", "Line 1"),
        ("a, pinwheel, 4 5/0, 4", "Line 1"),
        ("ok, pinwheel, 6, 4\na, pinwheel, 6, none", "Line 2, .*no number of blocks"),
        ("a, pinwheel, 6, 201", "Write 1 to 200."),
        ("a, pinwheel, 6, 1\n" * 7, "7 kits are more than the 6"),
    ],
)
def test_a_line_that_is_no_kit_is_named(typed, said):
    with pytest.raises(kit_lines.StudioError, match=said):
        kit_lines.read_kits(typed, known_block)
