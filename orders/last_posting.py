"""Say which service still arrives in time, and until when to post.

A packet posted on a day arrives on the n-th delivery day after it, n being the
service's delivery days. The last useful posting for a need-by day is the latest
collection whose packet arrives on or before it; walking back from the need-by day,
the first collection that does is the last that can. Next-day is what the carrier
aims at, not a promise.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Literal

from orders.formats import Service, ServiceCode
from studio.days import at_clock, london_day, show_clock, show_day_short, show_moment
from studio.errors import StudioError
from studio.money import show_pounds
from studio.walk import (
    FURTHEST_DAYS,
    MONDAY_TO_FRIDAY,
    NoDayInReach,
    PostCalendar,
    WorkingWeek,
)

OfferKind = Literal["collection", "courier", "card"]


@dataclass(frozen=True)
class Courier:
    """A private carrier that comes to the door; post stops do not stop it.

    What it takes before its hour arrives the day after.
    """

    price_pence: int
    latest_time: time
    weekdays: frozenset[int] = MONDAY_TO_FRIDAY
    not_on: frozenset[date] = frozenset()

    def next_pick_up(self, moment: datetime) -> datetime:
        """Return the hour before which to have the packet ready."""
        week = WorkingWeek(self.weekdays, self.not_on)
        today = london_day(moment)
        in_time = moment < at_clock(today, self.latest_time)
        if not (week.is_working_day(today) and in_time):
            today = week.working_days_after(today, 1)
        return at_clock(today, self.latest_time)

    def arrives(self, picked_up_on: date) -> date:
        return picked_up_on + timedelta(days=1)


@dataclass(frozen=True)
class Offer:
    """What can be done instead, when no posting arrives in time."""

    kind: OfferKind
    sentence: str
    price_pence: int | None = None
    latest: datetime | None = None
    arrives: date | None = None


@dataclass(frozen=True)
class Choice:
    """The service to post by, or what to offer when none arrives in time."""

    service: Service | None
    posts_at: datetime
    arrives: date | None
    why: str
    alternatives: tuple[Offer, ...] = ()


class NoService(StudioError):
    def __init__(self) -> None:
        super().__init__("No posting service is set up. Add one in the settings.")


def arrival_day(posted_on: date, service: Service, calendar: PostCalendar) -> date:
    return calendar.nth_delivery_day_after(posted_on, service.delivery_days)


def last_posting(
    need_by: date,
    services: Sequence[Service],
    calendar: PostCalendar,
    now: datetime,
) -> Mapping[ServiceCode, datetime | None]:
    """Return the last useful posting of each service; None when it has gone by."""
    found: dict[ServiceCode, datetime | None] = {}
    for service in services:
        latest = last_useful(need_by, service, calendar)
        still = latest is not None and latest >= now
        found[service.code] = latest if still else None
    return found


def last_useful(
    need_by: date, service: Service, calendar: PostCalendar
) -> datetime | None:
    """Return the last useful posting, gone by or not."""
    for back in range(FURTHEST_DAYS):
        day = need_by - timedelta(days=back)
        collected = calendar.last_collection(day)
        if collected and _in_time(day, service, calendar, need_by):
            return collected
    return None


def choose_service(
    need_by: date | None,
    now: datetime,
    services: Sequence[Service],
    calendar: PostCalendar,
    *,
    courier: Courier | None = None,
) -> Choice:
    """Pick the first service that arrives in time when posted at the next collection.

    Give the services the cheapest first. Without a need-by day it is the cheapest.
    """
    if not services:
        raise NoService
    posts_at = calendar.next_collection(now)
    arrivals = [
        (service, arrival_day(london_day(posts_at), service, calendar))
        for service in services
    ]
    if need_by is None:
        return _cheapest(arrivals, posts_at, now)
    for place, (service, arrives) in enumerate(arrivals):
        if arrives <= need_by:
            too_late = arrivals[:place]
            why = _why_chosen(service, arrives, too_late, need_by, posts_at, now)
            return Choice(service, posts_at, arrives, why)
    why = _why_none(arrivals, need_by, posts_at, now, calendar)
    offers = _offers(need_by, now, courier)
    return Choice(None, posts_at, None, why, offers)


Arrivals = Sequence[tuple[Service, date]]


def _in_time(
    day: date, service: Service, calendar: PostCalendar, need_by: date
) -> bool:
    """Count a posting from which delivery is never reached as not in time."""
    try:
        return arrival_day(day, service, calendar) <= need_by
    except NoDayInReach:
        return False


def _cheapest(arrivals: Arrivals, posts_at: datetime, now: datetime) -> Choice:
    service, arrives = arrivals[0]
    why = (
        f"No day to be met: post {_when(posts_at, now)}, {service.code}. "
        f"It is due {show_day_short(arrives)}."
    )
    return Choice(service, posts_at, arrives, why)


def _why_chosen(
    service: Service,
    arrives: date,
    too_late: Arrivals,
    need_by: date,
    posts_at: datetime,
    now: datetime,
) -> str:
    first = (
        f"Post {_when(posts_at, now)}, {service.code}: due "
        f"{show_day_short(arrives)}, needed by {show_day_short(need_by)}."
    )
    others = [f"{s.code} would be due {show_day_short(d)}" for s, d in too_late]
    if not others:
        return first
    listed = " and ".join(others)
    return f"{first} {listed[0].upper()}{listed[1:]}: too late."


def _why_none(
    arrivals: Arrivals,
    need_by: date,
    posts_at: datetime,
    now: datetime,
    calendar: PostCalendar,
) -> str:
    fastest, arrives = min(arrivals, key=lambda pair: pair[1])
    why = (
        f"No posting arrives by {show_day_short(need_by)}: posted "
        f"{_when(posts_at, now)}, {fastest.code} is due "
        f"{show_day_short(arrives)}."
    )
    latest = last_useful(need_by, fastest, calendar)
    if latest is None:
        return why
    return f"{why} The last useful posting was {show_moment(latest)}."


def _offers(need_by: date, now: datetime, courier: Courier | None) -> tuple[Offer, ...]:
    collect = Offer("collection", "Offer collection from the loft.")
    card = Offer("card", "Print a card: “Your gift is on its way.”")
    by_courier = _courier_offer(need_by, now, courier)
    if by_courier is None:
        return collect, card
    return collect, by_courier, card


def _courier_offer(
    need_by: date, now: datetime, courier: Courier | None
) -> Offer | None:
    if courier is None:
        return None
    latest = courier.next_pick_up(now)
    arrives = courier.arrives(london_day(latest))
    if arrives > need_by:
        return None
    sentence = (
        f"Courier at {show_pounds(courier.price_pence)}: have it ready "
        f"{show_day_short(london_day(latest))} before {show_clock(latest)}; "
        f"it arrives on {show_day_short(arrives)}."
    )
    return Offer("courier", sentence, courier.price_pence, latest, arrives)


def _when(posts_at: datetime, now: datetime) -> str:
    if london_day(posts_at) == london_day(now):
        return f"today by {show_clock(posts_at)}"
    day = show_day_short(london_day(posts_at))
    return f"{day} by {show_clock(posts_at)}"
