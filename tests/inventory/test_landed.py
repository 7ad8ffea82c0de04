"""What goods cost with their carriage. Source: worked by hand, in the table."""

import csv
from pathlib import Path

import pytest

from inventory.landed import Arrived, landed_mills

TABLE = Path(__file__).parent.parent / "worked" / "landed.csv"
ROWS = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))


def lines_of(text):
    pairs = (line.split("x") for line in text.split())
    return [Arrived(int(good), int(price)) for good, price in pairs]


@pytest.mark.parametrize("row", ROWS, ids=[row["lines"] for row in ROWS])
def test_carriage_is_shared_by_value_over_what_came_good(row):
    costs = landed_mills(lines_of(row["lines"]), int(row["carriage_pence"]))

    assert ["none" if cost is None else str(cost) for cost in costs] == row[
        "landed_mills"
    ].split()
