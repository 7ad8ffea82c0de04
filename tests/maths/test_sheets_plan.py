"""Sheets of rectangles against counts worked by hand, brute force and plain geometry."""

import csv
from fractions import Fraction
from functools import cache
from itertools import product
from pathlib import Path
from random import Random
from types import SimpleNamespace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from studio.lengths import parse_length, to_mm
from studio.maths.cutting.kinds import Kind
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import filling, laid, layout, spare, telling
from studio.maths.sheets.guillotine import SawTable
from studio.maths.sheets.plan import Planner
from studio.maths.sheets.problem import Problem, SheetPiece, counts
from studio.maths.sheets.refusals import PieceTooLarge, SheetSmallerThanEdges
from studio.maths.sheets.saw_cuts import NotForTheSaw, saw_cuts
from tests.maths.sheet_checking import faults, wrong_pieces

WORKED = Path(__file__).parents[1] / "worked"
USUAL = Sheet()


def worked_rows(name):
    with (WORKED / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def inches(name, width, height, count=1):
    sides = (to_mm(parse_length(side)) for side in (width, height))
    return SheetPiece(name, *sides, count)


def pieces_of(row):
    for part in row["pieces"].split("; "):
        piece, _, count = part.partition(": ")
        name, _, size = piece.partition(" ")
        yield inches(name, *size.split(" × "), int(count))


def laid_again(plan):
    """All faults of a plan, by the checker that knows nothing of it."""
    return [
        *faults(plan.laid, plan.sheet),
        *wrong_pieces(plan.laid, plan.pieces, plan.sets),
    ]


# ------------------------------------------------------------- counts worked by hand


@pytest.mark.parametrize("saw", [False, True], ids=["laser", "saw"])
@pytest.mark.parametrize(
    "row", worked_rows("sheets_layouts.csv"), ids=lambda row: row["layout"]
)
def test_each_saved_layout_takes_the_sheets_it_was_counted_for(row, saw):
    pieces = list(pieces_of(row))

    plan = layout.lay_out(pieces, USUAL, saw=saw)

    assert (plan.sheets, plan.plan.bound) == (int(row["sheets"]), int(row["sheets"]))
    assert laid_again(plan) == []


@pytest.mark.parametrize(
    ("size", "count", "proven"),
    [
        (("4 5/8", "4 5/8"), 12, True),
        (("4 1/4", "4 1/4"), 15, True),
        (("5 3/4", "5 3/4"), 6, True),
    ],
    ids=["A", "centre", "A575"],
)
def test_a_sheet_gives_as_many_squares_as_counted_by_hand(size, count, proven):
    """12 A, 15 centres and 6 A575 a sheet; worked by hand."""
    plan = layout.lay_out([inches("X", *size)], USUAL)

    assert (plan.full.sets, plan.full.is_proven) == (count, proven)
    assert list(faults(plan.full_laid, USUAL)) == []


def test_thirty_bars_fit_for_the_saw_and_no_saw_cuts_more():
    """30 turned against 27 upright in rows; worked by hand."""
    plan = layout.lay_out([inches("bar", "2 3/8", "4 1/4")], USUAL, saw=True)

    assert (plan.full.sets, plan.full.bound) == (30, 30)


def test_six_squares_fill_the_gap_beside_the_nine_inch_pair():
    """1 A1025 + 1 SQ950 + 6 SQ350 in the gap; worked by hand."""
    pair = [inches("A1025", "10 1/4", "10 1/4"), inches("SQ950", "9 1/2", "9 1/2")]

    found = spare.what_else(pair, inches("SQ350", "3 1/2", "3 1/2"), USUAL)

    assert found.count == 6
    assert found.bound >= 6


def test_a_sheet_that_cannot_hold_the_set_has_no_gap_to_fill():
    seven = [inches("A575", "5 3/4", "5 3/4", 7)]

    assert spare.what_else(seven, inches("C", "1", "1"), USUAL) is None


def test_half_a_millimetre_less_between_gives_two_more():
    """6 A575 at 2 mm, 8 at 1½ mm; worked by hand."""
    piece = inches("A575", "5 3/4", "5 3/4")

    miss = spare.near_miss([piece], USUAL, 6)

    assert (miss.gap_mm, miss.now, miss.then) == (Fraction(3, 2), 6, 8)
    assert telling.miss_line(miss, USUAL, "of A575") == (
        "A near miss: with 1½ mm gap 2 more of A575 would fit a sheet, 8 in place of 6."
    )


def test_no_near_miss_is_told_below_the_kerf():
    piece = inches("A575", "5 3/4", "5 3/4")
    narrow = Sheet(edge_mm=Fraction(0))

    assert spare.near_miss([piece], narrow, 8, kerf_mm=Fraction(2)) is None


def test_the_kerf_is_the_gap_where_it_is_wider():
    sheet = Sheet(gap_mm=Fraction(1))

    assert laid.kept_apart(sheet, Fraction(3)).gap_mm == 3
    assert laid.kept_apart(sheet, Fraction(1, 5)).gap_mm == 1


def test_two_names_of_one_size_are_both_laid():
    pieces = [inches("A425", "4 1/4", "4 1/4", 2), inches("B425", "4 1/4", "4 1/4", 3)]

    plan = layout.lay_out(pieces, USUAL, sets=3)

    assert laid_again(plan) == []
    assert (plan.sheets, plan.full.sets) == (1, 3)


def test_a_piece_that_may_not_be_turned_stays_upright():
    """300 × 100 mm in 390 × 590 mm of room: 1 across and 5 down; arithmetic."""
    upright = SheetPiece("R", Fraction(300), Fraction(100), turns=False)

    plan = layout.lay_out([upright], Sheet(Fraction(400), Fraction(600)), sets=5)

    assert plan.sheets == 1
    assert plan.full.sets == 5
    assert laid_again(plan) == []


# ------------------------------------------------------------------- what is refused


def test_a_sheet_smaller_than_its_edges_is_refused():
    with pytest.raises(SheetSmallerThanEdges, match="no room inside an edge of 200 mm"):
        layout.lay_out([inches("X", "1", "1")], Sheet(edge_mm=Fraction(200)))


def test_a_piece_too_large_both_ways_is_named_with_the_room():
    with pytest.raises(PieceTooLarge) as refused:
        layout.lay_out([inches("Ruler", "24", "2")], USUAL)

    assert str(refused.value) == (
        "Ruler is 609.6 × 50.8 mm, and the room inside the edges is 590 × 390 mm, so it "
        "does not fit in any turn it may take; use a larger sheet or a smaller piece."
    )


def test_a_long_piece_that_may_not_turn_is_refused():
    upright = SheetPiece("Ruler", Fraction(50), Fraction(500), turns=False)

    with pytest.raises(PieceTooLarge):
        layout.lay_out([upright], USUAL)


# ---------------------------------------------------------------- against brute force

SMALL = Sheet(Fraction(9), Fraction(7), Fraction(1), Fraction(1))
small_pieces = st.lists(
    st.tuples(st.integers(1, 5), st.integers(1, 5), st.integers(1, 2), st.booleans()),
    min_size=1,
    max_size=3,
)


def small_problem(sizes):
    return [
        SheetPiece(f"P{n}", Fraction(width), Fraction(height), count, turns)
        for n, (width, height, count, turns) in enumerate(sizes)
    ]


@cache
def one_sheet_holds(pieces, taken=()):
    """Try every place of a whole grid: room 7 × 5, a gap of 1 between."""
    if not pieces:
        return True
    (width, height, turns), *rest = pieces
    for wide, high in {(width, height), (height, width) if turns else (width, height)}:
        for x, y in product(range(7 - wide + 1), range(5 - high + 1)):
            if all(
                x >= right + 1
                or left >= x + wide + 1
                or y >= low + 1
                or top >= y + high + 1
                for left, top, right, low in taken
            ) and one_sheet_holds(
                tuple(rest), tuple(sorted((*taken, (x, y, x + wide, y + high))))
            ):
                return True
    return False


def least_sheets(pieces, sheets=()):
    """Put each piece on each sheet in turn."""
    if not pieces:
        return len(sheets)
    first, *rest = pieces
    tries = [
        (*sheets[:n], tuple(sorted((*sheet, first))), *sheets[n + 1 :])
        for n, sheet in enumerate(sheets)
    ]
    tries.append((*sheets, (first,)))
    return min(
        least_sheets(tuple(rest), one)
        for one in tries
        if all(one_sheet_holds(sheet) for sheet in one)
    )


@settings(max_examples=60, deadline=None)
@given(small_pieces)
def test_the_bound_is_never_over_and_the_answer_never_under_what_is_possible(sizes):
    pieces = small_problem(sizes)
    singles = tuple(
        (width, height, turns)
        for width, height, count, turns in sizes
        for _ in range(count)
    )
    assume(sum(size[2] for size in sizes) <= 4)

    plan = layout.lay_out(pieces, SMALL, seconds=0.05)

    least = least_sheets(singles)
    assert plan.plan.bound <= least <= plan.sheets
    assert laid_again(plan) == []


@settings(max_examples=60, deadline=None)
@given(small_pieces, st.integers(1, 3), st.booleans())
def test_no_plan_overlaps_leaves_the_sheet_or_misses_a_piece(sizes, sets, saw):
    plan = layout.lay_out(small_problem(sizes), SMALL, sets=sets, saw=saw, seconds=0.05)

    assert laid_again(plan) == []
    assert list(faults(plan.full_laid, SMALL)) == []
    assert plan.full.sets <= plan.full.bound
    assert plan.plan.bound <= plan.sheets


# --------------------------------------------------- weighings, and the saw's own table

kinds = st.lists(
    st.builds(
        Kind,
        st.integers(3, 20),
        st.integers(3, 20),
        st.integers(1, 4),
        st.booleans(),
    ),
    min_size=1,
    max_size=4,
)


@settings(max_examples=60, deadline=None)
@given(kinds, st.booleans(), st.integers(0, 999))
def test_no_sheet_that_can_be_laid_weighs_more_than_the_limit(some, saw, seed):
    problem = Problem(41, 29, tuple(some), saw=saw)
    planner = Planner(problem, seconds=0.05)
    plenty = [99] * len(planner.problem.kinds)
    chance = Random(seed)

    sheets = [filling.filled(planner.problem, plenty, chance) for _ in range(10)]
    held = [
        counts(sheet, len(plenty)) for sheet in (*sheets, *planner.pool.sheets.values())
    ]

    assert [
        (weighing, one)
        for weighing in planner.weighings
        for one in held
        if weighing.of(one) > weighing.limit
    ] == []


@cache
def heaviest(width, height, ways):
    """Cut one sheet side to side everywhere: the plain rule, without any saving."""
    best = max((w for a, b, w in ways if a <= width and b <= height), default=0)
    for x in range(1, width // 2 + 1):
        parted = heaviest(x, height, ways) + heaviest(width - x, height, ways)
        best = max(best, parted)
    for y in range(1, height // 2 + 1):
        parted = heaviest(width, y, ways) + heaviest(width, height - y, ways)
        best = max(best, parted)
    return best


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.integers(2, 9), st.integers(2, 9), st.integers(1, 50), st.booleans()
        ),
        min_size=1,
        max_size=3,
    ),
    st.integers(9, 16),
    st.integers(9, 14),
)
def test_few_places_are_enough_for_the_saws_heaviest_sheet(sizes, width, height):
    some = tuple(Kind(w, h, 1, turns) for w, h, _, turns in sizes)
    weights = [weight for *_, weight, _ in sizes]
    ways = tuple(
        (wide, high, weight)
        for kind, weight in zip(some, weights, strict=True)
        for wide, high, _ in kind.ways
    )
    table = SawTable(Problem(width, height, some, saw=True))

    pattern = table.best(weights)

    assert table.value(weights) == heaviest(width, height, ways)
    assert sum(weights[spot.kind] for spot in pattern) == table.value(weights)


