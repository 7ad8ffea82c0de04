"""A list drawn by django-tables2 costs little more than the same list by hand.

Both pages have the same frame, filter, query and row template; one lets the table
class do headings, sorting and paging, the other does them in the template.
"""

import json

import pytest

from tests.measured.books import run_on
from tests.measured.paper_and_table_programs import TABLES

pytestmark = pytest.mark.measured

MOST_TIMES_BY_HAND = 1.5


def test_a_table_of_fifty_rows_costs_little_more_than_by_hand(long_book, figures):
    with_tables, by_hand = json.loads(run_on(long_book, TABLES))

    figures.add(
        "A list of 50 orders out of all of ten years, processor ms, medians",
        ("django-tables2", "by hand", "times"),
        f"{with_tables:.1f}",
        f"{by_hand:.1f}",
        f"{with_tables / by_hand:.2f}",
    )
    assert with_tables <= MOST_TIMES_BY_HAND * by_hand
