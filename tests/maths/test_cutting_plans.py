"""Cutting plans as a maker meets them: sizes, cuts, scraps, kits and refusals."""

import json
from fractions import Fraction
from types import SimpleNamespace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from studio.maths import cutting_plan
from studio.maths.cloth import (
    FAT_QUARTER,
    TEN_INCH_SQUARE,
    Bolt,
    PreCut,
)
from studio.maths.cutting_list import CutPiece
from studio.maths.cutting_plan_drawing import drawing, key_lines
from studio.maths.cutting_plan_parts import parts_of
from studio.maths.cutting_plan_words import (
    answer,
    as_json,
    cut_lines,
    scrap_lines,
    takes,
)
from studio.maths.cutting_units import CannotCut, TooMany, Wanted
from tests.maths.cutting_checker import overlaps

INCH = Fraction(1)
AMPLE = 20.0


def wanted(name, width, height, count, *, role="dark", turns=True):
    piece = CutPiece(name, role, count, Fraction(width), Fraction(height))
    return Wanted(piece, turns)


def test_twelve_blocks_take_two_fat_quarters_or_six_ten_inch_squares():
    # Worked by hand: 3 × 4 to a fat quarter of 18 × 21 in, 2 × 2 to a square.
    squares = [wanted("A", "37/8", "37/8", 24)]

    quarters = cutting_plan.fewest_pieces(squares, FAT_QUARTER)
    tens = cutting_plan.fewest_pieces(squares, TEN_INCH_SQUARE)

    assert (quarters.used, quarters.bound) == (2, 2)
    assert (tens.used, tens.bound) == (6, 6)


# Squares from one piece, floor(width / side) × floor(length / side): published tables
# of squares from a yard, a half yard and a quarter of a metre, which agree on these.
@pytest.mark.parametrize(
    ("across", "along", "side", "count"),
    [
        (18, 22, "5/2", 56),
        (18, 22, 4, 20),
        (18, 22, "13/2", 6),
        (42, 36, 5, 56),
        (42, 36, 10, 12),
        (42, 9, 5, 8),
    ],
)
def test_as_many_squares_come_from_a_piece_as_rows_and_columns_give(
    across, along, side, count
):
    cloth = PreCut("cloth", Fraction(across), Fraction(along))

    just = cutting_plan.fewest_pieces([wanted("S", side, side, count)], cloth)
    one_more = cutting_plan.fewest_pieces([wanted("S", side, side, count + 1)], cloth)

    assert (just.used, just.bound) == (1, 1)
    assert (one_more.used, one_more.bound) == (2, 2)


def test_straightening_is_added_once_to_the_length_off_a_bolt():
    squares = [wanted("S", 5, 5, 16)]

    plain = cutting_plan.least_length(squares, Bolt(Fraction(42)))
    straightened = cutting_plan.least_length(squares, Bolt(Fraction(42), INCH))

    assert (plain.used, straightened.used) == (10, 11)
    assert straightened.is_proven


def test_a_print_that_runs_one_way_is_not_turned_and_may_take_more():
    strips = [wanted("Leaf", 4, 20, 2, turns=False)]
    free = [wanted("Leaf", 4, 20, 2)]

    one_way = cutting_plan.least_length(strips, Bolt(Fraction(40)))
    turned = cutting_plan.least_length(free, Bolt(Fraction(40)))

    assert (one_way.used, turned.used) == (20, 4)
    assert not any(place.is_turned for place in one_way.placements)


def cut_areas(plan):
    """Square inches of all pieces and of all scraps."""
    return tuple(
        sum((part.width_inches * part.height_inches for part in parts), Fraction(0))
        for parts in (plan.placements, plan.scraps)
    )


@st.composite
def lists(draw):
    eighths = st.integers(8, 100).map(lambda n: Fraction(n, 8))
    return [
        wanted(f"P{number}", draw(eighths), draw(eighths), draw(st.integers(1, 9)))
        for number in range(draw(st.integers(1, 4)))
    ]


@given(lists(), st.sampled_from(["2E", "2N", "3E", "3N"]))
@settings(max_examples=60, deadline=None)
def test_pieces_and_scraps_together_are_the_cloth(pieces, stages):
    plan = cutting_plan.least_length(pieces, Bolt(), stages=stages, seconds=0.3)

    assert sum(cut_areas(plan)) == plan.size_inches[0] * plan.used


