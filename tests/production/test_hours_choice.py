"""What to make in the hours there are: whole sheets, shared pieces, and reasons."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.selling.next_pieces import Candidate
from production.hours_choice import (
    Bench,
    SizeOffer,
    choose_for_hours,
    worth_of_more_minutes,
)
from production.mix.question import MixLayout, MixSession, MixWay, SaidTwice

# Two sets share a square; a sheet of LA gives four A and two squares, LB four B.
WAYS = (MixWay("small", {"A": 1, "SQ": 1}), MixWay("large", {"B": 2, "SQ": 1}))
LAYOUTS = (
    MixLayout("LA", {"A": 4, "SQ": 2}, 20),
    MixLayout("LB", {"B": 4}, 25),
)


def an_offer(name, gains, minutes=10, **more):
    return SizeOffer(Candidate(name, gains, minutes), **more)


def a_bench(minutes, **more):
    return Bench((MixSession("Tue", minutes),), WAYS, LAYOUTS, **more)


SMALL = an_offer("small", (900, 700, 300, 100))
LARGE = an_offer("large", (1500, 1200, 200))


def test_whole_sheets_and_a_shared_square_decide_and_not_the_best_single_gain():
    """Worked by hand.

    45 minutes cut LA and LB: two squares, four A, four B; two large gain 2700, a small
    and a large 2400. 40 minutes cut LA twice: four squares, four small gain 2000.
    """
    offers = [SMALL, LARGE]

    in_45 = choose_for_hours(offers, a_bench(45), 45)
    in_40 = choose_for_hours(offers, a_bench(40), 40)

    assert in_45.plan.quantities == {"small": 0, "large": 2}
    assert in_45.left_over == {"A": 4}
    assert in_45.sentences == (
        "Cut 1 of LA and 1 of LB in 45 minutes.",
        "4 A will lie over for later sets.",
        "No other mix gains more within these hours.",
    )
    assert in_40.plan.quantities == {"small": 4, "large": 0}


def test_each_line_says_why():
    choice = choose_for_hours([SMALL, LARGE], a_bench(45), 45)

    assert [line.sentence for line in choice.lines] == [
        "small: none. Its first would gain about £9.00, but its sheets, parts and "
        "minutes gain more elsewhere, or are not there.",
        "large: make 2; about £27.00 more expected. One more would gain £2.00, but does "
        "not fit.",
    ]


def test_the_list_by_the_minute_stands_beside_the_plan():
    # Worked by hand: at 10 minutes each the list takes L, L, S, S in 40 of 45 minutes,
    # 4300, since it knows nothing of sheets; the plan gains 2700.
    choice = choose_for_hours([SMALL, LARGE], a_bench(45), 45)

    assert choice.beside.by_list == {"small": 2, "large": 2}
    assert choice.beside.sentence == (
        "Working down this list would gain £16.00 more than the plan. The plan keeps to "
        "limits that the list does not know."
    )


def test_loose_pieces_are_made_up_without_a_sheet():
    # Worked by hand: one A and one square make one small set; no minutes, no sheet.
    choice = choose_for_hours([SMALL, LARGE], a_bench(0, stock={"A": 1, "SQ": 1}), 0)

    assert choice.plan.quantities == {"small": 1, "large": 0}
    assert choice.sentences[0] == (
        "No sheet is cut: what is made comes from loose pieces."
    )


def test_sets_on_the_shelf_are_not_made_again():
    choice = choose_for_hours([SMALL], a_bench(0, stock={"small": 7}), 0)

    assert choice.plan.quantities == {"small": 0}


def test_her_own_number_stays_hers():
    pinned = an_offer("small", (900, 700, 300, 100), pinned=1)

    choice = choose_for_hours([pinned, LARGE], a_bench(45), 45)

    assert choice.plan.quantities == {"small": 1, "large": 1}
    assert choice.lines[0].sentence == (
        "small: 1, as you said; about £9.00 more expected."
    )


def test_what_is_owed_comes_first_and_what_cannot_be_is_said():
    # Worked by hand: one sheet of LA gives two squares, so two of the three owed.
    owed = an_offer("small", (900, 700, 300, 100), owed=3)

    choice = choose_for_hours([owed, LARGE], a_bench(20), 20)

    assert choice.plan.quantities == {"small": 2, "large": 0}
    assert choice.lines[0].sentence == (
        "small: 2 can be made, 1 fewer than promised or asked for. Find more parts or "
        "more time, or tell whoever waits."
    )


def test_what_does_not_pay_is_not_made():
    loses = an_offer("small", (-40,))

    choice = choose_for_hours([loses], a_bench(60), 60)

    assert choice.lines[0].sentence == (
        "small: none, since one more is not expected to pay for itself."
    )


def test_what_the_next_stretch_of_time_would_earn():
    # Worked by hand: 20 minutes cut LA, two small gain 1600; 25 more cut LB: 2700.
    offers, bench = [SMALL, LARGE], a_bench(20)
    choice = choose_for_hours(offers, bench, 20)

    assert choice.plan.gain == 1600
    assert worth_of_more_minutes(offers, bench, choice, 25) == 1100
    assert worth_of_more_minutes(offers, bench, choice, 5) == 0


falling = st.lists(st.integers(-50, 900), min_size=1, max_size=4).map(
    lambda gains: tuple(sorted(gains, reverse=True))
)


@settings(max_examples=40, deadline=None)
@given(falling, falling, st.integers(0, 100), st.integers(0, 2), st.integers(0, 2))
def test_no_mix_found_by_trying_all_gains_more(
    small, large, minutes, loose_a, loose_sq
):
    stock = {"A": loose_a, "SQ": loose_sq}

    choice = choose_for_hours(
        [an_offer("small", small), an_offer("large", large)],
        a_bench(minutes, stock=stock),
        minutes,
    )

    assert choice.plan.proven
    assert choice.plan.gain == by_trying_all(small, large, minutes, stock)


def by_trying_all(small, large, minutes, stock):
    best = 0
    for la, lb in product(range(6), range(5)):
        if 20 * la + 25 * lb > minutes:
            continue
        a, b = stock["A"] + 4 * la, 4 * lb
        squares = stock["SQ"] + 2 * la
        for s, g in product(range(len(small) + 1), range(len(large) + 1)):
            if s <= a and 2 * g <= b and s + g <= squares:
                best = max(best, sum(small[:s]) + sum(large[:g]))
    return best


def test_a_size_said_twice_is_refused():
    with pytest.raises(SaidTwice, match="stands twice"):
        choose_for_hours([SMALL, SMALL], a_bench(45), 45)
