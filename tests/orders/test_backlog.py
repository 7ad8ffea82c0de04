"""Paid, but one item short: the ways out, worked by hand."""

from dataclasses import replace
from datetime import date

import pytest

from orders.backlog import ShortOrder, long_stop_sentence, ways_out
from orders.queries.choices import short_order
from orders.queries.open_orders import open_orders
from orders.queries.post_day import post_rules
from tests.orders.world import MORNING, PLANNED, build_world

# L-0433, worked by hand: all in one parcel £4.30 on Mon 8 March, day 12; split is
# £4.30 today and £2.15 on Mon 8, so £2.15 more; the set is £16.00, material £3.05.
L_0433 = ShortOrder(
    placed_on=date(2027, 2, 24),
    leaves_now=date(2027, 3, 3),
    rest_leaves=date(2027, 3, 8),
    something_is_there=True,
    whole_pence=430,
    now_pence=430,
    rest_pence=215,
    refund_pence=1600,
    material_pence=305,
)


def proposed(short):
    return [way.kind for way in ways_out(short) if way.is_proposed]


def test_three_ways_are_open_and_splitting_is_proposed():
    wait, split, refund = ways_out(L_0433)

    assert (wait.kind, wait.extra_pence) == ("wait", 0)
    assert wait.sentence == (
        "All leaves on Mon 8 March, day 12 after the order, for £4.30."
    )
    assert (split.kind, split.extra_pence, split.is_proposed) == ("split", 215, True)
    assert split.sentence == (
        "What is there leaves on Wed 3 March for £4.30, the rest on Mon 8 March for "
        "£2.15. It costs £2.15 more than one packet."
    )
    assert refund.sentence == (
        "Refund £16.00; the gain given up is £12.95, £10.80 against splitting."
    )


def test_the_figures_of_the_book_are_those_worked_by_hand(db):
    build_world()
    [state] = [s for s in open_orders(MORNING, planned=PLANNED) if s.number == "L-0433"]

    assert short_order(state, MORNING, post_rules(MORNING)) == L_0433


@pytest.mark.parametrize(
    ("changed", "kind"),
    [
        ({"rest_leaves": date(2027, 3, 3)}, "wait"),  # day 7
        ({"rest_leaves": date(2027, 3, 4)}, "split"),  # day 8
        ({"rest_leaves": None}, "split"),
        ({"rest_leaves": None, "something_is_there": False}, "refund"),
        ({"something_is_there": False}, "wait"),
    ],
)
def test_what_is_proposed_follows_the_rule_of_the_house(changed, kind):
    assert proposed(replace(L_0433, **changed)) == [kind]


def test_a_swap_is_offered_only_when_there_is_something_alike():
    swap = ways_out(replace(L_0433, swaps=("FB-01", "FB-02")))[2]

    assert "swap" not in [way.kind for way in ways_out(L_0433)]
    assert swap.sentence == (
        "Offer FB-01 or FB-02 instead; once it is agreed, all leaves on Wed 3 March."
    )


def test_the_long_stop_is_thirty_days_after_the_order():
    # 24 February and thirty days is Good Friday, 26 March; worked by hand.
    assert "delivered by Fri 26 March" in long_stop_sentence(date(2027, 2, 24))
