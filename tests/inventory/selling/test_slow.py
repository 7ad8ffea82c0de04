"""Slow lines, the end of a range, booklets before an edit, and weeks of cover."""

import random
from fractions import Fraction
from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.demand import Belief, rate_while_in_stock
from inventory.selling.booklets import Run, booklets_to_print
from inventory.selling.cover import cover_of
from inventory.selling.rate_points import rate_points
from inventory.selling.slow import (
    WaitingCostsNothing,
    WaitingTerms,
    how_long,
    judge_slow,
    keep_at,
    last_few,
    least_pair_price,
    waiting_worth,
)

TERMS = WaitingTerms(price_pence=1200, yearly_share=0.52)


def known_rate(per_week):
    """As good as certain: a million sales' worth of belief."""
    return Belief(per_week * 1e6, 1e6)


def test_each_piece_waits_its_turn():
    # Worked by hand: 52 in a hundred a year are 0.01 a week; at 0.99 a week each turn
    # is worth 0.99 of the one before: 1188, 1176.12, 1164.36.
    worth = waiting_worth(3, known_rate(0.99), TERMS)

    assert worth == pytest.approx((1188.0, 1176.12, 1164.3588), abs=0.01)


def test_a_rate_that_is_not_known_is_averaged_over():
    # Closed form: 1 - x exp(x) E1(x) for an exponential rate; E1(1) = 0.2193839344
    # (Abramowitz and Stegun, table 5.1).
    terms = WaitingTerms(price_pence=1000, yearly_share=52)

    [worth] = waiting_worth(1, Belief(1, 1), terms)

    assert worth == pytest.approx(1000 * (1 - exp(1) * 0.2193839344), abs=1e-3)


def test_shelf_room_is_paid_until_it_goes():
    # Worked by hand: at 1 a week and 0.01 lost a week, the first is worth 1200 / 1.01
    # less 2p a week x (1 - 1 / 1.01) / 0.01 = 1188.12 - 1.98.
    terms = WaitingTerms(1200, yearly_share=0.52, shelf_pence_a_week=2)

    [worth] = waiting_worth(1, known_rate(1.0), terms)

    assert worth == pytest.approx(1200 / 1.01 - 2 / 1.01, abs=0.01)


def test_the_worth_of_waiting_is_that_of_sales_played_through():
    """4,000 played-through lines; the mean lies within 4 standard errors."""
    rng = random.Random(3)
    belief = Belief(2.5, 4.0)
    cost = TERMS.weekly_share
    played = []
    for _ in range(4000):
        rate, waited, worth = rng.gammavariate(2.5, 1 / 4.0), 0.0, 0.0
        for _ in range(5):
            waited += rng.expovariate(rate)
            worth += 1200 * exp(-cost * waited)
        played.append(worth)

    total = sum(waiting_worth(5, belief, TERMS))

    mean = sum(played) / 4000
    error = (sum((one - mean) ** 2 for one in played) / 4000 / 4000) ** 0.5
    assert total == pytest.approx(mean, abs=4 * error)


def test_points_carry_the_mean_and_the_spread_of_a_belief():
    for belief in (Belief(0.5, 2), Belief(3, 7), Belief(900, 100)):
        points = rate_points(belief)

        mean = sum(rate * weight for rate, weight in points)
        square = sum(rate * rate * weight for rate, weight in points)
        assert mean == pytest.approx(belief.mean, rel=1e-6)
        # Closed form: the variance of a gamma rate is shape / exposure squared.
        assert square - mean**2 == pytest.approx(
            belief.shape / belief.exposure**2, rel=1e-5
        )


def test_a_slow_line_says_the_price_at_which_speed_beats_waiting():
    slow = judge_slow("FB-05", 40, rate_while_in_stock(13, 364), TERMS)

    assert slow.weeks_to_sell == pytest.approx(160)
    assert slow.is_slow
    assert 0 < slow.last_price_pence < slow.least_price_pence < 1200
    pounds = f"£{slow.least_price_pence / 100:.2f}"
    assert slow.sentence == (
        "40 of FB-05 last about 3 years at 0.25 a week. Sold now, any price above "
        f"{pounds} beats waiting for £12.00."
    )


