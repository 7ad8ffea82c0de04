"""Show and read days and clock times, all in the zone Europe/London.

Names of days and months are English whatever language the computer speaks.
"""

from __future__ import annotations

import calendar
import re
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from studio.errors import StudioError

LONDON = ZoneInfo("Europe/London")

WEEKDAYS = (
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
)
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
FIRST_YEAR, LAST_YEAR = 2000, 2099
LONG_STOP_DAYS = 30

_ISO = re.compile(r"(?P<year>[0-9]{4})-(?P<month>[0-9]{1,2})-(?P<day>[0-9]{1,2})")
_NUMBERS = re.compile(
    r"(?P<day>[0-9]{1,2})[/.-](?P<month>[0-9]{1,2})[/.-](?P<year>[0-9]{4}|[0-9]{2})"
)
_WORDS = re.compile(
    r"(?:(?P<weekday>[a-z]{3,9}),? )?(?P<day>[0-9]{1,2})(?:st|nd|rd|th)? "
    r"(?P<name>[a-z]{3,9}),?(?: (?P<year>[0-9]{4}))?"
)
_NAMED_DAYS = {"yesterday": -1, "today": 0, "tomorrow": 1}


class DayUnreadable(StudioError):
    def __init__(self, text: str) -> None:
        self.text = text
        super().__init__(
            f"“{text}” does not read as a day. Write it like 3 March 2027 or 3/3/2027."
            if text
            else "There is no day here. Write it like 3 March 2027 or 3/3/2027."
        )


class NoSuchDay(StudioError):
    """The month is too short for the day that was written."""

    def __init__(self, day: int, month: int, year: int) -> None:
        self.day, self.month, self.year = day, month, year
        name, last = MONTHS[month - 1], calendar.monthrange(year, month)[1]
        super().__init__(
            f"{day} {name} does not exist: {name} {year} has {last} days. "
            "Check the day and the month."
        )


class NoSuchMonth(StudioError):
    def __init__(self, text: str, month: int) -> None:
        self.text, self.month = text, month
        super().__init__(
            f"There is no month {month} in “{text}”. "
            "Write the day first, then the month, like 3/12/2027."
        )


class YearOutOfReach(StudioError):
    def __init__(self, year: int) -> None:
        self.year = year
        super().__init__(
            f"The year {year} looks wrong. Write a year from {FIRST_YEAR} to "
            f"{LAST_YEAR}."
        )


class WrongWeekday(StudioError):
    """The weekday and the date that were written do not belong together."""

    def __init__(self, day: date, weekday: str) -> None:
        self.day, self.weekday = day, weekday
        super().__init__(
            f"{day.day} {MONTHS[day.month - 1]} {day.year} is a "
            f"{WEEKDAYS[day.weekday()]}, not a {weekday}. "
            "Check the date, or leave the weekday out."
        )


class ClockSkipped(StudioError):
    """A time of day that no London clock shows, on the day clocks go forward."""

    def __init__(self, day: date, clock: time, meant: time) -> None:
        self.day, self.clock, self.meant = day, clock, meant
        super().__init__(
            f"There is no {clock:%H:%M} on {show_day(day)}: the clocks go forward "
            f"from 01:00 to 02:00 that night. Write {meant:%H:%M} if that is meant."
        )


def london(moment: datetime) -> datetime:
    """Turn an aware moment into London time; refuse one without a zone."""
    if moment.tzinfo is None:
        message = f"{moment!r} has no time zone."
        raise ValueError(message)
    return moment.astimezone(LONDON)


def london_day(moment: datetime) -> date:
    return london(moment).date()


def at_clock(day: date, clock: time) -> datetime:
    """Return the moment when London clocks show this time on this day."""
    return datetime.combine(day, clock, tzinfo=LONDON)


def shown_moment(day: date, clock: time) -> datetime:
    """Return the moment as `at_clock` does; refuse one that clocks skip."""
    moment = at_clock(day, clock)
    shown = london(moment.astimezone(UTC)).time()
    if shown != clock:
        raise ClockSkipped(day, clock, shown)
    return moment


def long_stop(contract_day: date) -> date:
    """Return the last day to deliver when no date was agreed.

    Thirty calendar days after the day of the contract: Consumer Rights Act 2015,
    section 28.
    """
    return contract_day + timedelta(days=LONG_STOP_DAYS)


def show_day(day: date) -> str:
    """Write “Wed 3 March 2027”."""
    return f"{show_day_short(day)} {day.year}"


def show_day_short(day: date) -> str:
    """Write “Wed 3 March”."""
    return f"{WEEKDAYS[day.weekday()][:3]} {day.day} {MONTHS[day.month - 1]}"


def show_clock(moment: datetime) -> str:
    """Write “16:45”, London time."""
    local = london(moment)
    return f"{local.hour:02}:{local.minute:02}"


def show_moment(moment: datetime) -> str:
    """Write “Wed 3 March, 16:45”, London time."""
    return f"{show_day_short(london_day(moment))}, {show_clock(moment)}"


def parse_day(text: str, *, today: date) -> date:
    """Read a day as people in Britain write it, the day before the month.

    Without a year it is the one nearest to today. Raise a StudioError that says
    what is wrong otherwise.
    """
    tidy = " ".join(text.split())
    lower = tidy.lower()
    if lower in _NAMED_DAYS:
        return today + timedelta(days=_NAMED_DAYS[lower])
    numbers = _ISO.fullmatch(lower) or _NUMBERS.fullmatch(lower)
    if numbers:
        return _day_of_numbers(tidy, numbers)
    words = _WORDS.fullmatch(lower)
    if words:
        return _day_of_words(tidy, words, today)
    raise DayUnreadable(tidy)


def _day_of_numbers(text: str, found: re.Match[str]) -> date:
    day, month, year = (int(found[part]) for part in ("day", "month", "year"))
    if len(found["year"]) == 2:
        year += FIRST_YEAR
    if not 1 <= month <= len(MONTHS):
        raise NoSuchMonth(text, month)
    return _day(day, month, year)


def _day_of_words(text: str, found: re.Match[str], today: date) -> date:
    month = _place(found["name"], MONTHS)
    if month is None:
        raise DayUnreadable(text)
    number = int(found["day"])
    if found["year"]:
        day = _day(number, month + 1, int(found["year"]))
    else:
        day = _nearest(number, month + 1, today)
    if found["weekday"]:
        _check_weekday(text, found["weekday"], day)
    return day


def _day(day: int, month: int, year: int) -> date:
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise YearOutOfReach(year)
    if not 1 <= day <= calendar.monthrange(year, month)[1]:
        raise NoSuchDay(day, month, year)
    return date(year, month, day)


def _nearest(day: int, month: int, today: date) -> date:
    """Pick the year that puts the day nearest to today, among those that have it."""
    years = range(today.year - 1, today.year + 2)
    having = [y for y in years if 1 <= day <= calendar.monthrange(y, month)[1]]
    if not having:
        raise NoSuchDay(day, month, today.year)
    return min((date(y, month, day) for y in having), key=lambda d: abs(d - today))


def _check_weekday(text: str, word: str, day: date) -> None:
    weekday = _place(word, WEEKDAYS)
    if weekday is None:
        raise DayUnreadable(text)
    if weekday != day.weekday():
        raise WrongWeekday(day, WEEKDAYS[weekday])


def _place(word: str, names: tuple[str, ...]) -> int | None:
    """Find a name by its first three letters or more; “Sept” is September."""
    found = (i for i, name in enumerate(names) if name.lower().startswith(word))
    return next(found, None)
