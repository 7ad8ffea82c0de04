"""The post run on paper: packets in order, to be ticked, posted and proved."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from orders.actions.asking import address_of
from orders.addresses import label_lines
from orders.models import Packet
from orders.queries.packet_papers import Printable, packets_to_print
from orders.queries.packing import label_of
from orders.queries.post_day import packing_start
from orders.queries.price_list import post_calendar, post_counter
from studio import printing
from studio.models import StudioSettings

TEMPLATE = "orders/print/post_run.html"


@dataclass(frozen=True)
class RunRow:
    """One packet as its line on the list: the name, the street, the postcode."""

    packet: Packet
    label: str
    name: str
    street: str
    postcode: str
    is_gift: bool


@dataclass(frozen=True)
class RunTimes:
    """When packing ends and when to leave; no hour on a day without a collection."""

    minutes: int
    done_at: datetime
    packer: str
    leave_by: datetime | None
    closes_at: datetime | None
    counter_name: str

    @property
    def is_tight(self) -> bool:
        return self.leave_by is not None and self.done_at > self.leave_by


def run_row(packet: Packet) -> RunRow:
    orders = list(packet.orders.all())
    first = orders[0]
    lines = label_lines(address_of(first), first.recipient_name)
    abroad = first.country.upper()
    return RunRow(
        packet=packet,
        label=label_of([one.number for one in orders], packet.part, packet.parts),
        name=lines[0],
        street=lines[1] if len(lines) > 1 else "",
        postcode=first.postcode or abroad,
        is_gift=any(one.is_gift for one in orders),
    )


def run_times(day: date, packets: Sequence[Packet], now: datetime) -> RunTimes:
    """Add up what is still to pack, from the packer's hour or from now."""
    counter = post_counter()
    closes_at = post_calendar(now, counter=counter).last_collection(day)
    starts_at, packer = packing_start(day, now)
    minutes = sum(one.minutes for one in packets if one.state == Packet.State.TO_PACK)
    away = timedelta(minutes=counter.minutes_away)
    return RunTimes(
        minutes=minutes,
        done_at=starts_at + timedelta(minutes=minutes),
        packer=packer,
        leave_by=closes_at - away if closes_at else None,
        closes_at=closes_at,
        counter_name=counter.name,
    )


def run_context(what: Printable, now: datetime) -> dict[str, object]:
    packets = packets_to_print(what)
    day = packets[0].run.day if packets else now.date()
    return {
        "studio": StudioSettings.objects.filter(pk=1).first(),
        "printed_at": now,
        "day": day,
        "rows": [run_row(packet) for packet in packets],
        "times": run_times(day, packets, now),
        "postage_pence": sum(one.postage_pence or 0 for one in packets),
        "at_the_counter": sum(one.postage_pence is None for one in packets),
        "grams": sum(one.grams for one in packets),
    }


def post_run_pdf(what: Printable, now: datetime) -> bytes:
    """Print the list that goes to the counter. Raises PdfUnavailable."""
    return printing.render_pdf(TEMPLATE, run_context(what, now), title="Post run")
