"""The most that can surely be made and posted. Source: worked by hand."""

from dataclasses import replace
from fractions import Fraction

import pytest

from inventory.demand import Belief
from production.mix.question import (
    MixLayout,
    MixLimit,
    MixQuestion,
    MixSession,
    MixWay,
)
from production.surely import Supply, declare, most_surely

# Wednesday evening: 8 free, one mended with the sixth A388; Saturday 165 minutes, of
# which one sheet of LC takes 16; 11 sheets less that one.
BENCH = MixQuestion(
    lines=(),
    ways=(MixWay("RF-090", {"A388": 1, "SQ350": 1, "C200": 1, "BKLT-RF": 1}),),
    layouts=(
        MixLayout("LB", {"SQ350": 24}, 26, {"sheets": 1}),
        MixLayout("LG", {"A388": 10, "C200": 10, "SQ350": 6}, 30, {"sheets": 1}),
        MixLayout("LA", {"A425": 15}, 22, {"sheets": 1}),
    ),
    sessions=(MixSession("Sat 6 March", 165),),
    stock={"A388": 5, "SQ350": 3, "C200": 8, "BKLT-RF": 40},
    limits=(MixLimit("sheets", 10),),
    spoil=Fraction(5, 100),
)
SUPPLY = Supply("RF-090", 8, 1, BENCH, {"Sat 6 March": 16})


def test_forty_two_can_surely_be_posted():
    surely = most_surely(SUPPLY)

    assert surely.count == 42
    # Three tonight and thirty on Saturday, from LG 3 + LB 1; with LC 132 minutes.
    assert surely.made == 33
    assert surely.plan.sheets_of == {"LG": 3, "LB": 1}
    assert surely.minutes + 16 == 132


def test_every_minute_would_give_more_and_the_booklets_end_it():
    # LG 4 + LB 1 + LC 1 are 162 of 165 minutes; 40 booklets make 40: 8 + 1 + 40.
    surely = most_surely(SUPPLY)

    assert surely.with_every_minute == 49
    assert most_surely(SUPPLY, Fraction(0)).stopped_by == (
        "The next RF-090 lacks 1 BKLT-RF."
    )


def test_what_stops_the_next_one_is_named():
    assert most_surely(SUPPLY).stopped_by == (
        "The next RF-090 lacks 1 A388, and no session has the 30 minutes left that a "
        "sheet of LG takes."
    )


def test_what_cannot_be_posted_is_not_promised():
    surely = most_surely(replace(SUPPLY, most_posted=40))

    assert surely.count == 40
    assert surely.stopped_by == "No more than 40 can be posted in time."


def test_without_a_session_only_tonight_counts():
    surely = most_surely(replace(SUPPLY, bench=replace(BENCH, sessions=())))

    assert surely.count == 12


def test_sold_out_at_minute_42_declares_what_can_be_kept():
    repeat = Belief(5 + 48, 0.125 + 0.80).times(0.55)

    declared = declare(repeat, still_there=0, surely=42)

    assert (declared.number, declared.wanted) == (42, 43)
    assert declared.chance_of_more == pytest.approx(0.07, abs=0.01)
    assert declared.expected_sold == pytest.approx(31.2, abs=0.1)
    assert repeat.expected_sold(26) == pytest.approx(25.2, abs=0.1)
    assert declared.sentences == (
        "About 31.5 are wanted, give or take 7.1.",
        "Declare 42: 43 would be asked for and 42 can surely be made and posted.",
        "The chance that more is wanted is 0.07.",
    )


def test_thirty_one_sold_declares_nine_more():
    repeat = Belief(5 + 31, 0.125 + 1).times(0.55)

    declared = declare(repeat, still_there=17, surely=42)

    assert (declared.number, declared.wanted) == (9, 9)
    assert declared.chance_of_more == pytest.approx(0.0506, abs=0.001)


def test_more_there_than_wanted_declares_none():
    assert declare(Belief(36, 2.0), still_there=60, surely=42).number == 0
