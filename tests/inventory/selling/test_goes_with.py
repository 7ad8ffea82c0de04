"""Who took this also took, and when that is luck."""

import pytest

from inventory.selling.goes_with import what_goes_with


def test_a_pair_that_goes_together_is_told_beside_what_is_usual():
    # Clopper and Pearson for 9 of 10: .5550 to .9975 (widely tabulated, from memory).
    orders = [["set", "booklet"]] * 9 + [["set"]] + [["bundle"]] * 40

    found = {(one.first, one.second): one for one in what_goes_with(orders)}

    pair = found["set", "booklet"]
    assert (pair.orders, pair.both, pair.usual) == (10, 9, 9 / 50)
    assert (pair.low_95, pair.high_95) == pytest.approx((0.5550, 0.9975), abs=5e-5)
    assert pair.sentence == (
        "9 of 10 who took set also took booklet; of all orders 18 in 100 did."
    )


def test_what_everybody_takes_goes_with_nothing_in_particular():
    orders = [["set", "dots"]] * 9 + [["bundle", "dots"]] * 41

    pair = next(
        o for o in what_goes_with(orders) if (o.first, o.second) == ("set", "dots")
    )

    assert not pair.proved
    assert pair.sentence == (
        "9 of 9 who took set also took dots; of all orders 100 in 100 did, so it is not "
        "proved."
    )


def test_a_lead_that_luck_makes_is_not_proved():
    # Clopper and Pearson for 4 of 5: .2836 to .9949 (widely tabulated, from memory).
    orders = [["set", "booklet"]] * 4 + [["set"]] + [["booklet"]] * 2 + [["dots"]] * 8

    pair = next(one for one in what_goes_with(orders) if one.first == "set")

    assert (pair.share, pair.usual) == (0.8, 6 / 15)
    assert (pair.low_95, pair.high_95) == pytest.approx((0.2836, 0.9949), abs=5e-5)
    assert not pair.proved


def test_two_of_one_thing_are_no_pair():
    assert what_goes_with([["set", "set"]] * 9) == ()


def test_few_orders_make_no_pairing():
    assert what_goes_with([["set", "booklet"]] * 4) == ()
    assert what_goes_with([]) == ()


def test_only_the_commonest_partners_of_a_thing_are_told():
    orders = [["set", f"bundle {n}"] for n in range(9) for _ in range(n)]

    partners = [one.second for one in what_goes_with(orders) if one.first == "set"]

    assert partners == ["bundle 8", "bundle 7", "bundle 6"]
