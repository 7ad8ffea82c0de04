"""Walk along posting, delivery and working days.

The n-th delivery day after a posting is counted day by day; days on which nothing
is collected or delivered (strikes, bank holidays) count for neither. Weekdays are
numbered from Monday, 0.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from studio.days import at_clock, london_day, show_day
from studio.errors import StudioError

FURTHEST_DAYS = 400
MONDAY_TO_FRIDAY = frozenset(range(5))
MONDAY_TO_SATURDAY = frozenset(range(6))


class NoDayInReach(StudioError):
    """The walk found too few days of a kind within reach."""

    def __init__(self, kind: str, start: date) -> None:
        self.kind, self.start, self.reach_days = kind, start, FURTHEST_DAYS
        super().__init__(
            f"There are not enough {kind} days within {FURTHEST_DAYS} days of "
            f"{show_day(start)}. Check the weekdays and the closed days in the "
            "settings."
        )


@dataclass(frozen=True)
class PostCalendar:
    """When the post is collected and delivered."""

    closed: frozenset[date]
    bank_holidays: frozenset[date]
    collection: Mapping[int, time]
    delivery_weekdays: frozenset[int] = MONDAY_TO_SATURDAY

    def is_delivery_day(self, day: date) -> bool:
        return day.weekday() in self.delivery_weekdays and self._moves(day)

    def is_collection_day(self, day: date) -> bool:
        return day.weekday() in self.collection and self._moves(day)

    def nth_delivery_day_after(self, day: date, n: int) -> date:
        return _walk(day, n, 1, self.is_delivery_day, "delivery")

    def last_collection(self, day: date) -> datetime | None:
        """Return the last moment to hand a packet in that day, if there is one."""
        if not self.is_collection_day(day):
            return None
        return at_clock(day, self.collection[day.weekday()])

    def next_collection(self, moment: datetime) -> datetime:
        """Return the first last-collection at or after the moment."""
        today = london_day(moment)
        collected = self.last_collection(today)
        if collected is not None and moment <= collected:
            return collected
        day = _walk(today, 1, 1, self.is_collection_day, "collection")
        return at_clock(day, self.collection[day.weekday()])

    def _moves(self, day: date) -> bool:
        return day not in self.closed and day not in self.bank_holidays


@dataclass(frozen=True)
class WorkingWeek:
    """The weekdays somebody works, less single days off."""

    weekdays: frozenset[int] = MONDAY_TO_FRIDAY
    not_on: frozenset[date] = frozenset()

    def is_working_day(self, day: date) -> bool:
        return day.weekday() in self.weekdays and day not in self.not_on

    def working_days_after(self, day: date, n: int) -> date:
        """Return the n-th working day after the day; n = 0 is the day itself."""
        return _walk(day, n, 1, self.is_working_day, "working")

    def working_days_before(self, day: date, n: int) -> date:
        """Return the n-th working day before the day; n = 0 is the day itself."""
        return _walk(day, n, -1, self.is_working_day, "working")


def _walk(
    start: date, n: int, step: int, counts: Callable[[date], bool], kind: str
) -> date:
    if n < 0:
        message = f"Cannot walk {n} {kind} days."
        raise ValueError(message)
    day = start
    for _ in range(FURTHEST_DAYS):
        if n == 0:
            return day
        day += timedelta(days=step)
        n -= counts(day)
    if n == 0:
        return day
    raise NoDayInReach(kind, start)
