"""When goods that are still to come can leave, and by when they are likely there.

posted on the first collection day after the day they are expected
there on the n-th delivery day after that posting, n being the service's delivery days
"""

from __future__ import annotations

from datetime import date, time, timedelta

from orders.formats import Service
from orders.last_posting import arrival_day
from studio.days import at_clock, london_day
from studio.walk import PostCalendar

MIDNIGHT = time(0, 0)


def posting_day_after(expected_on: date, calendar: PostCalendar) -> date:
    """Return the first day after `expected_on` on which the post is collected."""
    morning_after = at_clock(expected_on + timedelta(days=1), MIDNIGHT)
    return london_day(calendar.next_collection(morning_after))


def likely_by(expected_on: date, service: Service, calendar: PostCalendar) -> date:
    """Return the latest likely day at the door, for goods expected on a day."""
    posted_on = posting_day_after(expected_on, calendar)
    return arrival_day(posted_on, service, calendar)
