"""The days on which suppliers work, and the sessions before a day."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

import holidays

from production.models import Batch, SellingDay
from studio.days import london, london_day
from studio.models import WorkSession
from studio.walk import WorkingWeek


def working_week(today: date) -> WorkingWeek:
    """Return Monday to Friday without the bank holidays of England."""
    years = range(today.year - 1, today.year + 3)
    return WorkingWeek(
        not_on=frozenset(holidays.country_holidays("GB", subdiv="ENG", years=years))
    )


def ready_by(selling_day: SellingDay) -> date:
    """Return the day on which goods must be packed: goods-in, or the day itself."""
    return london_day(selling_day.goods_in_at or selling_day.starts_at)


def sessions_before(day: date, *, now: datetime) -> list[WorkSession]:
    """Return the sessions still to come before a day, with minutes to cut in.

    A session on the day itself is too late: the sets would not be made up yet.
    """
    today, clock = london_day(now), london(now).time()
    sessions = WorkSession.objects.filter(
        kind=WorkSession.Kind.CUTTING, day__gte=today, day__lt=day, net_minutes__gt=0
    ).order_by("day", "starts", "pk")
    return [
        session
        for session in sessions
        if session.day > today or session.ends is None or session.ends > clock
    ]


def planned_elsewhere(selling_day: SellingDay) -> list[Batch]:
    """Return the planned work that is not this day's own: its plan is made anew."""
    return list(
        Batch.objects.filter(state=Batch.State.PLANNED)
        .exclude(selling_day=selling_day)
        .select_related("layout", "layout__sheet", "item", "session")
        .prefetch_related("layout__gives__piece")
    )


def taken_minutes(batches: Iterable[Batch]) -> dict[int, int]:
    """Add up by session the minutes that planned work still takes."""
    taken: dict[int, int] = {}
    for batch in batches:
        if batch.session_id is not None:
            minutes = -(-batch.minutes * batch.left // batch.count)
            taken[batch.session_id] = taken.get(batch.session_id, 0) + minutes
    return taken
