"""Note on air how many of a line have gone by which minute, and when it sold out."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.db.models import Max

from inventory import actions as stock
from inventory.errors import NotACount
from production.errors import MinuteOutsideDay, TallyGoesBack
from production.models import Line, SellingDay, Tally
from production.queries.sending import sending_reference
from studio.days import london_day

MOST_GONE = 99_999


def minute_of(line: Line, moment: datetime) -> int:
    """Return the minute of the selling day, from nought to its length."""
    since = int((moment - line.selling_day.starts_at).total_seconds() // 60)
    return min(max(0, since), lasts_minutes(line))


def lasts_minutes(line: Line) -> int:
    day = line.selling_day
    return int((day.ends_at - day.starts_at).total_seconds() // 60)


@transaction.atomic
def record_tally(line: Line, *, minute: int, gone: int) -> Tally:
    """Write that so many had gone in all by a minute; said twice counts once.

    The number is the whole so far, never a step, so that a second tap of the same
    button cannot count the same sale again.
    """
    line = Line.objects.select_for_update().get(pk=line.pk)
    check_minute(line, minute)
    check_gone(gone)
    check_forward(line, minute, gone)
    tally, _ = Tally.objects.update_or_create(
        line=line, minute=minute, defaults={"gone": gone}
    )
    keep_sold(line)
    return tally


@transaction.atomic
def note_sold_out(line: Line, *, minute: int, gone: int | None = None) -> Line:
    """Write the minute at which the last one went; all that was sent had gone then.

    Said again it changes nothing: the first minute is the true one.
    """
    line = Line.objects.select_for_update().get(pk=line.pk)
    if line.sold_out_minute is not None:
        return line
    check_minute(line, minute)
    sofar = line.tallies.aggregate(most=Max("gone"))["most"] or 0
    record_tally(
        line, minute=minute, gone=max(sofar, line.sent) if gone is None else gone
    )
    line.refresh_from_db()
    line.sold_out_minute = minute
    line.save(update_fields=["sold_out_minute"])
    return line


@transaction.atomic
def take_back_tally(line: Line, *, gone: int | None = None) -> Line:
    """Undo the last tap of a line, and its selling out if that was the tap.

    `gone` is the number that stood on the page: said twice, the second finds another
    number there and changes nothing.
    """
    line = Line.objects.select_for_update().get(pk=line.pk)
    last = line.tallies.order_by("-minute").first()
    if last is None or gone not in (None, last.gone):
        return line
    if line.sold_out_minute == last.minute:
        line.sold_out_minute = None
        line.save(update_fields=["sold_out_minute"])
    last.delete()
    keep_sold(line)
    line.refresh_from_db()
    return line


@transaction.atomic
def set_sold(
    line: Line, *, sold: int | None, sold_out_minute: int | None = None
) -> Line:
    """Write afterwards what a line sold, when nobody tapped along."""
    if sold is not None:
        check_gone(sold)
    if sold_out_minute is not None:
        check_minute(line, sold_out_minute)
    line.sold, line.sold_out_minute = sold, sold_out_minute
    line.save(update_fields=["sold", "sold_out_minute"])
    count_line(line, sold)
    return line


def check_minute(line: Line, minute: int) -> None:
    lasts = lasts_minutes(line)
    if not 0 <= minute <= lasts:
        raise MinuteOutsideDay(minute, lasts)


def check_gone(gone: int) -> None:
    if isinstance(gone, bool) or not 0 <= gone <= MOST_GONE:
        raise NotACount(str(gone))


def check_forward(line: Line, minute: int, gone: int) -> None:
    """Refuse a number that falls from one minute to a later one."""
    tallies = line.tallies.exclude(minute=minute)
    before = tallies.filter(minute__lt=minute, gone__gt=gone).order_by("-gone").first()
    after = tallies.filter(minute__gt=minute, gone__lt=gone).order_by("gone").first()
    code = line.item.code
    if before is not None:
        raise TallyGoesBack(code, minute, gone, before.minute, before.gone)
    if after is not None:
        raise TallyGoesBack(code, after.minute, after.gone, minute, gone)


def keep_sold(line: Line) -> None:
    """Let the line say what its tallies say: the most that had gone."""
    most = line.tallies.aggregate(most=Max("gone"))["most"]
    Line.objects.filter(pk=line.pk).update(sold=most)
    count_line(line, most)


def count_line(line: Line, sold: int | None) -> None:
    """Let the record of sales hold what this line sold, however often it is said.

    What is launched online comes in as orders, which count themselves.
    """
    selling_day = line.selling_day
    is_online = selling_day.kind == SellingDay.Kind.ONLINE
    stock.count_occasion(
        line.item,
        outlet=selling_day.outlet,
        day=london_day(selling_day.starts_at),
        reference=sending_reference(selling_day),
        sold=None if is_online else sold,
    )
