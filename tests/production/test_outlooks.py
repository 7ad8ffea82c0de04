"""What to expect of any quantity, against every figure of the printed examples."""

import csv
from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest

from production.quantities import (
    PoissonDemand,
    SaleTerms,
    TableDemand,
    best_quantity,
    outlook_for,
)

WORKED = Path(__file__).parents[1] / "worked" / "outlooks.csv"
# Nahmias & Olsen, Production and Operations Analysis: 52 weeks of a news-stand.
WEEKS = (
    *(15, 19, 9, 12, 9, 22, 4, 7, 8, 11, 14, 11, 6, 11, 9, 18, 10, 0, 14, 12, 8, 9, 5),
    *(4, 4, 17, 18, 14, 15, 8, 6, 7, 12, 15, 15, 19, 9, 10, 9, 16, 8, 11, 11, 18, 15),
    *(17, 19, 14, 14, 17, 13, 12),
)


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def demand_of(text):
    if text == "weeks":
        counts = Counter(WEEKS)
        return TableDemand({n: Fraction(k, len(WEEKS)) for n, k in counts.items()})
    if text.startswith("poisson"):
        return PoissonDemand(float(text.split()[1]))
    pairs = (word.split(":") for word in text.split())
    return TableDemand({int(count): Fraction(chance) for count, chance in pairs})


@pytest.mark.parametrize("row", worked_rows(), ids=lambda row: row["case"])
def test_the_printed_figure_of_a_quantity_is_met(row):
    terms = SaleTerms(int(row["price"]), int(row["cost"]), int(row["left"]))

    outlook = outlook_for(int(row["quantity"]), terms, demand_of(row["demand"]))

    found = {
        "cost": outlook.cost_pence,
        "profit": outlook.profit_pence,
        "enough": outlook.chance_enough,
        "sold": outlook.sold,
        "left": outlook.left_over,
    }[row["measure"]]
    assert found == pytest.approx(float(row["value"]), abs=float(row["close"]))


def test_the_news_stand_orders_fifteen():
    # Ratio 0.76923 lies between 0.6923 at 14 and 0.7885 at 15.
    assert best_quantity(SaleTerms(75, 25, 10), demand_of("weeks")).quantity == 15
