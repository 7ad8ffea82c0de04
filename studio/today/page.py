"""Put the day together: one value for the page, the terminal and the tests."""

from __future__ import annotations

from datetime import datetime

from django.urls import reverse

from inventory.models import Item
from orders.errors import NoCounter, NoFormats
from orders.queries.packing import Unmeasured
from orders.queries.post_day import PostDay, post_day
from orders.queries.post_words import when
from production.models import SellingDay
from studio.days import show_clock
from studio.models import StudioSettings
from studio.today import bench, post
from studio.today.words import Next, Said, Section, Today, counted


def today_at(now: datetime, *, studio: StudioSettings, name: str) -> Today:
    """Return what is to be said at this moment to the person of this name."""
    days = bench.coming_days(now)
    try:
        day = post_day(now, planned=bench.planned_by_code(now))
    except (NoCounter, NoFormats) as error:
        return without_post(error, now, studio=studio, name=name)
    sections = [
        post.going_section(day),
        post.needed_section(day),
        post.asked_section(day, name),
        post.short_section(day),
        post.refunds_section(),
        post.unmeasured_section(day),
        post.stops_section(day),
        *bench_sections(days, now, studio),
    ]
    return Today(
        sentence=opening(day),
        next=next_action(day),
        sections=tuple(one for one in sections if one is not None),
    )


def bench_sections(
    days: list[SellingDay], now: datetime, studio: StudioSettings
) -> list[Section | None]:
    reading = bench.bench_reading(now)
    return [
        bench.selling_section(days, now),
        bench.cutting_section(days, now, reading),
        bench.sizes_section(now, studio),
        bench.notices_section(now, reading),
    ]


def opening(day: PostDay) -> str:
    """Say the state of the day in one sentence."""
    if not day.states:
        return "No order is open. Nothing has to be posted."
    going, waiting = len(day.packets), len(day.waiting)
    if not going:
        if len(day.states) == 1:
            return "1 order is open and cannot go yet."
        return f"{len(day.states)} orders are open and none can go yet."
    start = f"{counted(going, 'packet')} can go"
    start += f" {when(day)}"
    if not waiting:
        return f"{start}, and no order waits for you."
    needs = "needs" if waiting == 1 else "need"
    return f"{start}, and {counted(waiting, 'order')} {needs} you."


def next_action(day: PostDay) -> Next:
    url = reverse("orders:post")
    if day.new_figures:
        return Next(slips_words(day), slips_why(day), url)
    if day.waiting:
        first = day.waiting[0]
        return Next(
            f"Deal with {first.number}",
            first.sentence,
            first.order.get_absolute_url(),
        )
    if day.packets:
        return Next("Pack what is printed", post.minutes_sentence(day), url)
    if day.unmeasured:
        return measuring(day.unmeasured[0])
    return Next(
        "Take an order in",
        "Nothing waits to be posted.",
        reverse("orders:orders"),
    )


def measuring(one: Unmeasured) -> Next:
    return Next(
        f"Measure {one.item.name}",
        one.sentence,
        post.measures_url(one),
    )


def slips_words(day: PostDay) -> str:
    if day.run:
        return "Print the new slips"
    return "Print today’s slips" if when(day) == "today" else f"Print slips {when(day)}"


def slips_why(day: PostDay) -> str:
    why = f"{counted(len(day.new_figures), 'packet')} without a slip."
    if day.leave_by is None:
        return why
    return f"{why} Leave by {show_clock(day.leave_by)}{post.on_its_day(day)}."


def begun_words(name: str) -> str:
    """Say how far a new studio has come."""
    things = Item.objects.count()
    if not things:
        return f"Tell it what is on your shelves, {name}."
    return f"{counted(things, 'thing')} in the book; next comes the post, {name}."


def first_step(missing: NoCounter | NoFormats) -> Next:
    """Goods come first; then what the post still lacks."""
    if Item.objects.exists():
        return Next(missing.mended_words, str(missing), reverse(missing.mended_at))
    return Next(
        "Write down what you have",
        "One line each is enough: what it is and how many.",
        reverse("inventory:quick_entry"),
    )


def without_post(
    missing: NoCounter | NoFormats,
    now: datetime,
    *,
    studio: StudioSettings,
    name: str,
) -> Today:
    """Return the day of a studio whose post is not set up yet."""
    sections = bench_sections(bench.coming_days(now), now, studio)
    return Today(
        sentence=f"{studio.name} is open. {begun_words(name)}",
        next=first_step(missing),
        sections=(
            Section(
                "post",
                "Nothing can be posted from this book yet.",
                (Said(str(missing), reverse(missing.mended_at), missing.mended_words),),
            ),
            *(one for one in sections if one is not None),
        ),
    )
