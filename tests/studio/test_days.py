"""Days and times as people in Britain write them."""

from __future__ import annotations

import csv
from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest

from studio.days import (
    DayUnreadable,
    NoSuchDay,
    NoSuchMonth,
    WrongWeekday,
    YearOutOfReach,
    at_clock,
    london,
    london_day,
    long_stop,
    parse_day,
    show_clock,
    show_day,
    show_day_short,
    show_moment,
)

TODAY = date(2027, 3, 3)
READ = Path(__file__).parents[1] / "worked" / "days_read.csv"


def _rows():
    with READ.open(newline="", encoding="utf-8") as table:
        return list(csv.DictReader(table))


@pytest.mark.parametrize("row", _rows(), ids=lambda row: row["typed"])
def test_a_day_is_read_as_it_is_written_in_britain(row):
    day = parse_day(row["typed"], today=TODAY)

    assert day == date.fromisoformat(row["day"])


@pytest.mark.parametrize(
    ("typed", "error", "sentence"),
    [
        (
            "30 February 2027",
            NoSuchDay,
            "30 February does not exist: February 2027 has 28 days. "
            "Check the day and the month.",
        ),
        (
            "31/4/2027",
            NoSuchDay,
            "31 April does not exist: April 2027 has 30 days. "
            "Check the day and the month.",
        ),
        (
            "30 Feb",
            NoSuchDay,
            "30 February does not exist: February 2027 has 28 days. "
            "Check the day and the month.",
        ),
        (
            "2027-13-03",
            NoSuchMonth,
            "There is no month 13 in “2027-13-03”. "
            "Write the day first, then the month, like 3/12/2027.",
        ),
        (
            "3/0/2027",
            NoSuchMonth,
            "There is no month 0 in “3/0/2027”. "
            "Write the day first, then the month, like 3/12/2027.",
        ),
        (
            "3 March 1027",
            YearOutOfReach,
            "The year 1027 looks wrong. Write a year from 2000 to 2099.",
        ),
        (
            "31/12/1999",
            YearOutOfReach,
            "The year 1999 looks wrong. Write a year from 2000 to 2099.",
        ),
        (
            "1/1/2100",
            YearOutOfReach,
            "The year 2100 looks wrong. Write a year from 2000 to 2099.",
        ),
        (
            "Thu 3 March 2027",
            WrongWeekday,
            "3 March 2027 is a Wednesday, not a Thursday. "
            "Check the date, or leave the weekday out.",
        ),
        (
            "next week",
            DayUnreadable,
            "“next week” does not read as a day. "
            "Write it like 3 March 2027 or 3/3/2027.",
        ),
        (
            "3 Marz",
            DayUnreadable,
            "“3 Marz” does not read as a day. Write it like 3 March 2027 or 3/3/2027.",
        ),
        (
            "Xyz 3 March",
            DayUnreadable,
            "“Xyz 3 March” does not read as a day. "
            "Write it like 3 March 2027 or 3/3/2027.",
        ),
        (
            "  ",
            DayUnreadable,
            "There is no day here. Write it like 3 March 2027 or 3/3/2027.",
        ),
    ],
)
def test_a_day_that_cannot_be_is_refused_in_a_sentence(typed, error, sentence):
    with pytest.raises(error) as caught:
        parse_day(typed, today=TODAY)

    assert str(caught.value) == sentence


@pytest.mark.parametrize(
    "day", [date(2027, 1, 31), date(2027, 9, 1), date(2028, 2, 29)]
)
def test_a_day_that_was_shown_can_be_typed_in_again(day):
    assert parse_day(show_day(day), today=TODAY) == day


def test_days_are_shown_with_weekday_and_month_by_name():
    assert show_day(TODAY) == "Wed 3 March 2027"
    assert show_day_short(TODAY) == "Wed 3 March"


@pytest.mark.parametrize(
    ("utc", "shown"),
    [
        # British Summer Time begins on the last Sunday of March at 01:00 UTC.
        (datetime(2027, 3, 3, 16, 45, tzinfo=UTC), "Wed 3 March, 16:45"),
        (datetime(2027, 3, 28, 0, 59, tzinfo=UTC), "Sun 28 March, 00:59"),
        (datetime(2027, 3, 28, 1, 0, tzinfo=UTC), "Sun 28 March, 02:00"),
        (datetime(2027, 7, 1, 23, 5, tzinfo=UTC), "Fri 2 July, 00:05"),
    ],
)
def test_moments_are_shown_by_the_clock_in_london(utc, shown):
    assert show_moment(utc) == shown
    assert show_clock(utc) == shown.split(", ")[1]


def test_a_summer_evening_in_london_is_the_next_day_after_midnight_there():
    assert london_day(datetime(2027, 7, 1, 23, 5, tzinfo=UTC)) == date(2027, 7, 2)


def test_a_clock_time_is_the_same_moment_whatever_the_zone():
    closing = at_clock(date(2027, 7, 1), time(16, 45))

    assert closing == datetime(2027, 7, 1, 15, 45, tzinfo=UTC)


def test_a_moment_without_a_zone_is_not_guessed_at():
    naive = datetime(2027, 3, 3, 8, 30)  # noqa: DTZ001

    with pytest.raises(ValueError, match="has no time zone"):
        london(naive)


def test_goods_without_an_agreed_date_are_due_within_thirty_days():
    # Consumer Rights Act 2015, section 28; worked by hand.
    assert long_stop(date(2027, 2, 24)) == date(2027, 3, 26)
