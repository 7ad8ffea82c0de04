"""Packing slips: one A5 sheet a packet, or two to an A4 sheet.

Contents as is usual on a despatch note: the seller, order and date, packet n of m, the
lines ordered, sent and to follow, who packed, how to return, whom to ask (common
practice). A gift carries no price anywhere. No line about VAT is printed at all.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import zip_longest
from typing import Literal

from django.urls import reverse
from django.utils.safestring import SafeString

from inventory.models import Item
from orders.actions.asking import address_of
from orders.addresses import label_lines
from orders.discount import discounted
from orders.follow_on import posting_day_after
from orders.models import Order, OrderLine, Packet
from orders.prints.customs_sheet import CustomsSheet, customs_sheet
from orders.queries.open_orders import Expected, expected_of
from orders.queries.packet_papers import (
    Printable,
    contents_of,
    packets_to_print,
)
from orders.queries.price_list import post_calendar
from studio import printing
from studio.days import london_day, show_day_short
from studio.models import StudioSettings

SlipSize = Literal["a5", "a4"]

TEMPLATES: Mapping[SlipSize, str] = {
    "a5": "orders/print/packing_slips.html",
    "a4": "orders/print/packing_slips_pair.html",
}


@dataclass(frozen=True)
class SlipLine:
    """One line of an order as far as it is in this packet."""

    item: Item
    ordered: int
    sent: int
    to_follow: int
    price_pence: int
    instead_of: Item | None

    @property
    def name(self) -> str:
        """Keep the count of a bundle on the line of its cross."""
        return self.item.name.replace(" × ", "\u00a0×\u00a0")

    @property
    def total_pence(self) -> int:
        return self.sent * self.price_pence


@dataclass(frozen=True)
class SumLine:
    label: str
    pence: int


@dataclass(frozen=True)
class SlipOrder:
    """One order in the packet; `sums` is empty where no price may be seen."""

    number: str
    placed_at: date
    recipient: str
    lines: tuple[SlipLine, ...]
    shows_prices: bool
    sums: tuple[SumLine, ...]
    notes: tuple[str, ...]

    @property
    def total_pence(self) -> int:
        return sum(line.pence for line in self.sums)


@dataclass(frozen=True)
class Slip:
    """All that one packet's slip says."""

    packet: Packet
    reference: str
    address: tuple[str, ...]
    orders: tuple[SlipOrder, ...]
    sender: str
    card_text: str
    is_gift: bool
    is_free: bool
    qr: SafeString
    customs: CustomsSheet | None

    @property
    def shows_prices(self) -> bool:
        return any(order.shows_prices for order in self.orders)

    @property
    def columns(self) -> int:
        return 6 if self.shows_prices else 5

    @property
    def spoken_code(self) -> str:
        """Write the short code in two halves, which are read and typed more surely."""
        code = self.packet.short_code
        return f"{code[:3]} {code[3:]}"


def packet_url(studio: StudioSettings | None, packet: Packet) -> str:
    """Return the packet's own address under the studio's lasting name.

    It holds the code and nothing of the customer.
    """
    path = reverse("orders:packet_find", args=[packet.short_code])
    return printing.lasting_address(studio.host_name if studio else "", path)


def slips_of(what: Printable, now: datetime) -> list[Slip]:
    packets = packets_to_print(what)
    studio = StudioSettings.objects.filter(pk=1).first()
    follows = Following.read(packets, now)
    return [slip_of(packet, studio, follows) for packet in packets]


def slip_of(packet: Packet, studio: StudioSettings | None, follows: Following) -> Slip:
    counts = {line.pk: count for line, count in contents_of(packet)}
    orders = [
        order
        for order in packet.orders.all()
        if any(line.pk in counts for line in order.lines.all())
    ]
    first = orders[0]
    numbers = " + ".join(order.number for order in orders)
    return Slip(
        packet=packet,
        reference=f"Packet {packet.number} · {numbers}",
        address=label_lines(address_of(first), first.recipient_name),
        orders=tuple(slip_order(one, packet, counts, follows) for one in orders),
        sender=first.customer.name if first.is_gift else "",
        card_text=first.card_text,
        is_gift=any(order.is_gift for order in orders),
        is_free=all(order.kind != Order.Kind.SALE for order in orders),
        qr=printing.qr_path(packet_url(studio, packet)),
        customs=customs_sheet(packet),
    )


def slip_order(
    order: Order, packet: Packet, counts: Mapping[int, int], follows: Following
) -> SlipOrder:
    shows = order.shows_prices and order.kind == Order.Kind.SALE
    here = [line for line in order.lines.all() if line.pk in counts]
    return SlipOrder(
        number=order.number,
        placed_at=london_day(order.placed_at),
        recipient=order.recipient_name,
        lines=tuple(slip_line(line, counts[line.pk]) for line in here),
        shows_prices=shows,
        sums=sums_of(order) if shows and is_first_of(order, packet) else (),
        notes=tuple(notes_of(order, packet, follows)),
    )


def slip_line(line: OrderLine, sent: int) -> SlipLine:
    return SlipLine(
        item=line.sends,
        ordered=line.count - line.taken_off,
        sent=sent,
        to_follow=to_follow(line),
        price_pence=line.price_pence,
        instead_of=line.item if line.item_id != line.sends_id else None,
    )


