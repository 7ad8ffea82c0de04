"""Posting and working days around two days without post, worked by hand."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest

from studio.days import LONDON
from studio.walk import NoDayInReach, PostCalendar, WorkingWeek

COUNTER = {**dict.fromkeys(range(5), time(16, 45)), 5: time(11, 30)}
POST = PostCalendar(
    closed=frozenset({date(2027, 3, 5), date(2027, 3, 6)}),
    bank_holidays=frozenset({date(2027, 3, 26), date(2027, 3, 29)}),
    collection=COUNTER,
)


def _march(day, hour=0, minute=0):
    return datetime(2027, 3, day, hour, minute, tzinfo=LONDON)


@pytest.mark.parametrize(
    ("posted", "n", "arrives"),
    [
        # Delivery days are Monday to Saturday without Fri 5 and Sat 6 March.
        (3, 1, 4),
        (3, 2, 8),
        (3, 3, 9),
        (2, 3, 8),
        (4, 1, 8),
        (1, 1, 2),
        # Good Friday 26 and Easter Monday 29 March have no delivery.
        (22, 3, 25),
        (25, 1, 27),
        (25, 2, 30),
    ],
)
def test_delivery_days_are_counted_over_closed_days(posted, n, arrives):
    day = POST.nth_delivery_day_after(date(2027, 3, posted), n)

    assert day == date(2027, 3, arrives)


@pytest.mark.parametrize(
    ("day", "delivered", "collected"),
    [
        (4, True, True),
        (5, False, False),
        (6, False, False),
        (7, False, False),
        (13, True, True),
        (26, False, False),
    ],
)
def test_a_closed_day_counts_neither_for_collection_nor_for_delivery(
    day, delivered, collected
):
    assert POST.is_delivery_day(date(2027, 3, day)) == delivered
    assert POST.is_collection_day(date(2027, 3, day)) == collected


def test_a_day_can_have_delivery_without_a_collection():
    weekdays_only = PostCalendar(
        frozenset(), frozenset(), dict.fromkeys(range(5), time(9))
    )

    assert weekdays_only.is_delivery_day(date(2027, 3, 13))
    assert weekdays_only.last_collection(date(2027, 3, 13)) is None


def test_the_counter_closes_earlier_on_saturday():
    assert POST.last_collection(date(2027, 3, 3)) == _march(3, 16, 45)
    assert POST.last_collection(date(2027, 3, 13)) == _march(13, 11, 30)
    assert POST.last_collection(date(2027, 3, 5)) is None


@pytest.mark.parametrize(
    ("now", "collected"),
    [
        (_march(3, 8, 30), _march(3, 16, 45)),
        (_march(3, 16, 45), _march(3, 16, 45)),
        (_march(3, 16, 46), _march(4, 16, 45)),
        (_march(4, 17, 0), _march(8, 16, 45)),
        (_march(13, 12, 0), _march(15, 16, 45)),
        # 23:30 on Sunday in UTC is already Monday in London from 28 March on.
        (
            datetime(2027, 4, 4, 23, 30, tzinfo=UTC),
            datetime(2027, 4, 5, 16, 45, tzinfo=LONDON),
        ),
    ],
)
def test_the_next_collection_skips_closed_days(now, collected):
    assert POST.next_collection(now) == collected


def test_a_post_that_never_comes_is_said_and_not_waited_for():
    never = PostCalendar(frozenset(), frozenset(), {}, delivery_weekdays=frozenset())

    with pytest.raises(NoDayInReach) as caught:
        never.nth_delivery_day_after(date(2027, 3, 3), 1)

    assert str(caught.value) == (
        "There are not enough delivery days within 400 days of Wed 3 March 2027. "
        "Check the weekdays and the closed days in the settings."
    )
    with pytest.raises(NoDayInReach):
        never.next_collection(_march(3))


def test_the_four_hundredth_day_is_still_in_reach():
    daily = PostCalendar(
        frozenset(), frozenset(), {}, delivery_weekdays=frozenset(range(7))
    )

    assert daily.nth_delivery_day_after(date(2027, 3, 3), 400) == date(2028, 4, 6)
    with pytest.raises(NoDayInReach):
        daily.nth_delivery_day_after(date(2027, 3, 3), 401)


def test_days_cannot_be_counted_backwards_by_a_number_below_nought():
    with pytest.raises(ValueError, match="-1"):
        POST.nth_delivery_day_after(date(2027, 3, 3), -1)


@pytest.mark.parametrize(
    ("start", "n", "after", "before"),
    [
        # Posy works Monday to Friday but not on Thursday 11 March.
        (10, 1, 12, 9),
        (12, 0, 12, 12),
        (12, 1, 15, 10),
        (14, 2, 16, 10),
    ],
)
def test_working_days_skip_weekends_and_days_off(start, n, after, before):
    posy = WorkingWeek(not_on=frozenset({date(2027, 3, 11)}))

    assert posy.working_days_after(date(2027, 3, start), n) == date(2027, 3, after)
    assert posy.working_days_before(date(2027, 3, start), n) == date(2027, 3, before)
