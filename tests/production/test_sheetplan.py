"""The cutting plan against sums worked by hand and against every plan there is."""

from __future__ import annotations

import csv
from datetime import date
from fractions import Fraction
from itertools import product
from math import ceil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.session_fit import Run, Session, fit_into_sessions
from production.sheetplan import (
    AllSpoiled,
    Layout,
    LayoutWithoutMinutes,
    plan_sheets,
    to_cut,
)

USUAL = Fraction(1, 20)
LA = Layout("LA", {"A425": 15}, 22)
LB = Layout("LB", {"SQ350": 24}, 26)
LE = Layout("LE", {"A1025": 1, "SQ950": 1, "SQ350": 6}, 21)
LP = Layout("LP", {"A1025": 1, "SQ950": 1}, 16)
LG = Layout("LG", {"A388": 10, "C200": 10, "SQ350": 6}, 30)
LAYOUTS = (LA, LB, LE, LP, LG)
SESSIONS = (
    Session(date(2027, 2, 6), 165),
    Session(date(2027, 2, 9), 105),
    Session(date(2027, 2, 16), 105),
    Session(date(2027, 2, 20), 165),
)
WANTED = {"A425": 40, "SQ350": 52, "A388": 26, "C200": 26, "A1025": 11, "SQ950": 11}
WORKED = Path(__file__).parents[1] / "worked" / "sheetplan.csv"


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def counts(text):
    words = text.split()
    return dict(zip(words[::2], map(int, words[1::2]), strict=True))


@pytest.mark.parametrize("row", worked_rows(), ids=lambda row: row["case"])
def test_the_fewest_minutes_cover_the_pieces(row):
    plan = plan_sheets(counts(row["wanted"]), LAYOUTS, SESSIONS, 14, USUAL)

    assert plan.sheets_of == counts(row["sheets_of"])
    assert (plan.sheets, plan.minutes) == (int(row["sheets"]), int(row["minutes"]))
    assert plan.proven


def test_spoil_is_allowed_for_and_rounded_up():
    # Worked by hand: wanted / 0.95, rounded up.
    cut = {piece: to_cut(count, USUAL) for piece, count in WANTED.items()}

    assert list(cut.values()) == [43, 55, 28, 28, 12, 12]


def test_the_plan_needs_all_four_sessions():
    plan = plan_sheets(WANTED, LAYOUTS, SESSIONS, 14, USUAL)

    assert plan.ends_on == date(2027, 2, 20)
    assert [line.minutes for line in plan.sessions] == [156, 105, 90, 32]
    assert [line.minutes_free for line in plan.sessions] == [9, 0, 15, 133]
    assert plan.left_out == ()


def test_the_fifteenth_sheet_is_wanted_on_the_third_session():
    plan = plan_sheets(WANTED, LAYOUTS, SESSIONS, 14, USUAL)

    assert (plan.sheets_short, plan.short_from) == (4, date(2027, 2, 16))
    assert "4 more sheets are needed by Tue 16 February." in plan.reasons


def test_by_product_squares_are_counted():
    plan = plan_sheets(WANTED, LAYOUTS, SESSIONS, 14, USUAL)

    squares = next(line for line in plan.pieces if line.piece == "SQ350")
    assert (squares.to_cut, squares.will_cut, squares.over) == (55, 60, 5)
    assert (plan.compared_with.sheets, plan.compared_with.minutes) == (21, 486)
    assert plan.lines[1].sentence == (
        "LE: 7 sheets, 147 minutes, gives 7 A1025, 7 SQ950 and 42 SQ350."
    )


def test_a_by_product_nobody_asked_for_is_shown():
    plan = plan_sheets({"A388": 9, "C200": 9}, LAYOUTS, SESSIONS, 14, USUAL)

    squares = next(line for line in plan.pieces if line.piece == "SQ350")
    assert (squares.wanted_good, squares.will_cut, squares.over) == (0, 6, 6)


def test_three_sessions_are_too_few_and_the_minutes_are_named():
    plan = plan_sheets(WANTED, LAYOUTS, SESSIONS[:3], 14, USUAL)

    assert plan.left_out == (Run("LP", 16, 2),)
    assert plan.minutes_left_out == 32
    assert "2 LP find no room: 32 minutes are missing." in plan.reasons


def test_a_piece_that_no_layout_gives_is_named():
    plan = plan_sheets({"K300": 3, "A425": 1}, LAYOUTS, SESSIONS, 14, USUAL)

    assert plan.no_layout_for == ("K300",)
    assert plan.sheets_of == {"LA": 1}
    assert "No layout gives K300. Draw one, or take it off the list." in plan.reasons


def test_a_spoil_rate_of_everything_is_refused():
    with pytest.raises(AllSpoiled, match="100 in 100 cannot be planned with"):
        to_cut(3, Fraction(1))


def test_a_layout_needs_its_minutes():
    with pytest.raises(LayoutWithoutMinutes, match="Layout LX has no minutes"):
        plan_sheets({"A425": 1}, [Layout("LX", {"A425": 1}, 0)], SESSIONS, 1, USUAL)


def test_an_exact_search_finds_what_longest_first_misses():
    # Worked by hand: 9 = 5 + 4 and 12 = 4 + 4 + 4; longest first leaves one 4 over.
    runs = [Run("P", 5, 1), Run("Q", 4, 4)]
    sessions = [Session(date(2027, 3, 6), 12), Session(date(2027, 3, 9), 9)]

    fit = fit_into_sessions(runs, sessions)

    assert fit.left_out == ()
    assert [sum(r.minutes * r.sheets for r in s) for s in fit.by_session] == [12, 9]


@st.composite
def small_wants(draw):
    pieces = ("p", "q", "r")
    layouts = [
        Layout(
            code,
            draw(st.dictionaries(st.sampled_from(pieces), st.integers(1, 4))),
            draw(st.integers(1, 9)),
        )
        for code in "abc"
    ]
    return {piece: draw(st.integers(0, 6)) for piece in pieces}, layouts


@settings(max_examples=60, deadline=None)
@given(small_wants())
def test_no_other_choice_of_sheets_takes_fewer_minutes(case):
    wanted, layouts = case
    given_by = {piece for layout in layouts for piece in layout.gives}
    needed = {p: ceil(n / Fraction(9, 10)) for p, n in wanted.items() if p in given_by}

    plan = plan_sheets(wanted, layouts, (), 0, Fraction(1, 10))

    def minutes_and_sheets(choice):
        minutes = sum(n * x.minutes for n, x in zip(choice, layouts, strict=True))
        return minutes, sum(choice)

    def covers(choice):
        return all(
            sum(n * x.gives.get(p, 0) for n, x in zip(choice, layouts, strict=True))
            >= count
            for p, count in needed.items()
        )

    best = min(minutes_and_sheets(c) for c in product(range(8), repeat=3) if covers(c))
    assert (plan.minutes, plan.sheets) == best
    assert covers([plan.sheets_of.get(x.code, 0) for x in layouts])
