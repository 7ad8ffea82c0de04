"""Make the day's run, pack it, post it as one act, and take any of it back."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.db.models import Max

from inventory import actions as stock
from inventory.models import Entry, Item
from orders.actions.asking import ask
from orders.actions.closing import leaving_moves, let_go
from orders.actions.lines import claim_again
from orders.errors import PacketAway
from orders.models import (
    Order,
    OrderLine,
    Packet,
    PacketLine,
    PostFormat,
    PostRun,
    PostService,
    Question,
)
from orders.planned import PacketFigures
from studio.days import london_day
from studio.models import Person

# No letter or figure that can be taken for another, spoken or printed small.
CODE_SIGNS = "ACDEFGHJKMNPQRTUVWXY34679"
CODE_LENGTH = 6


@transaction.atomic
def make_post_run(
    day: date,
    *,
    packets: Sequence[PacketFigures],
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> PostRun:
    """Freeze the day's packets; later ones are added and numbers given stay.

    A packet whose order is in a live packet already is left alone, so that the same
    plan sent twice adds nothing.
    """
    run, _ = PostRun.objects.get_or_create(
        day=day, defaults={"made_at": now, "by": by, "request_id": request_id}
    )
    PostRun.objects.select_for_update().get(pk=run.pk)
    taken = orders_in_live_packets()
    number = run.packets.aggregate(last=Max("number"))["last"] or 0
    for figures in packets:
        if taken.isdisjoint(figures.order_ids):
            number += 1
            freeze(run, number, figures)
    return run


def orders_in_live_packets() -> set[int]:
    return set(Packet.objects.live().values_list("orders", flat=True)) - {None}


def freeze(run: PostRun, number: int, figures: PacketFigures) -> Packet:
    packet = Packet.objects.create(
        run=run,
        number=number,
        short_code=new_code(),
        format=PostFormat.objects.get(code=figures.format_code),
        service=PostService.objects.get(code=figures.service_code),
        grams=figures.grams,
        thickness_tenths_mm=figures.thickness_tenths_mm,
        postage_pence=figures.postage_pence,
        minutes=figures.minutes,
        part=figures.part,
        parts=figures.parts,
    )
    packet.orders.set(figures.order_ids)
    PacketLine.objects.bulk_create(
        PacketLine(packet=packet, order_line_id=line.order_line_id, count=line.count)
        for line in figures.lines
    )
    return packet


def new_code() -> str:
    """Make a short code that cannot be guessed from another packet's."""
    while True:
        code = "".join(secrets.choice(CODE_SIGNS) for _ in range(CODE_LENGTH))
        if not Packet.objects.filter(short_code=code).exists():
            return code


def lock_live(packet: Packet) -> Packet:
    packet = Packet.objects.select_for_update(of=("self",)).get(pk=packet.pk)
    if packet.state not in (Packet.State.TO_PACK, Packet.State.PACKED):
        raise PacketAway(packet.number, packet.get_state_display().lower())
    return packet


@transaction.atomic
def set_packet_packed(
    packet: Packet, *, now: datetime, by: Person | None = None, packed: bool = True
) -> Packet:
    """Tick a packet as packed, or untick it; it is known who packed it."""
    packet = lock_live(packet)
    if packed == (packet.state == Packet.State.PACKED):
        return packet
    packet.state = Packet.State.PACKED if packed else Packet.State.TO_PACK
    packet.packed_at = now if packed else None
    packet.packed_by = by if packed else None
    packet.save(update_fields=["state", "packed_at", "packed_by"])
    return packet


