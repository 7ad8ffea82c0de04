"""Write down selling days, their terms and their lines."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import transaction

from inventory.actions import check_count
from inventory.guesses import Guess
from inventory.models import Item, Outlet, Place
from production.actions.tallies import count_line
from production.errors import DayRunsBackward, LineAlreadySent, SellingDayThere
from production.models import Line, SellingDay, Terms


@transaction.atomic
def add_selling_day(
    *,
    name: str,
    kind: str,
    starts_at: datetime,
    ends_at: datetime,
    outlet: Outlet,
    place: Place | None = None,
    fixed_by: datetime | None = None,
    goods_in_at: datetime | None = None,
    repeat_of: SellingDay | None = None,
    pitch_pence: int = 0,
    crates: int | None = None,
    draws_hundredths: int = 100,
    note: str = "",
) -> SellingDay:
    """Add a selling day; said twice it is the same one.

    One outlet cannot start two selling days at one minute, so that is what tells
    a repeated form from a second day.
    """
    check_order(starts_at, ends_at, fixed_by, goods_in_at)
    selling_day, is_new = SellingDay.objects.get_or_create(
        outlet=outlet,
        starts_at=starts_at,
        defaults={
            "name": name,
            "kind": kind,
            "ends_at": ends_at,
            "place": place or outlet.place,
            "fixed_by": fixed_by,
            "goods_in_at": goods_in_at,
            "repeat_of": repeat_of,
            "pitch_pence": pitch_pence,
            "crates": crates,
            "draws_hundredths": draws_hundredths,
            "note": note,
        },
    )
    if not is_new and selling_day.name != name:
        raise SellingDayThere(selling_day.name, starts_at)
    return selling_day


def check_order(
    starts_at: datetime,
    ends_at: datetime,
    fixed_by: datetime | None,
    goods_in_at: datetime | None,
) -> None:
    """Refuse a day that ends, is fixed or is delivered to in the wrong order."""
    start, end = "The start", "The end"
    if ends_at <= starts_at:
        raise DayRunsBackward(start, starts_at, end, ends_at)
    for words, moment in (
        ("The time when numbers are fixed", fixed_by),
        ("Goods-in", goods_in_at),
    ):
        if moment is not None and moment > starts_at:
            raise DayRunsBackward(words, moment, start, starts_at)


@transaction.atomic
def change_selling_day(selling_day: SellingDay, **changes: Any) -> SellingDay:
    """Change what is written about a selling day; its sales move with it."""
    for name, value in changes.items():
        setattr(selling_day, name, value)
    check_order(
        selling_day.starts_at,
        selling_day.ends_at,
        selling_day.fixed_by,
        selling_day.goods_in_at,
    )
    twin = (
        SellingDay.objects.filter(
            outlet=selling_day.outlet, starts_at=selling_day.starts_at
        )
        .exclude(pk=selling_day.pk)
        .first()
    )
    if twin is not None:
        raise SellingDayThere(twin.name, twin.starts_at)
    selling_day.save(update_fields=list(changes))
    for line in selling_day.lines.select_related("item", "selling_day__outlet"):
        count_line(line, line.sold)
    return selling_day


def set_terms(selling_day: SellingDay, *, basis: str, **more: Any) -> Terms:
    """Write, or write anew, what was agreed for a selling day."""
    terms, _ = Terms.objects.update_or_create(
        selling_day=selling_day, defaults={"basis": basis, **more}
    )
    return terms


@transaction.atomic
def set_line(
    selling_day: SellingDay,
    *,
    item: Item,
    wanted: int | None = None,
    price_pence: int | None = None,
    pinned: bool | None = None,
    reason: str | None = None,
    their_number: str | None = None,
) -> Line:
    """Write a line, or change it; a number she sets stays unless told otherwise.

    Nought is a number too: the line is offered and none is to be there. Without a
    number the book proposes one. What is not given stays as it is, but a number.
    """
    if wanted:
        check_count(wanted)
    line, _ = Line.objects.select_for_update().get_or_create(
        selling_day=selling_day, item=item
    )
    line.wanted = wanted
    line.is_pinned = wanted is not None if pinned is None else pinned
    for name, value in (
        ("price_pence", price_pence),
        ("reason", reason),
        ("their_number", their_number),
    ):
        if value is not None:
            setattr(line, name, value)
    line.save(
        update_fields=["wanted", "is_pinned", "price_pence", "reason", "their_number"]
    )
    return line


def set_guess(
    line: Line,
    *,
    low: int | None,
    likely: int | None,
    high: int | None,
    draws_hundredths: int = 100,
) -> Line:
    """Write her guess of a line's demand, or take it away by giving none."""
    if low is not None and likely is not None and high is not None:
        Guess(low, likely, high)
    line.guess_low, line.guess_likely, line.guess_high = low, likely, high
    line.draws_hundredths = draws_hundredths
    line.save(
        update_fields=["guess_low", "guess_likely", "guess_high", "draws_hundredths"]
    )
    return line


@transaction.atomic
def drop_line(line: Line) -> None:
    """Take a line off; one whose goods have gone stays. Dropping twice is harmless."""
    kept = Line.objects.select_for_update().filter(pk=line.pk).first()
    if kept is None:
        return
    if kept.sent:
        raise LineAlreadySent(kept.item.code, kept.sent)
    count_line(kept, None)
    kept.delete()
