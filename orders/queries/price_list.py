"""The post's price list, calendar and counter, read from what she typed in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import cast

import holidays

from orders.errors import NoCounter, NoFormats
from orders.formats import (
    Format,
    FormatKind,
    Minutes,
    Price,
    Rules,
    Service,
    ServiceCode,
    Wrap,
)
from orders.last_posting import Courier
from orders.models import PostFormat, PostPrice, PostService
from studio.days import london_day
from studio.models import Counter, PostStop, StudioSettings
from studio.walk import PostCalendar

SATURDAY = 5
# A stop older than this can no longer move any posting that is still walked.
STOPS_SINCE = timedelta(days=400)
# What a gift and a customs form add to the packing of any packet: house figures.
GIFT_MINUTES = 3
CUSTOMS_MINUTES = 2


@dataclass(frozen=True)
class PriceList:
    """The rules of the packets, and the row of each format by its code."""

    rules: Rules
    formats: Mapping[str, PostFormat]

    @property
    def services(self) -> tuple[Service, ...]:
        return self.rules.services

    @property
    def largest(self) -> Format:
        return self.rules.formats[-1]


def post_counter() -> Counter:
    counter = Counter.objects.first()
    if counter is None:
        raise NoCounter
    return counter


def post_calendar(now: datetime, *, counter: Counter | None = None) -> PostCalendar:
    """Return when the post is collected and delivered: stops, holidays, counter.

    Bank holidays are those of England.
    """
    counter = counter or post_counter()
    today = london_day(now)
    return PostCalendar(
        closed=stopped_days(today),
        bank_holidays=bank_holidays(today),
        collection=collection_times(counter),
    )


def stopped_days(today: date) -> frozenset[date]:
    stops = PostStop.objects.filter(last_day__gte=today - STOPS_SINCE)
    return frozenset(
        stop.first_day + timedelta(days=number)
        for stop in stops
        for number in range((stop.last_day - stop.first_day).days + 1)
    )


def bank_holidays(today: date) -> frozenset[date]:
    years = range(today.year - 1, today.year + 3)
    return frozenset(holidays.country_holidays("GB", subdiv="ENG", years=years))


def collection_times(counter: Counter) -> dict[int, time]:
    times = dict.fromkeys(range(SATURDAY), counter.weekday_last)
    if counter.saturday_last is not None:
        times[SATURDAY] = counter.saturday_last
    return times


def courier_of(studio: StudioSettings | None) -> Courier | None:
    if studio is None or studio.courier_pence is None or studio.courier_before is None:
        return None
    return Courier(studio.courier_pence, studio.courier_before)


def price_list(on: date) -> PriceList:
    """Return formats, services and the prices in force on a day: three queries.

    A format without any price is not used yet and is left out.
    """
    prices = prices_on(on)
    priced = {price.format_code for price in prices}
    rows = [
        row
        for row in PostFormat.objects.select_related("wrap").order_by("rank")
        if row.code in priced
    ]
    services = list(PostService.objects.order_by("-delivery_days", "pk"))
    if not rows or not services:
        raise NoFormats
    kinds = kinds_of(rows)
    rules = Rules(
        formats=tuple(format_of(row, kinds[row.code]) for row in rows),
        services=tuple(
            Service(cast(ServiceCode, one.code), one.delivery_days) for one in services
        ),
        prices=prices,
        minutes=minutes_of(rows),
    )
    return PriceList(rules, {row.code: row for row in rows})


def kinds_of(rows: list[PostFormat]) -> dict[str, FormatKind]:
    """Name each format's kind; the smallest parcel is small, all others medium."""
    kinds: dict[str, FormatKind] = {}
    plain: dict[str, FormatKind] = {"letter": "letter", "large-letter": "large_letter"}
    for row in rows:
        first_parcel = "small_parcel" not in kinds.values()
        parcel: FormatKind = "small_parcel" if first_parcel else "medium_parcel"
        kinds[row.code] = plain.get(row.kind, parcel)
    return kinds


def format_of(row: PostFormat, kind: FormatKind) -> Format:
    return Format(
        code=row.code,
        name=row.name[:1].lower() + row.name[1:],
        kind=kind,
        max_tenths_mm=(
            row.longest_tenths_mm,
            row.middle_tenths_mm,
            row.shortest_tenths_mm,
        ),
        max_grams=row.max_grams,
        wrap=Wrap(row.wrap.name, row.wrap.adds_tenths_mm, row.wrap.adds_grams),
    )


def prices_on(on: date) -> tuple[Price, ...]:
    """Return the latest price of each format and service that is valid on a day."""
    rows = (
        PostPrice.objects.filter(valid_from__lte=on)
        .order_by("valid_from")
        .values_list("format__code", "service__code", "pence")
    )
    latest = {(fmt, service): pence for fmt, service, pence in rows}
    return tuple(
        Price(fmt, cast(ServiceCode, service), pence)
        for (fmt, service), pence in latest.items()
    )


def known_prices(on: date) -> dict[tuple[int, int], int]:
    """Return the price in force on a day by format and service: one query."""
    rows = PostPrice.objects.filter(valid_from__lte=on).order_by("valid_from")
    return {(row.format_id, row.service_id): row.pence for row in rows}


def minutes_of(rows: list[PostFormat]) -> Minutes:
    by_kind = {row.kind: row.packing_minutes for row in reversed(rows)}
    parcel = by_kind.get("parcel", rows[-1].packing_minutes)
    return Minutes(
        letter=by_kind.get("letter", parcel),
        large_letter=by_kind.get("large-letter", parcel),
        parcel=parcel,
        gift=GIFT_MINUTES,
        customs=CUSTOMS_MINUTES,
    )
