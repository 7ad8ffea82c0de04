"""What the owner settles for the whole studio: its name, figures, counter and days.

Each change may be said twice and is made once: there is one studio and one counter,
and a stop or a closed day that stands already is found, not doubled.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from django.db import transaction

from studio import days, people
from studio.errors import StudioError
from studio.models import ClosedDay, Counter, Person, PostStop, StudioSettings

NEXT_MORNING = "next-morning"
BACK_TO_START = "start"
DEMO_STARTS = datetime(2027, 3, 3, 8, 30, tzinfo=days.LONDON)
CLOCK_STOPS = (time(8, 30), time(12, 10), time(18, 0), time(19, 15))


class StudioIsOpen(StudioError):
    """The first page was sent although there is a studio here."""

    def __str__(self) -> str:
        return "This studio is open already. Go to Today and say who you are."


class StopBackwards(StudioError):
    """A stop of the post whose last day comes before its first."""

    def __str__(self) -> str:
        return "The last day comes before the first. Write the earlier day first."


class ClockRuns(StudioError):
    """A real studio's clock was about to be moved."""

    def __str__(self) -> str:
        return "Only the demo’s clock can be moved. This studio goes by the real time."


@dataclass
class NoSuchStop(StudioError):
    """A place the demo's clock has no button for."""

    typed: str

    def __str__(self) -> str:
        return (
            f"The demo’s clock cannot be moved to “{self.typed}”. "
            "Use one of the buttons beside it."
        )


@transaction.atomic
def open_studio(
    *, name: str, return_address: str, person_name: str, password: str
) -> Person:
    """Open an empty studio with its owner. Raises StudioIsOpen or PasswordUnfit."""
    if StudioSettings.objects.exists():
        raise StudioIsOpen
    owner = people.add_person(name=person_name, role=Person.Role.OWNER)
    people.set_password(owner, password=password)
    StudioSettings.objects.create(pk=1, name=name, return_address=return_address)
    return owner


@transaction.atomic
def change_studio(studio: StudioSettings, **changes: Any) -> StudioSettings:
    """Change what is named, and nothing else."""
    for field, value in changes.items():
        setattr(studio, field, value)
    studio.full_clean()
    studio.save(update_fields=list(changes))
    return studio


@transaction.atomic
def set_counter(
    *,
    name: str,
    weekday_last: time,
    saturday_last: time | None,
    packets_a_visit: int,
    minutes_away: int,
) -> Counter:
    """Say where packets are handed over; there is one counter."""
    counter = Counter.objects.order_by("pk").first() or Counter()
    counter.name = name
    counter.weekday_last = weekday_last
    counter.saturday_last = saturday_last
    counter.packets_a_visit = packets_a_visit
    counter.minutes_away = minutes_away
    counter.save()
    return counter


@transaction.atomic
def add_post_stop(
    *, first_day: date, last_day: date, reason: str, now: datetime
) -> PostStop:
    """Write down days without collection or delivery. Raises StopBackwards."""
    if last_day < first_day:
        raise StopBackwards
    stop, _ = PostStop.objects.get_or_create(
        first_day=first_day,
        last_day=last_day,
        reason=reason,
        defaults={"typed_in_at": now},
    )
    return stop


@transaction.atomic
def drop_post_stop(stop_id: int) -> PostStop | None:
    """Take a stop away; return what it was, or nothing if it was away already."""
    stop = PostStop.objects.filter(pk=stop_id).first()
    PostStop.objects.filter(pk=stop_id).delete()
    return stop


@transaction.atomic
def add_closed_day(*, day: date, reason: str) -> ClosedDay:
    closed, _ = ClosedDay.objects.update_or_create(day=day, defaults={"reason": reason})
    return closed


@transaction.atomic
def drop_closed_day(day: date) -> None:
    ClosedDay.objects.filter(day=day).delete()


@transaction.atomic
def move_clock(studio: StudioSettings | None, *, to: str) -> datetime:
    """Move the demo's clock. Raises ClockRuns where the real time counts."""
    if studio is None or studio.clock_stands_at is None:
        raise ClockRuns
    studio.clock_stands_at = clock_stop(to, studio.clock_stands_at)
    studio.save(update_fields=["clock_stands_at"])
    return studio.clock_stands_at


def clock_stop(to: str, stands_at: datetime) -> datetime:
    """Return the moment a button of the demo's clock means, London time."""
    today = days.london_day(stands_at)
    if to == BACK_TO_START:
        return DEMO_STARTS
    if to == NEXT_MORNING:
        return days.at_clock(today + timedelta(days=1), CLOCK_STOPS[0])
    for stop in CLOCK_STOPS:
        if to == stop.isoformat("minutes"):
            return days.at_clock(today, stop)
    raise NoSuchStop(to)
