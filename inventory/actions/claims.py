"""Promise goods, and let promises end."""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID, uuid5

from django.db import transaction

from inventory.actions.ledger import check_count
from inventory.actions.sales import note_spells
from inventory.errors import SameRequestOtherContent, StockShort
from inventory.models import Arrival, Claim, Design, Enquiry, Item, Outlet
from inventory.queries.promises import promise_of


def lock_item(item: Item) -> Item:
    """Let nobody else compare and write for this item until this is done.

    PostgreSQL locks the row; SQLite's IMMEDIATE transaction is the lock itself.
    """
    return Item.objects.select_for_update().get(pk=item.pk)


@transaction.atomic
def claim_stock(
    item: Item,
    *,
    count: int,
    kind: str,
    label: str,
    request_id: UUID,
    now: datetime,
    reference: str = "",
    outlet: Outlet | None = None,
    ranks_at: datetime | None = None,
    until: datetime | None = None,
    wanted_on: date | None = None,
    drawn_from: Claim | None = None,
    overruled_because: str = "",
) -> Claim:
    """Promise goods out, comparing under a lock.

    More than can be promised raises `StockShort`, unless a reason overrules it: a
    paid order from a file is always taken in, and shows as short.
    """
    check_count(count)
    locked = lock_item(item)
    said_before = Claim.objects.filter(request_id=request_id).first()
    if said_before is not None:
        if said_before.item_id != item.pk:
            raise SameRequestOtherContent(str(request_id))
        return said_before
    if not overruled_because:
        can_promise = promise_of(locked, now=now).can_promise
        if count > can_promise:
            raise StockShort(item.code, count, can_promise)
    claim = Claim.objects.create(
        item=locked,
        count=count,
        kind=kind,
        label=label,
        reference=reference,
        outlet=outlet,
        ranks_at=ranks_at or now,
        opened_at=now,
        until=until,
        wanted_on=wanted_on,
        drawn_from=drawn_from,
        overruled_because=overruled_because,
        request_id=request_id,
    )
    if drawn_from is not None:
        draw_down(drawn_from, count=count, now=now)
    note_spells([locked], now=now)
    return claim


def draw_down(claim: Claim, *, count: int, now: datetime) -> None:
    """Lessen a kept claim by what another claim took out of it."""
    if count >= claim.count:
        finish(claim, now=now, how=Claim.ClosedHow.DRAWN)
        return
    claim.count -= count
    claim.save(update_fields=["count"])


def finish(claim: Claim, *, now: datetime, how: str) -> None:
    claim.closed_at = now
    claim.closed_how = how
    claim.save(update_fields=["closed_at", "closed_how"])


@transaction.atomic
def close_claim(
    claim: Claim, *, now: datetime, how: str = Claim.ClosedHow.GONE, gone: int = 0
) -> Claim:
    """Close a claim whole, or the `gone` part of it; closing twice changes nothing."""
    claim = Claim.objects.select_for_update().get(pk=claim.pk)
    if claim.closed_at is not None:
        return claim
    if not gone or gone >= claim.count:
        finish(claim, now=now, how=how)
    else:
        split_off(claim, gone=gone, now=now, how=how)
    note_spells([claim.item], now=now)
    return claim


def split_off(claim: Claim, *, gone: int, now: datetime, how: str) -> None:
    """Keep the part that went as a closed claim of its own, for the history."""
    Claim.objects.create(
        item=claim.item,
        count=gone,
        kind=claim.kind,
        label=claim.label,
        reference=claim.reference,
        outlet=claim.outlet,
        ranks_at=claim.ranks_at,
        opened_at=claim.opened_at,
        until=claim.until,
        wanted_on=claim.wanted_on,
        closed_at=now,
        closed_how=how,
        request_id=uuid5(claim.request_id, f"part {claim.count}"),
    )
    claim.count -= gone
    claim.save(update_fields=["count"])


@transaction.atomic
def set_buffer(
    item: Item, *, count: int, request_id: UUID, now: datetime
) -> Claim | None:
    """Leave so many unsold in case the count is wrong; nought leaves none.

    A buffer may be more than there is: it then only shows that nothing is to spare.
    """
    locked = lock_item(item)
    said_before = Claim.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    for claim in locked.claims.filter(kind=Claim.Kind.BUFFER, closed_at=None):
        finish(claim, now=now, how=Claim.ClosedHow.RELEASED)
    if not count:
        note_spells([locked], now=now)
        return None
    return claim_stock(
        locked,
        count=count,
        kind=Claim.Kind.BUFFER,
        label="Buffer",
        request_id=request_id,
        now=now,
        overruled_because="A buffer stands whatever the shelf holds.",
    )


def release_claim(claim: Claim, *, now: datetime) -> Claim:
    return close_claim(claim, now=now, how=Claim.ClosedHow.RELEASED)


@transaction.atomic
def reopen_claim(claim: Claim, *, now: datetime) -> Claim:
    """Promise again what was released, if there is still enough of it."""
    item = lock_item(claim.item)
    claim = Claim.objects.select_for_update().get(pk=claim.pk)
    if claim.closed_at is None:
        return claim
    can_promise = promise_of(item, now=now).can_promise
    if claim.count > can_promise and claim.kind != Claim.Kind.BUFFER:
        raise StockShort(item.code, claim.count, can_promise)
    claim.closed_at = None
    claim.closed_how = ""
    claim.save(update_fields=["closed_at", "closed_how"])
    note_spells([item], now=now)
    return claim


@transaction.atomic
def pay_claim(claim: Claim, *, paid_at: datetime, now: datetime) -> Claim:
    """Turn a hold into a paid claim; it ranks from when it was paid."""
    claim = Claim.objects.select_for_update().get(pk=claim.pk)
    claim.kind = Claim.Kind.PAID
    claim.ranks_at = paid_at
    claim.until = None
    claim.save(update_fields=["kind", "ranks_at", "until"])
    note_spells([claim.item], now=now)
    return claim


@transaction.atomic
def swap_claim(
    claim: Claim, *, item: Item, request_id: UUID, now: datetime, because: str
) -> Claim:
    """Promise another item in place of the one claimed, at the same rank."""
    said_before = Claim.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    close_claim(claim, now=now, how=Claim.ClosedHow.SWAPPED)
    return claim_stock(
        item,
        count=claim.count,
        kind=claim.kind,
        label=claim.label,
        request_id=request_id,
        now=now,
        reference=claim.reference,
        outlet=claim.outlet,
        ranks_at=claim.ranks_at,
        until=claim.until,
        wanted_on=claim.wanted_on,
        overruled_because=because,
    )


def expect_arrival(
    item: Item,
    *,
    count: int,
    expected_on: date,
    source: str,
    request_id: UUID,
    reference: str = "",
) -> Arrival:
    check_count(count)
    arrival, _ = Arrival.objects.get_or_create(
        request_id=request_id,
        defaults={
            "item": item,
            "count": count,
            "expected_on": expected_on,
            "source": source,
            "reference": reference,
        },
    )
    return arrival


def log_enquiry(
    *,
    request_id: UUID,
    now: datetime,
    words: str = "",
    item: Item | None = None,
    design: Design | None = None,
) -> Enquiry:
    enquiry, _ = Enquiry.objects.get_or_create(
        request_id=request_id,
        defaults={"words": words, "item": item, "design": design, "asked_at": now},
    )
    return enquiry