@given(lists())
@settings(max_examples=30, deadline=None)
def test_pieces_and_scraps_together_are_the_pre_cut_cloths(pieces):
    cloth = PreCut("cloth", Fraction(18), Fraction(21))

    plan = cutting_plan.fewest_pieces(pieces, cloth, seconds=0.3)

    assert sum(cut_areas(plan)) == 18 * 21 * plan.used


@st.composite
def printed_lists(draw):
    """Lists of which some pieces may not be turned."""
    return [
        Wanted(one.piece, draw(st.booleans()))
        for one in draw(lists())
        if max(one.size_inches) <= 18
    ]


@given(printed_lists(), st.sampled_from(["2E", "2N", "3E", "3N", "pre-cut"]))
@settings(max_examples=40, deadline=None)
def test_every_piece_lies_once_on_the_cloth_at_its_size_and_no_print_is_turned(
    pieces, way
):
    assume(pieces)
    if way == "pre-cut":
        plan = cutting_plan.fewest_pieces(pieces, FAT_QUARTER, seconds=0.2)
    else:
        plan = cutting_plan.least_length(pieces, Bolt(), stages=way, seconds=0.2)

    width, height = plan.size_inches
    laid = {one.piece.name: [] for one in pieces}
    for place in plan.placements:
        assert 0 <= place.x_inches <= width - place.width_inches
        assert 0 <= place.y_inches <= height - place.height_inches
        size = place.width_inches, place.height_inches
        laid[place.name].append((size[::-1] if place.is_turned else size, place))
    for one in pieces:
        sizes = [size for size, _place in laid[one.piece.name]]
        assert sizes == [one.size_inches] * one.piece.count
        turned = any(place.is_turned for _size, place in laid[one.piece.name])
        assert one.turns or not turned
    overlapping = [*overlaps([as_place(place) for place in plan.placements])]
    assert overlapping == []


def as_place(place):
    return SimpleNamespace(
        stock=place.stock,
        x=place.x_inches,
        y=place.y_inches,
        width=place.width_inches,
        height=place.height_inches,
    )


def parted_by(cuts, size, stocks):
    """Cut cloths up as the list of cuts says, each cut through one part, edge to edge."""
    parts = [(stock, Fraction(0), Fraction(0), *size) for stock in range(stocks)]
    for cut in cuts:
        (x, y), (right, bottom) = cut.from_inches, cut.to_inches
        part = next(one for one in parts if is_cut_by(one, cut.stock, x, y))
        parts.remove(part)
        stock, left, top, wide, high = part
        if cut.is_across:
            assert (x, right) == (left, left + wide)
            assert cut.measure_inches == y - top
            halves = (left, top, wide, y - top), (left, y, wide, top + high - y)
        else:
            assert (y, bottom) == (top, top + high)
            assert cut.measure_inches == x - left
            halves = (left, top, x - left, high), (x, top, left + wide - x, high)
        parts += [(stock, *half) for half in halves]
    return parts


def is_cut_by(part, stock, x, y):
    of, left, top, wide, high = part
    return of == stock and left <= x < left + wide and top <= y < top + high


def as_parts(things):
    return sorted(
        (t.stock, t.x_inches, t.y_inches, t.width_inches, t.height_inches)
        for t in things
    )


@given(lists(), st.sampled_from([None, Fraction(20)]))
@settings(max_examples=20, deadline=None)
def test_the_parts_of_a_plan_hold_all_its_pieces_cuts_and_scraps_once(pieces, most):
    for plan in (
        cutting_plan.least_length(pieces, Bolt(), seconds=0.2),
        cutting_plan.fewest_pieces(pieces, FAT_QUARTER, seconds=0.2),
    ):
        parts = parts_of(plan, most)

        for things in ("placements", "cuts", "scraps"):
            inside = sum(len(p.stocks) * len(getattr(p, things)) for p in parts)
            assert inside == len(getattr(plan, things))
        numbers = [cut.number for part in parts for cut in part.cuts]
        assert numbers == list(range(1, len(numbers) + 1))