def test_a_line_that_sells_is_left_alone():
    line = judge_slow("FB-05", 10, rate_while_in_stock(52, 364), TERMS)

    assert not line.is_slow
    assert line.sentence == (
        "10 of FB-05 last about 10 weeks at 1.0 a week: no need to clear them."
    )


def test_a_line_that_never_sold_is_slow_and_not_worthless():
    line = judge_slow("FB-05", 4, rate_while_in_stock(0, 364), TERMS)

    assert (line.weeks_to_sell, line.is_slow) == (None, True)
    assert line.sentence.startswith("4 of FB-05 have sold none yet. Sold now")
    assert line.least_price_pence > 0


@pytest.mark.parametrize(
    ("count", "rate", "terms"),
    [
        (0, rate_while_in_stock(3, 30), TERMS),
        (-2, rate_while_in_stock(3, 30), TERMS),
        (5, None, TERMS),
        (5, rate_while_in_stock(0, 0), TERMS),
        (5, rate_while_in_stock(3, 30), WaitingTerms(0)),
        (5, rate_while_in_stock(3, 30), WaitingTerms(300, selling_cost_pence=300)),
    ],
    ids=["none", "owed", "no rate", "never in stock", "price of nought", "no gain"],
)
def test_a_line_of_which_nothing_can_be_said_is_not_judged(count, rate, terms):
    assert judge_slow("FB-05", count, rate, terms) is None


@pytest.mark.parametrize("share", [0, -0.1])
def test_waiting_has_to_cost_something(share):
    with pytest.raises(WaitingCostsNothing, match="what waiting costs"):
        waiting_worth(3, Belief(1, 1), WaitingTerms(1200, yearly_share=share))


def test_selling_costs_are_paid_at_the_quick_price_too():
    # Worked by hand: the first piece nets 1000 / 1.01 = 990.1; with 200 to post, 1191.
    terms = WaitingTerms(1200, selling_cost_pence=200, yearly_share=0.52)

    line = judge_slow("FB-05", 1, rate_while_in_stock(364_000, 7 * 364_000), terms)

    assert line.least_price_pence == 1191


def test_only_what_is_worth_more_by_waiting_is_kept():
    # Worked by hand: 1188, 1176.12, 1164.36 against 1170.
    worth = waiting_worth(3, known_rate(0.99), TERMS)

    assert keep_at(worth, 1170, TERMS) == 2
    assert keep_at(worth, 1300, TERMS) == 0


def test_a_pair_costs_at_least_the_two():
    line = judge_slow("FB-05", 40, rate_while_in_stock(13, 364), TERMS)

    assert least_pair_price(line, 600) == line.least_price_pence + 600


@given(st.integers(1, 30), st.floats(0.3, 50), st.floats(0.5, 100), st.floats(0.01, 2))
def test_a_later_turn_is_never_worth_more(count, shape, exposure, share):
    worth = waiting_worth(
        count, Belief(shape, exposure), WaitingTerms(1000, yearly_share=share)
    )

    assert list(worth) == sorted(worth, reverse=True)
    assert worth[0] <= 1000


@pytest.mark.parametrize(
    ("count", "out_of_print", "told"),
    [(4, True, True), (7, True, False), (4, False, False), (0, True, False)],
)
def test_the_end_of_a_range_is_named_once_it_is_near(count, out_of_print, told):
    words = last_few("Cinderbeck Plains", count, out_of_print)

    assert bool(words) == told
    if told:
        assert words.startswith(
            "Cinderbeck Plains: the last 4, and it cannot be bought"
        )


@pytest.mark.parametrize(
    ("weeks", "words"),
    [
        (0.4, "less than a week"),
        (1, "about 1 week"),
        (15, "about 15 weeks"),
        (26, "about 6 months"),
        (160, "about 3 years"),
    ],
)
def test_a_stretch_of_weeks_in_words(weeks, words):
    assert how_long(weeks) == words


