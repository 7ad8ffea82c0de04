"""What to make next, a run shared over sizes, and the list beside the exact plan."""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.demand import Belief
from inventory.selling.next_pieces import (
    Candidate,
    PieceWithoutMinutes,
    beside_the_plan,
    down_the_list,
    next_pieces,
    share_of_run,
)
from production.quantities import LearnedDemand, SaleTerms, gains
from tests.inventory.selling import worked

ROWS = worked.rows("selling_next.csv")


def candidate(row):
    terms = SaleTerms(int(row["price"]), int(row["cost"]), int(row["left"]))
    belief = Belief(float(row["shape"]), float(row["exposure"]))
    return Candidate(
        row["size"],
        gains(terms, LearnedDemand(belief), int(row["on_shelf"]), 12),
        int(row["minutes"]),
        out_of_stock=row["on_shelf"] == "0",
        size_inches=Fraction(row["size"]),
    )


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['size']} in")
def test_the_extra_profit_of_the_next_piece_for_each_minute(row):
    one = candidate(row)

    [first, *_] = next_pieces([one])

    printed = worked.numbers(row["gains"])
    assert [round(gain, 2) for gain in one.gains_pence[: len(printed)]] == printed
    assert round(first.pence_a_minute, 1) == float(row["pence_a_minute"])


def test_the_order_of_the_first_five():
    # Own instance recomputed by a second program.
    picks = next_pieces([candidate(row) for row in ROWS], most=5)

    assert [(one.name, round(one.pence_a_minute, 1)) for one in picks] == [
        ("8", 70.2),
        ("6", 69.8),
        ("6", 58.9),
        ("8", 54.0),
        ("7", 51.9),
    ]
    assert picks[0].sentence == (
        "Next one 8: about £8.42 more expected, 70p a minute, as it is out of stock."
    )


def test_a_whole_batch_is_judged_with_its_set_up():
    # Worked by hand: (300 + 200) / (10 + 2 x 5) = 25p a minute, then (100 + 50) / 10.
    sheet = Candidate("B", (300, 200, 100, 50), 5, set_up_minutes=10, made_in=2)

    first, second = next_pieces([sheet])

    assert (first.gain_pence, first.minutes, first.pence_a_minute) == (500, 20, 25.0)
    assert (second.first, second.last, second.pence_a_minute) == (3, 4, 15.0)
    assert first.sentence == (
        "Next 2 of B together: about £5.00 more expected, 25p a minute, as it may well "
        "sell."
    )


def test_a_batch_that_loses_is_not_on_the_list():
    assert next_pieces([Candidate("B", (-5, 20), 5)]) == ()
    assert next_pieces([Candidate("B", (), 5)]) == ()
    assert next_pieces([]) == ()


def test_ties_go_to_the_larger_gain_then_the_empty_shelf_then_the_smaller_size():
    large, small = Fraction(9), Fraction(3)
    order = [
        Candidate("more", (200,), 20),
        Candidate("empty", (100,), 10, out_of_stock=True, size_inches=large),
        Candidate("small", (100,), 10, size_inches=small),
        Candidate("large", (100,), 10, size_inches=large),
        Candidate("no size", (100,), 10),
    ]

    picks = next_pieces(order[::-1])

    assert [one.name for one in picks] == [one.name for one in order]


@pytest.mark.parametrize("minutes", [0, -4])
def test_a_piece_without_minutes_is_refused(minutes):
    with pytest.raises(PieceWithoutMinutes, match="Write its minutes"):
        next_pieces([Candidate("A", (10,), minutes)])


def test_a_run_goes_piece_by_piece_to_the_size_that_gains_most():
    # Worked by hand: 50, 40 (A), 30 (B), 20 (A or B: the empty one first).
    sizes = [
        Candidate("A", (50, 40, 20), 6),
        Candidate("B", (30, 20, -5), 9, out_of_stock=True),
    ]

    assert share_of_run(sizes, 4) == {"A": 2, "B": 2}
    assert share_of_run(sizes, 9) == {"A": 3, "B": 2}
    assert share_of_run(sizes, -1) == {"A": 0, "B": 0}


falling = st.lists(st.integers(-20, 90), min_size=1, max_size=5).map(
    lambda gains: tuple(sorted(gains, reverse=True))
)


@given(st.lists(falling, min_size=1, max_size=3), st.integers(0, 8))
def test_no_other_share_of_a_run_gains_more(all_gains, count):
    sizes = [Candidate(str(n), gains, 5) for n, gains in enumerate(all_gains)]

    shared = share_of_run(sizes, count)

    best = max(
        sum(one.gain_for(n) for one, n in zip(sizes, counts, strict=True))
        for counts in product(*(range(len(gains) + 1) for gains in all_gains))
        if sum(counts) <= count
    )
    assert sum(shared.values()) <= count
    assert sum(one.gain_for(shared[one.name]) for one in sizes) == best


def test_the_list_misses_what_the_exact_plan_finds():
    # Worked by hand: B earns 6p a minute and A 5.8p, but two A fill the 12 minutes.
    sizes = [Candidate("B", (60,), 10), Candidate("A", (35, 35), 6)]

    beside = beside_the_plan(sizes, 12, {"A": 2})

    assert beside.by_list == {"B": 1, "A": 0}
    assert (beside.list_gain_pence, beside.plan_gain_pence) == (60, 70)
    assert beside.sentence == (
        "The plan for 12 minutes gains £0.10 more than working down this list, because "
        "whole batches have to fit the time."
    )


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        ({"B": 1}, "Working down this list fills the 12 minutes just as well."),
        ({}, "Working down this list would gain £0.60 more than the plan."),
    ],
)
def test_the_list_may_do_as_well_or_know_less(plan, words):
    sizes = [Candidate("B", (60,), 10), Candidate("A", (35, 35), 6)]

    assert beside_the_plan(sizes, 12, plan).sentence.startswith(words)


@given(
    st.lists(st.tuples(falling, st.integers(3, 9)), min_size=1, max_size=3),
    st.integers(0, 40),
)
def test_working_down_the_list_never_beats_trying_everything(facts, minutes):
    sizes = [Candidate(str(n), g, m) for n, (g, m) in enumerate(facts)]

    made, gain = down_the_list(sizes, minutes)

    best = max(
        sum(one.gain_for(n) for one, n in zip(sizes, counts, strict=True))
        for counts in product(*(range(len(g) + 1) for g, _ in facts))
        if sum(one.minutes_for(n) for one, n in zip(sizes, counts, strict=True))
        <= minutes
    )
    assert sum(one.minutes_for(made[one.name]) for one in sizes) <= minutes
    assert 0 <= gain <= best
