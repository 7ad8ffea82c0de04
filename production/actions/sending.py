"""Send goods to a selling day: they go there and stay ours."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import F

from inventory import actions as stock
from inventory.models import Balance, Claim, Entry, Item, Place, State
from production.errors import NothingToSend, NowhereToSend, SendShort
from production.models import Line, SellingDay
from production.queries.sending import (
    free_to_send,
    kept_claims,
    sending_reference,
)
from studio.models import Person


@transaction.atomic
def send_goods(
    selling_day: SellingDay,
    lines: Mapping[Item, int],
    *,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
    happened_at: datetime | None = None,
    overruled_because: str = "",
) -> Entry:
    """Move goods from the shelf to the selling day's place, all in one entry.

    They stay sellable and ours. More than is free, or kept for this day, is refused
    unless a reason overrules it, since the rest is promised to people.
    """
    SellingDay.objects.select_for_update().get(pk=selling_day.pk)
    said_before = Entry.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    place = place_of(selling_day)
    going = {item: stock.check_count(count) for item, count in lines.items() if count}
    if not going:
        raise NothingToSend(selling_day.name)
    if not overruled_because:
        check_free(selling_day, going, now=now)
    entry = stock.write_entry(
        [move for item, count in going.items() for move in moves(item, count, place)],
        request_id=request_id,
        verb=Entry.Verb.SENT,
        now=now,
        happened_at=happened_at,
        by=by,
        reason=overruled_because,
        reference=sending_reference(selling_day),
    )
    for item, count in going.items():
        add_sent(selling_day, item, count)
        draw_kept(selling_day, item, count, now=now)
    stock.note_spells(going, now=now)
    return entry


def place_of(selling_day: SellingDay) -> Place:
    place = selling_day.place or selling_day.outlet.place
    if place is None:
        raise NowhereToSend(selling_day.name)
    return place


def check_free(
    selling_day: SellingDay, going: Mapping[Item, int], *, now: datetime
) -> None:
    free = free_to_send(selling_day, going, now=now)
    for item, count in going.items():
        if count > free[item.pk]:
            raise SendShort(item.code, count, max(0, free[item.pk]))


def moves(item: Item, count: int, to_place: Place) -> list[stock.Move]:
    """Take from the places at home in walking order, never from where they go.

    What no place holds is taken from the item's home, which then goes below nought
    and is asked about.
    """
    taken: list[stock.Move] = []
    left = count
    balances = (
        Balance.objects.filter(
            item=item, state=State.SELLABLE, count__gt=0, place__counts_as_shelf=True
        )
        .exclude(place=to_place)
        .select_related("place")
        .order_by("place__walk_order", "place_id")
    )
    for balance in balances:
        here = min(left, balance.count)
        if here:
            taken.append(stock.Move(item, here, balance.place, to_place))
        left -= here
    if left:
        taken.append(stock.Move(item, left, stock.home_place(item), to_place))
    return taken


def add_sent(selling_day: SellingDay, item: Item, count: int) -> None:
    line, _ = Line.objects.get_or_create(selling_day=selling_day, item=item)
    Line.objects.filter(pk=line.pk).update(sent=F("sent") + count)


def draw_kept(
    selling_day: SellingDay, item: Item, count: int, *, now: datetime
) -> None:
    """Let what was kept for this day end with the goods that went to it.

    Goods in a crate at home still count as the shelf, so there the keeping stays.
    """
    if place_of(selling_day).counts_as_shelf:
        return
    for claim in kept_claims(selling_day, [item], now=now):
        if count <= 0:
            return
        gone = min(count, claim.count)
        count -= gone
        stock.close_claim(claim, now=now, gone=gone)


@transaction.atomic
def take_back_sending(
    selling_day: SellingDay,
    entry: Entry,
    *,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> Entry:
    """Bring a sending home again; what was kept for the day is kept again."""
    said_before = Entry.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    mirror = stock.take_back_entry(
        entry, request_id=request_id, now=now, by=by, reason="Sending taken back"
    )
    went: dict[Item, int] = defaultdict(int)
    for movement in entry.movements.select_related("item"):
        went[movement.item] += movement.count
    for item, count in went.items():
        Line.objects.filter(selling_day=selling_day, item=item).update(
            sent=F("sent") - count
        )
    keep_again(entry, went)
    stock.note_spells(went, now=now)
    return mirror


def keep_again(entry: Entry, items: Iterable[Item]) -> None:
    Claim.objects.filter(
        item__in=[item.pk for item in items],
        kind=Claim.Kind.KEPT,
        closed_how=Claim.ClosedHow.GONE,
        closed_at=entry.recorded_at,
    ).update(closed_at=None, closed_how="")
