"""Packets with all that their papers print, in the same few queries for any number."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Prefetch

from inventory.models import Item, Place, State
from inventory.pictures import with_pictures
from inventory.queries.balances import Held, held_by_item
from orders.models import Order, OrderLine, Packet, PacketLine, PostRun
from orders.querysets import OrderSet, PacketSet

Printable = PostRun | Iterable[Packet]
Contents = list[tuple[OrderLine, int]]


def packets_to_print(what: Printable) -> list[Packet]:
    """Return a run's packets, or just those given, in the order of their numbers."""
    chosen = Packet.objects.exclude(state=Packet.State.UNDONE)
    if isinstance(what, PostRun):
        return list(with_contents(chosen.filter(run=what)))
    keys = [packet.pk for packet in what]
    return list(with_contents(chosen.filter(pk__in=keys)))


def with_contents(packets: PacketSet) -> PacketSet:
    """Read the orders, lines, pictures and fellow packets of many packets at once."""
    return (
        packets.select_related("run", "format__wrap", "service", "packed_by")
        .prefetch_related(
            Prefetch("orders", orders_with_lines()),
            Prefetch("lines", PacketLine.objects.order_by("pk")),
        )
        .order_by("run__day", "number")
    )


def orders_with_lines() -> OrderSet:
    lines = with_pictures(
        OrderLine.objects.select_related("item", "sends__home_place", "swap"),
        by="sends",
    ).prefetch_related("packet_lines__packet")
    return Order.objects.select_related("customer", "for_order").prefetch_related(
        Prefetch("lines", lines)
    )


def contents_of(packet: Packet) -> Contents:
    """Pair each line in a packet with its count, its order and picture read already."""
    lines = {
        line.pk: line for order in packet.orders.all() for line in order.lines.all()
    }
    return [(lines[one.order_line_id], one.count) for one in packet.lines.all()]


def hang_pictures(contents: Iterable[tuple[OrderLine, int]]) -> None:
    """Give each line of a list the item with all that its drawing needs."""
    lines = [line for line, _ in contents]
    keys = {line.sends_id for line in lines}
    drawn = with_pictures(Item.objects.filter(pk__in=keys)).in_bulk()
    for line in lines:
        line.sends = drawn[line.sends_id]


def fetching_places(items: Iterable[Item]) -> dict[int, Place | None]:
    """Say where to fetch each item: its home place if some are there, else the next."""
    items = list(items)
    held = held_by_item(items)
    return {item.pk: fetching_place(item, held.get(item.pk, [])) for item in items}


def fetching_place(item: Item, held: Iterable[Held]) -> Place | None:
    places = [
        one.place
        for one in held
        if one.state == State.SELLABLE and one.place.counts_as_shelf
    ]
    if item.home_place in places or not places:
        return item.home_place
    return places[0]