@given(lists(), st.sampled_from(["2N", "3N", "pre-cut"]))
@settings(max_examples=40, deadline=None)
def test_cutting_in_that_order_gives_the_pieces_and_the_scraps_and_nothing_else(
    pieces, way
):
    if way == "pre-cut":
        plan = cutting_plan.fewest_pieces(pieces, FAT_QUARTER, seconds=0.2)
        size = plan.size_inches
    else:
        plan = cutting_plan.least_length(pieces, Bolt(), stages=way, seconds=0.2)
        size = plan.size_inches[0], plan.used + 1

    left = parted_by(plan.cuts, size, plan.stocks)

    rest = () if way == "pre-cut" else ((0, 0, plan.used, size[0], 1),)
    assert sorted(left) == sorted(
        [*as_parts(plan.placements), *as_parts(plan.scraps), *rest]
    )


@given(lists())
@settings(max_examples=25, deadline=None)
def test_of_each_cloth_the_strips_are_cut_first_and_trims_come_after_cross_cuts(
    pieces,
):
    plan = cutting_plan.fewest_pieces(pieces, FAT_QUARTER, seconds=0.2)

    for stock in range(plan.stocks):
        here = [cut for cut in plan.cuts if cut.stock == stock]
        strips = [cut for cut in here if cut.step == "strip"]
        assert here[: len(strips)] == strips
        assert len({cut.is_across for cut in strips}) <= 1
        axis = 1 if not strips or strips[0].is_across else 0
        lines = [cut.from_inches[axis] for cut in strips]
        for number in range(len(strips) + 1):
            inside = [
                cut.step
                for cut in here[len(strips) :]
                if sum(line <= cut.from_inches[axis] for line in lines) == number
            ]
            assert inside == sorted(inside)


def test_strips_that_are_alike_are_cut_together():
    pieces = [wanted("A", "17/4", "17/4", 36), wanted("B", "7/2", "7/2", 4)]

    plan = cutting_plan.least_length(pieces, Bolt(Fraction(42)))

    # By hand: nine of 4¼ in are 38¼ in, and one of 3½ in beside them 41¾ in.
    assert [line.words for line in cut_lines(plan.cuts)] == [
        "4 strips of 4¼ in, cut across",
        "36 cross-cuts at 4¼ in, from 4 strips of 4¼ in",
        "4 cross-cuts at 3½ in, from 4 strips of 4¼ in",
        "4 trims to 3½ in",
    ]


def test_what_is_left_of_a_pre_cut_piece_is_left_in_one_large_scrap():
    pieces = [wanted("A", "19/8", "19/8", 14)]

    plan = cutting_plan.fewest_pieces(pieces, PreCut("piece", 21 * INCH, 18 * INCH))

    # By hand: two columns of seven squares, 4¾ in wide, leave 16¼ × 18 in whole.
    assert "1 of 16¼ × 18 in" in scrap_lines(plan.scraps)
    [part] = parts_of(plan)
    assert [line.words for line in cut_lines(part.cuts)] == [
        "2 strips of 2⅜ in, cut along",
        "14 cross-cuts at 2⅜ in, from 2 strips of 2⅜ in",
    ]


def test_cuts_are_numbered_in_order_and_measured_as_a_ruler_does():
    pieces = [wanted("A", "37/8", "37/8", 9), wanted("B", 2, "5/2", 1)]

    plan = cutting_plan.least_length(pieces, Bolt(Fraction(44)))

    assert [cut.number for cut in plan.cuts] == list(range(1, len(plan.cuts) + 1))
    assert [f"{line.numbers}. {line.words}" for line in cut_lines(plan.cuts)] == [
        "1. 1 strip of 4⅝ in, cut across",
        "2–10. 9 cross-cuts at 4⅝ in, from a strip of 4⅝ in",
        "11. 1 cross-cut at 2 in, from a strip of 4⅝ in",
        "12. 1 trim to 2½ in",
    ]
    assert answer(plan) == (
        "This takes 4⅝ in off a bolt of 44 in usable width. That is the least possible."
    )