RUNS = (Run(50, 4500), Run(100, 6200), Run(250, 11000))


def print_advice(on_hand, used="3", weeks="2", edit=None, runs=RUNS):
    return booklets_to_print(
        on_hand,
        Fraction(used),
        runs,
        weeks_to_come=Fraction(weeks),
        edit_in_weeks=None if edit is None else Fraction(edit),
    )


def test_without_an_edit_the_cheapest_copy_that_a_year_uses_is_printed():
    # Worked by hand: 156 - 5 = 151 wanted; 90p, 62p, 11000 / 151 = 72.8p each.
    advice = print_advice(5)

    assert (advice.run, advice.wanted) == (Run(100, 6200), 151)
    assert advice.sentence == "Print 100 for £62.00: 151 are wanted in a year."


def test_a_large_run_is_taken_when_its_copies_are_used():
    # Worked by hand: 312 - 5 = 307 wanted; 250 for 44p each is the cheapest.
    assert print_advice(5, used="6").run == Run(250, 11000)


def test_before_an_edit_only_what_is_used_until_then_is_printed():
    # Worked by hand: 20 weeks x 3 = 60, 5 there, 55 wanted; 100 copies, 45 in the bin.
    advice = print_advice(5, edit="20")

    assert (advice.run, advice.wanted, advice.in_the_bin) == (Run(100, 6200), 55, 45)
    assert advice.sentence == (
        "An edit is pending: print only 100 for £62.00. 55 are wanted before it and 45 "
        "will be thrown away."
    )


def test_where_what_is_there_lasts_until_the_edit_it_waits():
    # Worked by hand: 2 weeks x 3 = 6, 10 there: 4 are left over.
    advice = print_advice(10, edit="2")

    assert (advice.run, advice.in_the_bin) == (None, 4)
    assert advice.sentence.startswith("Wait, an edit is pending")


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"on_hand": 5, "used": "0"}, "Nothing uses this booklet: print none."),
        ({"on_hand": 40}, "What is there lasts about 13 weeks: print none yet."),
        ({"on_hand": 5, "runs": ()}, "151 are wanted and no run offered is as large."),
        (
            {"on_hand": 5, "edit": "200"},
            "595 are wanted and no run offered is as large.",
        ),
        ({"on_hand": 200, "weeks": "60"}, "What is there lasts a year: print none."),
    ],
)
def test_when_there_is_nothing_to_print_it_says_why(asked, words):
    advice = print_advice(**asked)

    assert advice.run is None
    assert advice.sentence.startswith(words)


def test_weeks_of_cover_say_how_sure_they_are():
    # Worked by hand: 12 at one a week are 12 weeks.
    cover = cover_of(12, rate_while_in_stock(52, 364), 42)

    assert cover.weeks == pytest.approx(12)
    assert cover.low_weeks < 12 < cover.high_weeks
    assert cover.sentence.startswith("12 last about 12 weeks; they cover 42 days 9")


@pytest.mark.parametrize(
    ("free", "rate", "words"),
    [
        (-2, rate_while_in_stock(9, 90), "2 are owed, so nothing is covered."),
        (0, rate_while_in_stock(9, 90), "There are none to promise."),
        (3, None, "Cannot say how long it lasts."),
        (3, rate_while_in_stock(0, 0), "Cannot say how long it lasts."),
    ],
)
def test_cover_of_what_is_not_there_or_not_known(free, rate, words):
    assert cover_of(free, rate, 42).sentence == words


def test_what_never_sold_runs_out_at_no_time_that_can_be_named():
    cover = cover_of(3, rate_while_in_stock(0, 364), 42)

    assert (cover.weeks, cover.high_weeks) == (None, None)
    assert cover.sentence == "3 are free; they cover 42 days 100 times in 100."


def test_no_days_asked_are_always_covered():
    assert cover_of(1, rate_while_in_stock(9, 90), 0).chance == pytest.approx(1.0)
