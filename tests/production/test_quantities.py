"""The size of one batch against printed examples."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.demand import Belief
from production.quantities import (
    LearnedDemand,
    PoissonDemand,
    SaleTerms,
    TableDemand,
    best_quantity,
    gains,
    outlook_for,
)

WORKED = Path(__file__).parents[1] / "worked" / "quantities.csv"


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def demand_of(text):
    words = text.split()
    if words[0] == "poisson":
        return PoissonDemand(float(words[1]))
    if words[0] == "learned":
        return LearnedDemand(Belief(float(words[1]), float(words[2])))
    pairs = (word.split(":") for word in words)
    return TableDemand({int(count): Fraction(chance) for count, chance in pairs})


def terms_of(row):
    return SaleTerms(int(row["price"]), int(row["cost"]), int(row["left"]))


@pytest.mark.parametrize("row", worked_rows(), ids=lambda row: row["case"])
def test_the_printed_quantity_and_money_are_met(row):
    # All printed costs of stock and of customers lost count from the same terms.
    best = best_quantity(terms_of(row), demand_of(row["demand"]))

    measured = {
        "cost": best.outlook.cost_pence,
        "profit": best.outlook.profit_pence,
    }[row["measure"]]
    assert best.quantity == int(row["quantity"])
    assert measured == pytest.approx(float(row["value"]), abs=0.01)


def test_any_quantity_has_its_outlook():
    # Cachon & Terwiesch, exercise: sales at 4, left over at 6, profit at 8.
    terms, demand = SaleTerms(5500, 3200, 2000), PoissonDemand(4.5)

    assert outlook_for(4, terms, demand).sold == pytest.approx(3.411917, abs=1e-6)
    assert outlook_for(6, terms, demand).left_over == pytest.approx(1.823117, abs=1e-6)
    assert outlook_for(8, terms, demand).profit_pence == pytest.approx(
        5913.468, abs=0.001
    )


def test_the_fifth_is_worth_making_and_says_why():
    best = best_quantity(SaleTerms(5500, 3200, 2000), PoissonDemand(4.5))

    assert best.service == Fraction(23, 35)
    assert best.sentences == (
        "5: nobody is turned away 70 times in 100, and 66 are worth paying for.",
        "About 1.1 come home and 0.6 are turned away.",
    )


def test_the_smaller_of_two_equally_good_numbers_is_given():
    # Demand 1 to 10 equally likely, 1 lost by one left, 4 by one short: 8 or 9.
    demand = TableDemand({count: Fraction(1, 10) for count in range(1, 11)})

    best = best_quantity(SaleTerms(500, 100, 0), demand)

    assert (best.quantity, best.equally_good) == (8, 9)
    assert best.outlook.cost_pence == pytest.approx(400)
    assert best.sentences[2] == "Every number up to 9 is equally good."


def test_terms_without_a_loss_leave_it_to_the_bench():
    # Own instance: sale or return with the bench minutes at nought.
    best = best_quantity(SaleTerms(1080, 320, 415), PoissonDemand(6))

    assert best.quantity is None
    assert best.sentences[0].endswith("Send as many as there is time to make.")


def test_a_price_below_cost_makes_none():
    best = best_quantity(SaleTerms(300, 320, 100), PoissonDemand(6))

    assert best.quantity == 0
    assert best.sentences == (
        "One sold brings no more than it costs: make none on these terms.",
    )


def test_each_further_piece_on_top_of_the_shelf_is_worth_less():
    # Own instance recomputed by a second program: 3 on the shelf, Poisson 5.
    worth = gains(SaleTerms(900, 400, 100), PoissonDemand(5), on_shelf=3, count=4)

    assert worth == pytest.approx((287.979, 147.605, 7.231, -109.747), abs=0.001)


def test_no_demand_needs_nothing():
    assert best_quantity(SaleTerms(900, 400, 100), PoissonDemand(0)).quantity == 0


@given(st.integers(1, 30), st.integers(50, 900), st.integers(1, 49))
def test_no_neighbour_earns_more(mean, price, cost):
    terms, demand = SaleTerms(price, cost), PoissonDemand(mean)

    best = best_quantity(terms, demand)

    here = best.outlook.profit_pence
    for other in (best.quantity - 1, best.quantity + 1):
        if other >= 0:
            assert outlook_for(other, terms, demand).profit_pence <= here + 1e-6