def test_only_scraps_that_hold_a_piece_are_kept():
    plan = cutting_plan.fewest_pieces([wanted("A", 12, 18, 1)], FAT_QUARTER)

    kept = [
        (s.width_inches, s.height_inches)
        for s in plan.scraps
        if s.holds((INCH * 5,) * 2)
    ]

    assert kept in ([(6, 18)], [(6, 21)], [(18, 9)])
    assert scrap_lines(plan.scraps, (INCH * 22, INCH)) == ()
    assert scrap_lines(plan.scraps) in (
        ("1 of 18 × 9 in",),
        ("1 of 6 × 21 in", "1 of 12 × 3 in"),
        ("1 of 6 × 18 in", "1 of 18 × 3 in"),
    )


def test_lengths_in_the_file_for_machines_are_exact_fractions():
    pieces = [wanted("A", "21/4", "37/8", 3)]

    plan = as_json(cutting_plan.least_length(pieces, Bolt(Fraction(42))))

    again = json.loads(json.dumps(plan))
    assert (again["length"], again["bound"], again["gap"]) == ("37/8", "37/8", "0")
    assert again["proven"] is True
    assert [place["x"] for place in again["placements"]] == ["0", "21/4", "21/2"]
    assert again["certificate"]["unit"] == "1/8"


def test_inches_and_centimetres_in_one_list_stay_safe_but_unproven():
    mixed = [
        wanted("A", "37/8", "37/8", 9),
        wanted("B", Fraction(1175, 254), "3/7", 2),
    ]

    plan = cutting_plan.least_length(mixed, Bolt(Fraction(42)))

    assert plan.bound < plan.used
    assert plan.certificate is None
    assert "at most" in answer(plan)


def test_a_list_in_centimetres_is_answered_in_centimetres():
    # Worked by hand: two strips of 10 cm, five of 6.5 cm and 2.54 cm make 55.04 cm.
    mm = Fraction(5, 127)
    pieces = [wanted("A", 100 * mm, 100 * mm, 20), wanted("B", 65 * mm, 1050 * mm, 5)]

    plan = cutting_plan.least_length(pieces, Bolt(1060 * mm, Fraction(1)))

    assert takes(plan) == "55.1 cm"
    assert answer(plan).startswith("This takes 55.1 cm off a bolt of 106 cm")


def test_pieces_of_one_name_and_two_sizes_have_letters_of_their_own():
    logs = [wanted("log", 2, "7/2", 4), wanted("log", 2, 5, 3)]

    plan = cutting_plan.fewest_pieces(logs, FAT_QUARTER)

    assert sorted(line[2:] for line in key_lines(plan)) == [
        "log: 3 of 2 × 5 in",
        "log: 4 of 2 × 3½ in",
    ]
    assert {line[0] for line in key_lines(plan)} == {"A", "B"}


def test_a_drawing_names_every_piece_and_can_be_read_aloud():
    plan = cutting_plan.fewest_pieces([wanted("Point", 4, 4, 30)], FAT_QUARTER)

    drawn = drawing(plan)

    assert drawn.count("<rect") == plan.stocks
    # Forty units are 4 in: thirty squares, each a closed outline, each with its letter.
    assert drawn.count("h40v40h-40z") == 30
    assert drawn.count(">A</text>") == 30
    assert "A Point: 30 of 4 × 4 in" in drawn
    assert "<title>Cutting plan</title>" in drawn
    assert " style=" not in drawn


# ---------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("piece", "said"),
    [
        (wanted("A", 43, 43, 1), "does not fit on cloth of 42 in across"),
        (wanted("A", 43, 4, 1, turns=False), "and may not be turned"),
        (wanted("A", 3000, 4, 1), "A piece is 360 in at most"),
        (wanted("A", 0, 4, 1), "has a side of nought or less"),
        (wanted("A", -1, 4, 1), "has a side of nought or less"),
        (wanted("A", Fraction(1, 32), 4, 1), "has a side finer than 1/16 in"),
        (wanted("A", 4, 4, 0), "is wanted no times"),
    ],
)
def test_a_piece_that_cannot_be_cut_is_named_with_the_limit(piece, said):
    with pytest.raises(CannotCut, match=f"“A” .*{said}"):
        cutting_plan.least_length([piece], Bolt(Fraction(42)))


def test_a_list_that_is_too_long_is_refused():
    with pytest.raises(TooMany, match="asks for 5001 pieces"):
        cutting_plan.least_length([wanted("A", 1, 1, 5001)], Bolt())
