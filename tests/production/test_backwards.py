"""Load and latest starts against two worked calendars and against each other."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from production.backwards import (
    Job,
    JobsInARing,
    Window,
    WorkingTime,
    check_capacity,
    earliest_finishes,
    latest_starts,
)
from studio.days import LONDON


def at(day, clock, month=11):
    hour, minute = map(int, clock.split(":"))
    return datetime(2025, month, day, hour, minute, tzinfo=LONDON)


NOW = at(3, "09:00")
# Own calendar, recomputed by a second program: 1140 working minutes.
WINDOWS = (
    Window(at(3, "09:00"), at(3, "12:30")),
    Window(at(4, "13:00"), at(4, "17:00")),
    Window(at(6, "09:00"), at(6, "12:00")),
    Window(at(6, "13:00"), at(6, "16:30")),
    Window(at(7, "09:00"), at(7, "12:00")),
    Window(at(8, "10:00"), at(8, "12:00")),
)
ROOMY = (
    Job("T4", 240, at(8, "12:00")),
    Job("T5", 60, at(3, "17:00")),
    Job("T1", 120, at(4, "17:00")),
    Job("T2", 150, at(6, "12:00")),
    Job("T3", 200, at(7, "17:00")),
)
TIGHT = (
    Job("T5", 90, at(3, "17:00")),
    Job("T1", 180, at(4, "15:00")),
    Job("T2", 260, at(6, "10:00")),
    Job("T3", 160, at(6, "17:00")),
    Job("T4", 300, at(8, "12:00")),
)


def test_load_against_working_minutes():
    capacity = check_capacity(ROOMY, WINDOWS, NOW)

    assert [(x.load_minutes, x.available_minutes) for x in capacity.lines] == [
        (60, 210),
        (180, 450),
        (330, 630),
        (530, 1020),
        (770, 1140),
    ]
    assert [x.slack_minutes for x in capacity.lines] == [150, 270, 300, 490, 370]
    assert capacity.sentence == "Everything can be ready in time."


def test_latest_starts_go_back_from_the_last_job():
    slots = latest_starts(ROOMY, WINDOWS, NOW)

    assert [(slot.code, slot.start) for slot in slots] == [
        ("T5", at(3, "11:30")),
        ("T1", at(4, "15:00")),
        ("T2", at(6, "09:30")),
        ("T3", at(6, "14:10")),
        ("T4", at(7, "10:00")),
    ]
    assert slots[3].finish == at(7, "10:00")


def test_earliest_finishes_go_on_from_now():
    slots = earliest_finishes(ROOMY, WINDOWS, NOW)

    assert [slot.finish for slot in slots] == [
        at(3, "10:00"),
        at(3, "12:00"),
        at(4, "15:00"),
        at(6, "10:20"),
        at(6, "15:20"),
    ]


def test_the_first_line_below_nought_names_the_trouble():
    capacity = check_capacity(TIGHT, WINDOWS, NOW)

    assert [x.slack_minutes for x in capacity.lines] == [120, 60, -20, 150, 150]
    assert capacity.trouble.code == "T2"
    assert capacity.sentence == (
        "20 minutes are missing for T2: 530 are needed by Thu 6 November, 10:00, "
        "510 are there. Drop or move a job, or add a session."
    )


def test_the_backward_pass_starts_as_many_minutes_too_late():
    slots = latest_starts(TIGHT, WINDOWS, NOW)

    assert (slots[0].code, slots[0].start_minute, slots[0].start) == ("T5", -20, None)


def test_a_start_opens_a_window_and_a_finish_closes_one():
    time = WorkingTime(NOW, WINDOWS)

    assert time.start_at(210) == at(4, "13:00")
    assert time.finish_at(210) == at(3, "12:30")
    assert (time.start_at(1140), time.finish_at(1141)) == (None, None)


def test_time_gone_by_and_overlaps_count_once():
    windows = (
        Window(at(3, "08:00"), at(3, "10:00")),
        Window(at(3, "09:30"), at(3, "11:00")),
        Window(at(2, "08:00"), at(2, "10:00")),
    )

    assert WorkingTime(NOW, windows).minutes_until(at(9, "12:00")) == 120


def test_cutting_must_end_before_sewing_can():
    # Worked by hand: sewing of 180 due at minute 450 starts at 270 at the latest.
    jobs = (
        Job("sew", 180, at(4, "17:00"), after=("cut",)),
        Job("cut", 60, at(8, "12:00")),
    )

    slots = latest_starts(jobs, WINDOWS, NOW)

    assert [(s.code, s.start_minute, s.finish_minute) for s in slots] == [
        ("cut", 210, 270),
        ("sew", 270, 450),
    ]


def test_jobs_that_wait_for_each_other_are_refused():
    jobs = (
        Job("sew", 9, at(4, "17:00"), after=("cut",)),
        Job("cut", 9, at(4, "17:00"), after=("sew",)),
    )

    with pytest.raises(JobsInARing, match="Untie the order"):
        check_capacity(jobs, WINDOWS, NOW)


def test_the_night_the_clocks_go_forward_is_an_hour_shorter():
    # Clocks go forward on Sunday 28 March 2027 at 01:00.
    evening = datetime(2027, 3, 27, 23, 0, tzinfo=LONDON)
    morning = datetime(2027, 3, 28, 3, 0, tzinfo=LONDON)

    time = WorkingTime(evening, [Window(evening, morning)])

    assert time.minutes_until(morning) == 180


@given(st.lists(st.tuples(st.integers(1, 300), st.integers(0, 130)), min_size=1))
def test_smallest_slack_is_the_lateness_and_the_backward_shortage(raw):
    jobs = [
        Job(f"J{i}", minutes, NOW + timedelta(hours=hours))
        for i, (minutes, hours) in enumerate(raw)
    ]

    slack = min(x.slack_minutes for x in check_capacity(jobs, WINDOWS, NOW).lines)

    time = WorkingTime(NOW, WINDOWS)
    due = {job.code: time.minutes_until(job.due) for job in jobs}
    late = max(
        slot.finish_minute - due[slot.code]
        for slot in earliest_finishes(jobs, WINDOWS, NOW)
    )
    first = latest_starts(jobs, WINDOWS, NOW)[0].start_minute
    assert slack == -late
    assert min(0, slack) == min(0, first)
