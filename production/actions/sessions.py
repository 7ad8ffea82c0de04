"""Write down when the helper comes, and what a text message changes about it."""

from __future__ import annotations

from datetime import date, datetime, time

from django.db import transaction

from production.errors import NotMinutes, SessionRunsBackward, SessionThere
from studio.models import Person, StudioSettings, WorkSession

LONGEST_MINUTES = 960


def setup_minutes() -> int:
    studio = StudioSettings.objects.filter(pk=1).first()
    return studio.setup_minutes if studio else 15


def net_of(starts: time | None, ends: time | None, given: int | None) -> int:
    """Return the minutes to cut in: those given, or the stretch less setting up."""
    if given is not None:
        return check_minutes(given)
    if starts is None or ends is None:
        return 0
    # The day is only a peg: both times are of one day and one clock.
    peg = date(2000, 1, 1)
    lasts = datetime.combine(peg, ends) - datetime.combine(peg, starts)
    minutes = int(lasts.total_seconds() // 60)
    taken_off = setup_minutes()
    if minutes <= taken_off:
        raise SessionRunsBackward(minutes, taken_off)
    return check_minutes(minutes - taken_off)


def check_minutes(minutes: int) -> int:
    if isinstance(minutes, bool) or not 0 <= minutes <= LONGEST_MINUTES:
        raise NotMinutes(str(minutes))
    return minutes


@transaction.atomic
def add_session(
    person: Person,
    *,
    day: date,
    starts: time | None = None,
    ends: time | None = None,
    net_minutes: int | None = None,
    note: str = "",
) -> WorkSession:
    """Add a stretch of the helper's time; the same stretch said twice is one."""
    net = net_of(starts, ends, net_minutes)
    session, is_new = WorkSession.objects.get_or_create(
        person=person,
        day=day,
        starts=starts,
        defaults={"ends": ends, "net_minutes": net, "note": note},
    )
    if not is_new and (session.ends, session.net_minutes) != (ends, net):
        raise SessionThere(person.first_name, day)
    return session


@transaction.atomic
def change_session(
    session: WorkSession,
    *,
    starts: time | None = None,
    ends: time | None = None,
    net_minutes: int | None = None,
    note: str = "",
) -> WorkSession:
    """Change a session's hours; set-up minutes are taken off as when it was added."""
    session.net_minutes = net_of(starts, ends, net_minutes)
    session.starts, session.ends, session.note = starts, ends, note
    session.save(update_fields=["starts", "ends", "net_minutes", "note"])
    return session


def cancel_session(session: WorkSession, *, note: str) -> WorkSession:
    """Take in "can't do Saturday": the session stays in the diary with no minutes."""
    session.net_minutes = 0
    session.note = note
    session.save(update_fields=["net_minutes", "note"])
    return session


def record_hours(session: WorkSession, *, minutes_worked: int) -> WorkSession:
    """Write how many minutes were worked in the end; nought is an answer too."""
    session.minutes_worked = check_minutes(minutes_worked)
    session.save(update_fields=["minutes_worked"])
    return session
