"""The figures of a customs form for one packet that leaves the country."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.models import Item
from orders.customs import Suggestion, form_for, suggestion_for
from orders.discount import discounted
from orders.models import OrderLine, Packet
from orders.queries.packet_papers import contents_of


@dataclass(frozen=True)
class CustomsLine:
    item: Item
    count: int
    net_grams: int
    value_pence: int
    suggestion: Suggestion


@dataclass(frozen=True)
class CustomsSheet:
    """What to write on the form; she checks it, fills in the origin, and signs."""

    country: str
    category: str
    lines: tuple[CustomsLine, ...]
    gross_grams: int

    @property
    def value_pence(self) -> int:
        return sum(line.value_pence for line in self.lines)

    @property
    def form(self) -> str:
        return form_for(self.value_pence)


def customs_sheet(packet: Packet) -> CustomsSheet | None:
    """Return the figures where an order in the packet needs the form."""
    order = next((one for one in packet.orders.all() if one.needs_customs), None)
    if order is None:
        return None
    return CustomsSheet(
        country=order.country,
        category="Gift" if order.is_gift else "Sale of goods",
        lines=tuple(customs_line(line, count) for line, count in contents_of(packet)),
        gross_grams=packet.grams,
    )


def customs_line(line: OrderLine, count: int) -> CustomsLine:
    item = line.sends
    return CustomsLine(
        item=item,
        count=count,
        net_grams=count * (item.grams or 0),
        value_pence=discounted(
            count * line.price_pence, line.order.discount_per_hundred
        ),
        suggestion=suggestion_for(item.kind),
    )
