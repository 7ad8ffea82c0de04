"""How many for a coming day: record, guess and both. Source: worked by hand."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.day_demand import day_demand, number_for, risk_of
from inventory.demand import NothingKnown
from inventory.guesses import Guess, GuessOutOfOrder
from inventory.past_days import PastDay
from tests.inventory.day_rows import days_of

# Six earlier slots of a comparable line, two of them sold out: worked by hand.
SIX_SLOTS = days_of("18 22 24 26 30* 40*")


def test_six_slots_say_twenty_six_where_three_in_five_are_worth_paying_for():
    number = number_for(day_demand(SIX_SLOTS), 840, 560)

    assert (number.quantity, number.service) == (26, Fraction(3, 5))
    assert not number.is_guess
    assert number.sentences[1].startswith("In 2 of 6 slots")


def test_where_the_record_cannot_say_no_number_is_made_up():
    number = number_for(day_demand(SIX_SLOTS), 840, 280)

    assert (number.quantity, number.more_than) == (None, 40)
    assert number.sentences[0] == "The record cannot say: more than 40."


def test_her_guess_fills_what_the_record_cannot_say_and_is_told_as_one():
    number = number_for(day_demand(SIX_SLOTS, Guess(25, 35, 55)), 840, 280)

    assert number.is_guess
    assert number.quantity is not None
    assert "by your own guess and the record together" in number.sentences[0]
    assert number.sentences[1].endswith("The record cannot say: more than 40.")


def test_the_risk_of_a_number_follows_the_curve_of_the_record():
    # Share above 18, 22, 24: 0.833, 0.667, 0.5; mean up to 40 is 28.3: by hand.
    demand = day_demand(SIX_SLOTS)

    at_26, at_40 = risk_of(demand, 26), risk_of(demand, 40)

    assert at_26.runs_out == pytest.approx(1 / 3)
    assert at_26.left_over == pytest.approx(26 - (18 + 4 * 5 / 6 + 2 * 2 / 3 + 1))
    assert at_40.sold == pytest.approx(28.333, abs=0.001)
    assert demand.most_known == 40


def test_nothing_is_known_without_a_record_and_a_guess():
    demand = day_demand([])

    assert not demand.is_known
    assert number_for(demand, 840, 560).quantity is None
    with pytest.raises(NothingKnown):
        demand.chance_of_more(3)


def test_a_day_sold_out_at_an_unknown_minute_alone_says_no_number():
    demand = day_demand(days_of("20*"))

    number = number_for(demand, 500, 500)

    assert demand.kind == "nothing"
    assert (number.quantity, number.more_than) == (None, 20)


def test_one_earlier_day_is_too_few_for_a_number_above_it():
    demand = day_demand(days_of("20"))

    number = number_for(demand, 900, 100)

    assert number.quantity is None
    assert number.sentences[0].startswith("The record cannot say: 1 earlier day is too")


def test_a_guess_alone_is_as_wide_as_she_said():
    # 0.3, 0.4, 0.3 of 20, 30, 45: mean 31.5 and variance 95.25, by hand.
    demand = day_demand([], Guess(20, 30, 45))

    assert demand.mean == pytest.approx(31.5, abs=1e-5)
    assert demand.guess_share == 1
    assert variance(demand) == pytest.approx(95.25, abs=0.01)
    # 8 times in 10 between low and high, as the three numbers were asked for.
    inside = demand.chance_of_more(19) - demand.chance_of_more(45)
    assert inside == pytest.approx(0.8, abs=0.05)


def variance(demand):
    counts = range(len(demand.above))
    return sum(demand.chance_of(k) * (k - demand.mean) ** 2 for k in counts)


@pytest.mark.parametrize(
    "numbers", [(30, 20, 40), (10, 40, 30), (-1, 5, 9), (0, 0, 0), (1, 2, 100_001)]
)
def test_a_guess_out_of_order_is_told_with_its_numbers(numbers):
    with pytest.raises(GuessOutOfOrder) as refused:
        Guess(*numbers)

    assert str(refused.value).startswith(f"The guess reads low {numbers[0]}, likely")


def test_a_day_that_draws_less_wants_less():
    whole = day_demand(SIX_SLOTS)

    repeat = day_demand(SIX_SLOTS, draws=Fraction(55, 100))

    # 26 x 0.55 = 14.3, so 14: by hand.
    assert number_for(repeat, 840, 560).quantity == 14
    assert repeat.mean == pytest.approx(0.55 * whole.mean, rel=0.02)


def test_more_days_leave_less_of_the_answer_to_the_guess():
    guess = Guess(25, 35, 55)

    shares = [day_demand(SIX_SLOTS[:n], guess).guess_share for n in (0, 1, 4)]

    assert shares[0] == 1
    assert shares[0] > shares[1] > shares[2] > 0


@given(
    st.lists(
        st.builds(
            PastDay,
            st.integers(0, 50),
            st.booleans(),
            st.sampled_from([None, Fraction(1, 2), Fraction(1)]),
        ),
        max_size=7,
    ),
    st.sampled_from([None, Guess(5, 10, 20), Guess(30, 31, 33)]),
)
@settings(max_examples=30, deadline=None)
def test_chances_fall_from_one_to_nought_and_parts_add_up(days, guess):
    demand = day_demand(days, guess)

    if not demand.is_known:
        return
    above = demand.above
    assert all(a >= b - 1e-9 for a, b in pairwise(above))
    assert above[0] <= 1 + 1e-9
    assert above[-1] < 0.01
    risk = risk_of(demand, 12)
    assert risk.sold + risk.left_over == pytest.approx(12)
    assert risk.sold + risk.turned_away == pytest.approx(demand.mean)