@transaction.atomic
def post_packets(
    packets: Iterable[Packet],
    *,
    proof: str = "",
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> list[Packet]:
    """Post a whole pile in one act: an entry a packet, claims closed, orders done.

    A packet posted before, or by this same request, is left as it is.
    """
    posted = []
    for packet in sorted(packets, key=lambda one: one.pk):
        own_id = uuid5(request_id, f"packet {packet.pk}")
        locked = Packet.objects.select_for_update(of=("self",)).get(pk=packet.pk)
        if may_be_posted(locked, own_id):
            post_packet(locked, proof=proof, request_id=own_id, now=now, by=by)
        posted.append(locked)
    return posted


def may_be_posted(packet: Packet, request_id: UUID) -> bool:
    live = packet.state in (Packet.State.TO_PACK, Packet.State.PACKED)
    return live and not Entry.objects.filter(request_id=request_id).exists()


def post_packet(
    packet: Packet,
    *,
    proof: str,
    request_id: UUID,
    now: datetime,
    by: Person | None,
) -> None:
    contents = contents_of(packet)
    orders = orders_of(contents)
    packet.entry = stock.write_entry(
        leaving_moves(contents),
        request_id=request_id,
        verb=verb_for(orders),
        now=now,
        by=by,
        reason=why_free(orders),
        reference=reference_of(packet, orders),
    )
    for line, count in contents:
        let_go(line, count, now=now)
    packet.state, packet.posted_at, packet.proof = Packet.State.POSTED, now, proof
    packet.save(update_fields=["entry", "state", "posted_at", "proof"])
    for order in orders:
        close_if_all_went(order, now=now)


def contents_of(packet: Packet) -> list[tuple[OrderLine, int]]:
    lines = packet.lines.select_related(
        "order_line__order__customer",
        "order_line__order__for_order",
        "order_line__sends__home_place",
        "order_line__claim__item",
    )
    return [(line.order_line, line.count) for line in lines]


def orders_of(contents: Iterable[tuple[OrderLine, int]]) -> list[Order]:
    return list({line.order_id: line.order for line, _ in contents}.values())


def verb_for(orders: Iterable[Order]) -> str:
    is_sale = any(order.kind == Order.Kind.SALE for order in orders)
    return Entry.Verb.SOLD if is_sale else Entry.Verb.GIVEN


def why_free(orders: Iterable[Order]) -> str:
    """Say why goods that no money came for went out, and which order they mend."""
    reasons = [
        f"{order.get_kind_display()} for {order.for_order or order.customer}"
        for order in orders
        if order.kind != Order.Kind.SALE
    ]
    return "; ".join(reasons)[:200]


def reference_of(packet: Packet, orders: Sequence[Order]) -> str:
    numbers = ", ".join(order.number for order in orders)
    return numbers if len(numbers) <= 60 else f"packet {packet.short_code}"


def close_if_all_went(order: Order, *, now: datetime) -> None:
    """Call an order posted only when nothing of it is owed any more."""
    if any(line.owed for line in order.lines.all()):
        return
    Order.objects.filter(pk=order.pk).update(
        state=Order.State.POSTED, posted_on=london_day(now)
    )


@transaction.atomic
def unpost_packets(
    packets: Iterable[Packet],
    *,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> list[Packet]:
    """Take a posting back: the goods return, the claims and orders are open again."""
    back = []
    for packet in sorted(packets, key=lambda one: one.pk):
        locked = Packet.objects.select_for_update(of=("self",)).get(pk=packet.pk)
        if locked.state == Packet.State.POSTED:
            own_id = uuid5(request_id, f"packet {packet.pk}")
            unpost_packet(locked, request_id=own_id, now=now, by=by)
        back.append(locked)
    return back


def unpost_packet(
    packet: Packet, *, request_id: UUID, now: datetime, by: Person | None
) -> None:
    if packet.entry is not None:
        stock.take_back_entry(
            packet.entry, request_id=request_id, now=now, by=by, reason="posting undone"
        )
    contents = contents_of(packet)
    Order.objects.filter(pk__in=[order.pk for order in orders_of(contents)]).update(
        state=Order.State.OPEN, posted_on=None
    )
    for line, count in contents:
        line.gone -= count
        line.save(update_fields=["gone"])
        claim_again(line, request_id=request_id, now=now, because="posting undone")
    packet.state, packet.posted_at, packet.proof = Packet.State.PACKED, None, ""
    packet.entry = None
    packet.save(update_fields=["entry", "state", "posted_at", "proof"])


@transaction.atomic
def take_packet_out(packet: Packet, *, missing: Item | None, now: datetime) -> Packet:
    """Take a packet out of its run; its goods stay claimed for its orders.

    Where something could not be found, the orders that want it ask about it.
    """
    if Packet.objects.filter(pk=packet.pk, state=Packet.State.UNDONE).exists():
        return packet
    packet = lock_live(packet)
    packet.state = Packet.State.UNDONE
    packet.save(update_fields=["state"])
    for line, _ in contents_of(packet):
        if missing is not None and line.sends_id == missing.pk:
            ask(
                line.order,
                kind=Question.Kind.OTHER,
                text=f"{missing.code} ({missing.name}) could not be found.",
                now=now,
            )
    return packet


def take_packet_back(packet: Packet) -> Packet:
    """Put a packet that was taken out into its run again, unless its orders moved on."""
    with transaction.atomic():
        packet = Packet.objects.select_for_update(of=("self",)).get(pk=packet.pk)
        wanted = set(packet.orders.values_list("pk", flat=True))
        still_open = packet.orders.filter(state=Order.State.OPEN).count()
        is_free = still_open == len(wanted) and wanted.isdisjoint(
            orders_in_live_packets()
        )
        if packet.state == Packet.State.UNDONE and is_free:
            packet.state = Packet.State.TO_PACK
            packet.save(update_fields=["state"])
    return packet
