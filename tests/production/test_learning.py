"""Minutes learned from logs, against published data and sums recomputed elsewhere."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from production.learning import (
    Logged,
    Pace,
    Typed,
    blended,
    learned_pace,
    robust_pace,
)

WORKED = Path(__file__).parents[1] / "worked" / "paces.csv"
INTERRUPTED = [
    Logged(count, minutes)
    for count, minutes in zip(
        (4, 6, 10, 3, 8, 12, 5, 7), (52, 63, 91, 44, 75, 260, 57, 70), strict=True
    )
]


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", worked_rows(), ids=lambda row: row["case"])
def test_the_repeated_median_of_the_table_is_met(row):
    logs = [
        Logged(int(count), float(minutes))
        for count, minutes in zip(
            row["counts"].split(), row["minutes"].split(), strict=True
        )
    ]

    pace = robust_pace(logs)

    assert pace.each == pytest.approx(float(row["each"]), abs=1e-6)
    assert pace.set_up == pytest.approx(float(row["set_up"]), abs=1e-6)


def test_one_log_moves_the_guess_a_little():
    # Own instance, normal updating: 6 in 70 minutes; 15 (5) and 7 (2), noise 6.
    found = blended([Logged(6, 70)], Typed(Pace(15, 7), 5, 2), 6)

    assert found.pace.set_up == pytest.approx(16.585366, abs=1e-6)
    assert found.pace.each == pytest.approx(8.521951, abs=1e-6)
    assert found.set_up_spread == pytest.approx(4.6852, abs=1e-4)
    assert found.each_spread == pytest.approx(1.0910, abs=1e-4)


def test_five_logs_move_it_further():
    # Own instance: 5 10 4 12 8 in 46 88 40 101 72; 20 (10) and 6 (2), noise 8.
    logs = [
        Logged(5, 46),
        Logged(10, 88),
        Logged(4, 40),
        Logged(12, 101),
        Logged(8, 72),
    ]

    found = blended(logs, Typed(Pace(20, 6), 10, 2), 8)

    assert found.pace.set_up == pytest.approx(15.478051, abs=1e-6)
    assert found.pace.each == pytest.approx(6.987277, abs=1e-6)
    assert found.set_up_spread == pytest.approx(6.5918, abs=1e-4)
    assert found.each_spread == pytest.approx(0.8194, abs=1e-4)


def test_the_interrupted_log_is_shown_and_still_counts():
    learned = learned_pace(INTERRUPTED, Pace(20, 7))

    assert learned.logs == 8
    assert [odd.log for odd in learned.odd] == [Logged(12, 260)]
    assert learned.odd[0].sentence == (
        "12 took 260 minutes where about 102 were expected. Was it interrupted? It "
        "counts until you say otherwise."
    )
    assert learned.sentence == (
        "6.5 minutes each and 24.5 to set up, learned from 8 logs."
    )


def test_without_a_log_the_typed_minutes_stand():
    learned = learned_pace([], Pace(0, 22))

    assert learned.pace == Pace(0, 22)
    assert learned.whole_minutes(3) == 66
    assert learned.sentence.startswith("No session has logged it yet")


def test_logs_of_one_size_leave_the_set_up_near_the_typed_one():
    learned = learned_pace([Logged(3, 81)] * 6, Pace(15, 20))

    assert not learned.is_by_logs_alone
    assert learned.pace.minutes_for(3) == pytest.approx(80.5, abs=1.0)
    assert 10 < learned.pace.set_up < 20


def test_a_line_that_falls_is_read_as_minutes_each():
    pace = robust_pace([Logged(1, 60), Logged(2, 50), Logged(4, 40)])

    assert pace == Pace(0.0, 25.0)


@given(
    st.floats(0, 40),
    st.floats(1, 30),
    st.lists(st.integers(1, 12), min_size=5, max_size=9, unique=True),
    st.floats(-80, 200),
)
def test_one_wrong_log_in_five_moves_nothing_far(set_up, each, counts, wrong_by):
    logs = [Logged(count, set_up + each * count) for count in counts]
    wrong = [*logs[:-1], Logged(logs[-1].count, logs[-1].minutes + wrong_by)]

    pace = robust_pace(wrong)

    assert pace.minutes_for(6) == pytest.approx(set_up + 6 * each, rel=1e-6, abs=1e-6)
