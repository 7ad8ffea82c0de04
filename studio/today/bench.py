"""What the bench and the calendar say of today: selling days, sheets, sizes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.urls import NoReverseMatch, reverse

from inventory.queries.balances import below_nought
from inventory.queries.elsewhere import sold_out_but_owned
from orders.queries.open_orders import Expected
from production.day_plan import SellingDayPlan
from production.models import Batch, Layout, Line, SellingDay
from production.queries.layouts import layouts_in_use
from production.queries.made_goods import MadeGoods, made_goods
from production.queries.notices import (
    Notice,
    half_sets,
    layout_faults,
    sample_faults,
    session_faults,
)
from production.queries.plans import plan_for
from production.queries.sizes import sizes_to_make
from studio.days import london_day, show_clock, show_day_short
from studio.models import StudioSettings
from studio.today.words import Said, Section, counted

HORIZON = timedelta(days=100)
MOST_HALF_SETS = 2


def planned_by_code(now: datetime) -> dict[str, Expected]:
    """Return when each planned item is made next, for orders that wait for it."""
    batches = (
        Batch.objects.filter(
            kind=Batch.Kind.MAKING_UP,
            state=Batch.State.PLANNED,
            session__day__gte=london_day(now),
        )
        .select_related("item", "session")
        .order_by("-session__day")
    )
    found: dict[str, Expected] = {}
    for batch in batches:
        if batch.item is not None and batch.session is not None:
            day = batch.session.day
            found[batch.item.code] = Expected(
                day, f"{batch.item.code} is next cut on {show_day_short(day)}."
            )
    return found


def coming_days(now: datetime) -> list[SellingDay]:
    """Return the selling days not yet over, the nearest first: one query."""
    return list(
        SellingDay.objects.filter(ends_at__gte=now, starts_at__lte=now + HORIZON)
        .select_related("outlet", "place", "terms")
        .order_by("starts_at")
    )


def selling_section(days: list[SellingDay], now: datetime) -> Section | None:
    """Say what is next on the calendar, and what each day waits for."""
    if not days:
        return None
    first = days[0]
    heading = f"Next: {first.name}, {when_words(first, now)}."
    said = [
        Said(day_sentence(day, now), day.get_absolute_url(), day.name) for day in days
    ]
    return Section("selling", heading, tuple(said), is_folded=True)


def when_words(day: SellingDay, now: datetime) -> str:
    starts = london_day(day.starts_at)
    left = (starts - london_day(now)).days
    clock = f"{show_clock(day.starts_at)} to {show_clock(day.ends_at)}"
    if left == 0:
        return f"today {clock}"
    if left == 1:
        return f"tomorrow {clock}"
    return f"{show_day_short(starts)} {clock}"


def day_sentence(day: SellingDay, now: datetime) -> str:
    sentence = f"{day.name}: {when_words(day, now)}."
    if day.fixed_by is not None and day.fixed_by >= now:
        fixed = (
            f"{show_day_short(london_day(day.fixed_by))}, {show_clock(day.fixed_by)}"
        )
        sentence += f" Numbers are fixed by {fixed}."
    return sentence


@dataclass(frozen=True)
class BenchReading:
    """What several sections stand on, read once."""

    made: MadeGoods
    layouts: tuple[Layout, ...]


def bench_reading(now: datetime) -> BenchReading:
    return BenchReading(made_goods(now), tuple(layouts_in_use()))


def day_to_cut_for(days: list[SellingDay], now: datetime) -> SellingDay | None:
    """Return the nearest day whose goods are still to be made: one query."""
    wanting = set(
        Line.objects.filter(selling_day__in=days, sent=0)
        .exclude(wanted=0)
        .values_list("selling_day_id", flat=True)
    )
    for day in days:
        ready = day.goods_in_at or day.starts_at
        is_made_for = day.kind in (day.Kind.SLOT, day.Kind.ONLINE)
        if ready > now and is_made_for and day.pk in wanting:
            return day
    return None


def cutting_section(
    days: list[SellingDay], now: datetime, reading: BenchReading
) -> Section | None:
    """Say what must be cut for the next day that still wants making."""
    day = day_to_cut_for(days, now)
    if day is None:
        return None
    plan = plan_for(day, now=now, made=reading.made, layouts=reading.layouts)
    url = day.get_absolute_url()
    said = [
        Said(sentence, url, f"To cut for {day.name}" if place == 0 else "")
        for place, sentence in enumerate(plan_sentences(plan))
    ]
    return Section("cutting", plan.opening, tuple(said), is_folded=True)


def plan_sentences(plan: SellingDayPlan) -> list[str]:
    sheets = ", ".join(f"{code} {count}" for code, count, _, _ in plan.layouts if count)
    said = []
    if sheets:
        said.append(
            f"To cut for {plan.name}: {sheets}: {counted(plan.sheets, 'sheet')}, "
            f"{plan.minutes} minutes."
        )
    said.extend(f"{line.name}: {line.sentence}" for line in plan.unanswered)
    said.extend(order.sentence for order in plan.orders)
    return said


def notices_section(now: datetime, reading: BenchReading) -> Section | None:
    """Say what is odd at the bench and on the shelves, one sentence each."""
    said = [Said(one.sentence, notice_url(one)) for one in worth_saying(now, reading)]
    said.extend(
        Said(str(one), one.item.get_absolute_url(), one.item.name)
        for one in sold_out_but_owned()
    )
    said.extend(
        Said(
            f"The book says {count} of {item.code} at {place.name}: sold before it "
            "was logged, or miscounted? Count it.",
            item.get_absolute_url(),
            item.code,
        )
        for item, place, count in below_nought()
    )
    heading = f"{counted(len(said), 'thing')} worth knowing."
    return Section("notices", heading, tuple(said), is_folded=True) if said else None


def worth_saying(now: datetime, reading: BenchReading) -> list[Notice]:
    """Leave the small half sets to the bench's own page: two of them say enough."""
    return [
        *half_sets(now, reading.made)[:MOST_HALF_SETS],
        *layout_faults(reading.layouts),
        *session_faults(now),
        *sample_faults(now),
    ]


def notice_url(notice: Notice) -> str:
    if not notice.next_step_url_name:
        return ""
    try:
        return reverse(notice.next_step_url_name, args=notice.next_step_args)
    except NoReverseMatch:
        return ""


def sizes_section(now: datetime, studio: StudioSettings) -> Section | None:
    """Name the sizes worth making next, the largest number first."""
    designs = sizes_to_make(
        today=london_day(now), now=now, cover_days=studio.cover_days
    )
    lines = sorted(
        (line for design in designs for line in design.lines if line.make),
        key=lambda line: (-line.make, line.item.code),
    )
    if not lines:
        return None
    said = tuple(
        Said(
            f"{line.item.name}: {line.reason}", reverse("studio:sizes"), line.item.name
        )
        for line in lines
    )
    first = lines[0]
    heading = f"Worth making next: {first.make} of {first.item.name}."
    return Section("sizes", heading, said, is_folded=True)
