"""How many to send after sold-out slots, worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from inventory.slot_demand import CostBelowNought, at_least_demand, service_quantity

SLOTS = ((18, False), (22, False), (24, False), (26, False), (30, True), (40, True))


def test_the_share_of_slots_above_each_figure():
    curve = at_least_demand(SLOTS)

    assert [(s.quantity, s.at_risk, s.ended, s.share_above) for s in curve.steps] == [
        (18, 6, 1, Fraction(5, 6)),
        (22, 5, 1, Fraction(2, 3)),
        (24, 4, 1, Fraction(1, 2)),
        (26, 3, 1, Fraction(1, 3)),
        (30, 2, 0, Fraction(1, 3)),
        (40, 1, 0, Fraction(1, 3)),
    ]
    assert curve.sold_out == 2


def test_average_demand_up_to_the_most_tried():
    # Worked by hand: 18 + 4 x 5/6 + 2 x 2/3 + 2 x 1/2 + 14 x 1/3 = 28 1/3.
    assert at_least_demand(SLOTS).mean_at_least == Fraction(85, 3)


def test_twenty_six_when_a_left_over_loses_much():
    answer = service_quantity(at_least_demand(SLOTS), 840, 560)

    assert (answer.quantity, answer.service) == (26, Fraction(3, 5))
    assert answer.sentences == (
        "Send 26: enough in 67 of 100 slots, and 60 of 100 are wanted.",
        "In 2 of 6 slots the demand is known only as “at least”.",
    )


def test_the_record_cannot_say_when_a_left_over_loses_little():
    answer = service_quantity(at_least_demand(SLOTS), 840, 280)

    assert (answer.quantity, answer.more_than) == (None, 40)
    assert answer.service == Fraction(3, 4)
    assert answer.sentences == (
        "The record cannot say: more than 40.",
        "40 is the most ever tried, and it sold out. Type your own upper guess, please.",
        "In 2 of 6 slots the demand is known only as “at least”.",
    )


def test_a_slot_that_sold_out_never_lowers_the_number():
    with_stock_left = [(sold, False) for sold, _ in SLOTS]

    plain = service_quantity(at_least_demand(with_stock_left), 840, 280)

    assert plain.quantity == 30
    assert len(plain.sentences) == 1


def test_two_slots_with_the_same_figure_end_together():
    curve = at_least_demand([(20, False), (20, True), (20, False), (30, False)])

    assert [(s.at_risk, s.ended, s.sold_out) for s in curve.steps] == [
        (4, 2, 1),
        (1, 1, 0),
    ]
    assert curve.steps[0].share_above == Fraction(1, 2)


def test_no_record_asks_for_a_guess():
    answer = service_quantity(at_least_demand([]), 840, 280)

    assert answer.quantity is None
    assert answer.sentences == ("There is no record yet. Type your own guess, please.",)


def test_costs_below_nought_are_refused():
    with pytest.raises(CostBelowNought, match="neither may be below nought"):
        service_quantity(at_least_demand(SLOTS), 840, -1)
