"""What comes home is worth what it will still fetch, and each further set its gain."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.left_over import gain_curve, worth_left
from production.quantities import (
    PoissonDemand,
    SaleTerms,
    best_quantity,
    gains,
    outlook_for,
)


def test_each_further_one_home_is_worth_less():
    # Chance that at least 1, 2, 3 are wanted of Poisson 2: 0.8647, 0.5940, 0.3233
    # (1 - e^-2, 1 - 3 e^-2, 1 - 5 e^-2); 10.00 by post, 1.00 else.
    worth = worth_left(PoissonDemand(2), 1000, 100, on_shelf=0, most=3)

    assert worth == (878, 635, 391)


def test_what_lies_on_the_shelf_goes_first():
    from_nought = worth_left(PoissonDemand(6), 900, 0, on_shelf=0, most=8)

    behind_three = worth_left(PoissonDemand(6), 900, 0, on_shelf=3, most=5)

    assert behind_three == from_nought[3:]


def test_with_one_worth_for_all_it_is_the_gain_of_the_single_batch():
    # Own instance recomputed by a second program: 287.979 147.605 7.231 -109.747
    # come after three on the shelf.
    curve = gain_curve(PoissonDemand(5), 900, 400, [100], 7)

    plain = gains(SaleTerms(900, 400, 100), PoissonDemand(5), on_shelf=0, count=7)
    assert curve == tuple(round(gain) for gain in plain)
    assert curve[3:] == (288, 148, 7, -110)


def test_the_printed_number_is_where_the_gains_end():
    # Cachon & Terwiesch, exercise: Poisson 4.5, 55 for 32, 20 left: 5.
    curve = gain_curve(PoissonDemand(4.5), 5500, 3200, [2000], 12)

    assert sum(1 for gain in curve if gain > 0) == 5


def test_a_better_home_never_asks_for_fewer():
    nought = gain_curve(PoissonDemand(8), 1150, 300, [0], 20)
    by_post = gain_curve(
        PoissonDemand(8),
        1150,
        300,
        worth_left(PoissonDemand(4), 900, 20, on_shelf=0, most=20),
        20,
    )

    assert all(better >= bare for better, bare in zip(by_post, nought, strict=True))
    assert sum(g > 0 for g in by_post) > sum(g > 0 for g in nought)


@given(st.floats(0.5, 25), st.floats(0.5, 12), st.integers(0, 6))
@settings(max_examples=40)
def test_gains_never_rise(day, home, shelf):
    worth = worth_left(PoissonDemand(home), 800, 30, shelf, 30)

    curve = gain_curve(PoissonDemand(day), 900, 250, worth, 30)

    assert list(curve) == sorted(curve, reverse=True)


def test_the_gains_add_up_to_the_profit():
    terms = SaleTerms(1080, 545, 415)
    best = best_quantity(terms, PoissonDemand(6)).quantity

    total = sum(gain_curve(PoissonDemand(6), 1080, 545, [415], best))

    profit = outlook_for(best, terms, PoissonDemand(6)).profit_pence
    assert total == pytest.approx(profit, abs=best / 2)
