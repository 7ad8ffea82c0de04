"""The fewest late and the least lost, against printed examples and every subset."""

import csv
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from production.lateness import (
    Work,
    fewest_late,
    largest_lateness,
    least_lost,
)

WORKED = Path(__file__).parents[1] / "worked" / "lateness.csv"


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def works_of(text):
    return [work_of(*part.split()) for part in text.split("; ")]


def work_of(code, minutes, due, loss="0"):
    return Work(code, int(minutes), int(due), int(loss))


def measured(works, measure):
    return {
        "fewest late": lambda: len(fewest_late(works).late),
        "left out": lambda: " ".join(work.code for work in fewest_late(works).late),
        "largest lateness": lambda: largest_lateness(works),
        "least lost": lambda: least_lost(works).loss_pence,
        "kept": lambda: " ".join(work.code for work in least_lost(works).in_time),
    }[measure]()


@pytest.mark.parametrize(
    "row", worked_rows(), ids=lambda row: f"{row['case']}: {row['measure']}"
)
def test_the_answer_of_the_table_is_met(row):
    found = measured(works_of(row["works"]), row["measure"])

    assert str(found) == row["value"]


def can_be_in_time(works):
    return largest_lateness(works) <= 0


def subsets(works):
    return (
        subset
        for size in range(len(works) + 1)
        for subset in combinations(works, size)
        if can_be_in_time(subset)
    )


some_works = st.lists(
    st.tuples(st.integers(1, 9), st.integers(1, 25), st.integers(0, 90)), max_size=7
).map(lambda drawn: [Work(str(n), *one) for n, one in enumerate(drawn)])


@given(some_works)
def test_no_subset_leaves_fewer_out_or_loses_less(works):
    few, cheap = fewest_late(works), least_lost(works)

    in_time = list(subsets(works))
    saved = max(sum(work.loss_pence for work in subset) for subset in in_time)
    assert len(few.in_time) == max(len(subset) for subset in in_time)
    assert cheap.loss_pence == sum(work.loss_pence for work in works) - saved
    for choice in (few, cheap):
        assert can_be_in_time(choice.in_time)
        assert sorted([*choice.in_time, *choice.late], key=works.index) == works


def test_the_sentence_names_what_is_late():
    works = works_of("RF-090 60 50 1200; SG-030 20 50 400")

    assert least_lost(works_of("RF-090 30 50 1200")).sentence == (
        "Everything can be ready in time."
    )
    assert fewest_late(works).sentence == ("RF-090 would be late; that loses £12.00.")