# ------------------------------------------------------------------ cuts from side to side


def test_the_saw_parts_every_piece_by_cuts_from_side_to_side():
    """Three strips of 196 mm across 600 mm, edges of 3 mm: worked by hand."""
    sheet = Sheet(Fraction(600), Fraction(100), Fraction(3), Fraction(3))
    piece = SheetPiece("Strip", Fraction(196), Fraction(94), 3)

    plan = layout.lay_out([piece], sheet, saw=True)
    cuts = saw_cuts(plan.laid, sheet)

    first_two = [
        (cut.down, cut.at_mm) for cut in cuts if cut.to_mm - cut.from_mm == 100
    ]
    assert (True, Fraction(199)) in first_two
    assert [cut.number for cut in cuts] == list(range(1, len(cuts) + 1))


def test_a_whirl_of_four_cannot_be_sawn():
    """Four bars round a square: no line from side to side; plain geometry."""
    spots = [(0, 0, 2, 1), (2, 0, 1, 2), (1, 2, 2, 1), (0, 1, 1, 2)]
    whirl = [
        SimpleNamespace(x_mm=x, y_mm=y, width_mm=width, height_mm=height)
        for x, y, width, height in spots
    ]

    with pytest.raises(NotForTheSaw):
        saw_cuts(whirl, Sheet(*map(Fraction, (3, 3, 0, 0))))


@settings(max_examples=40, deadline=None)
@given(small_pieces)
def test_whatever_is_laid_for_the_saw_can_be_sawn(sizes):
    plan = layout.lay_out(small_problem(sizes), SMALL, saw=True, seconds=0.05)

    for _, ones in plan.alike():
        assert len(saw_cuts(ones, SMALL)) <= 5 * len(ones)