def to_follow(line: OrderLine) -> int:
    """Count what is owed and in no packet that is made up or about to be."""
    on_the_way = sum(
        one.count
        for one in line.packet_lines.all()
        if one.packet.state in (Packet.State.TO_PACK, Packet.State.PACKED)
    )
    return max(0, line.owed - on_the_way)


# ------------------------------------------------------------ prices


def sums_of(order: Order) -> tuple[SumLine, ...]:
    """Add up the whole order as it was sold; a line taken off is not in it."""
    lines = order.lines.all()
    goods = sum((line.count - line.taken_off) * line.price_pence for line in lines)
    less = goods - discounted(goods, order.discount_per_hundred)
    refunds = sum(line.swap.refund_pence for line in lines if hasattr(line, "swap"))
    every = [
        SumLine("Goods", goods),
        SumLine(f"Less {order.discount_per_hundred}%", -less),
        SumLine("Postage", order.postage_charged_pence),
        SumLine("Refund agreed", -refunds),
    ]
    return tuple(one for one in every if one.pence or one.label in ("Goods", "Postage"))


def is_first_of(order: Order, packet: Packet) -> bool:
    """Tell whether no packet before this one held anything of the order."""
    return not any(
        (one.packet.run_id, one.packet.number) < (packet.run_id, packet.number)
        and one.packet.state != Packet.State.UNDONE
        for line in order.lines.all()
        for one in line.packet_lines.all()
    )


# ------------------------------------------------------------ what is elsewhere


@dataclass(frozen=True)
class Following:
    """When the goods that follow are expected and can leave."""

    expected: Mapping[int, Expected]
    posted_on: Mapping[int, date]

    @classmethod
    def read(cls, packets: Iterable[Packet], now: datetime) -> Following:
        """Ask only where something follows: then one query and the calendar's."""
        items = {
            line.sends_id: line.sends
            for packet in packets
            for order in packet.orders.all()
            for line in order.lines.all()
            if to_follow(line)
        }
        expected = expected_of(list(items.values()), now=now, planned={})
        if not expected:
            return cls({}, {})
        calendar = post_calendar(now)
        posted = {
            key: posting_day_after(one.day, calendar) for key, one in expected.items()
        }
        return cls(expected, posted)

    def sentence(self, line: OrderLine) -> str:
        what = f"{to_follow(line)} × {line.sends.name}"
        posted_on = self.posted_on.get(line.sends_id)
        when = "as soon as we have it"
        if posted_on is not None:
            when = f"and should leave us on {show_day_short(posted_on)}"
        return f"Still to come, post free: {what}, {when}."


def notes_of(order: Order, packet: Packet, follows: Following) -> Iterable[str]:
    yield from other_packets(order, packet)
    yield from (follows.sentence(line) for line in order.lines.all() if to_follow(line))
    if order.kind != Order.Kind.SALE:
        yield why_free(order)


def other_packets(order: Order, packet: Packet) -> Iterable[str]:
    """Say what of the order goes in the other packets of this run."""
    found: dict[int, tuple[Packet, list[str]]] = {}
    for line in order.lines.all():
        for one in line.packet_lines.all():
            other = one.packet
            if is_fellow(other, packet):
                _, words = found.setdefault(other.pk, (other, []))
                words.append(f"{one.count} × {line.sends.name}")
    for other, words in found.values():
        yield (
            f"On its way in packet {other.part} of {other.parts}: {', '.join(words)}."
        )


def is_fellow(other: Packet, packet: Packet) -> bool:
    return (
        other.pk != packet.pk
        and other.run_id == packet.run_id
        and other.state != Packet.State.UNDONE
    )


def why_free(order: Order) -> str:
    """Say that it costs nothing, and what it puts right."""
    of = f" of order {order.for_order.number}" if order.for_order else ""
    if order.kind == Order.Kind.REPLACEMENT:
        return f"Sent free, to replace goods{of} that did not reach you whole."
    return f"Sent free, to put right what was missing{of}."


# ------------------------------------------------------------ papers


def packing_slips_pdf(
    what: Printable, now: datetime, *, size: SlipSize = "a5"
) -> bytes:
    """Print the slips of a run, or of some packets, as one PDF.

    Raises PdfUnavailable, or StudioError where there is nothing to print.
    """
    slips = slips_of(what, now)
    return printing.render_many(
        TEMPLATES[size], slip_contexts(slips, now, size=size), title="Packing slips"
    )


def slip_contexts(
    slips: Sequence[Slip], now: datetime, *, size: SlipSize
) -> list[dict[str, object]]:
    """Part the slips into papers: each sheet, or leaf, numbers its own pages."""
    shared = {"studio": StudioSettings.objects.filter(pk=1).first(), "printed_at": now}
    if size == "a5":
        return [{**shared, "slips": [slip]} for slip in slips]
    return [{**shared, "pairs": [pair]} for pair in pairs_of(slips)]


def pairs_of(slips: Sequence[Slip]) -> list[tuple[Slip, Slip | None]]:
    return list(zip_longest(slips[::2], slips[1::2]))


def page_context(
    what: Printable, now: datetime, *, size: SlipSize
) -> dict[str, object]:
    """Give all slips to one page, for the browser's own printing."""
    slips = slips_of(what, now)
    return {
        "studio": StudioSettings.objects.filter(pk=1).first(),
        "printed_at": now,
        "paper_title": "Packing slips",
        "slips": slips,
        "pairs": pairs_of(slips),
    }
