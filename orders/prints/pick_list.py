"""The pick list: every item once, in walking order, with the packets it is for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from inventory.models import Item, Place
from orders.models import Packet
from orders.queries.packet_papers import (
    Printable,
    contents_of,
    fetching_places,
    packets_to_print,
)
from studio import printing
from studio.models import StudioSettings

TEMPLATE = "orders/print/pick_list.html"
NO_PLACE = "Somewhere: its place is not written down"


@dataclass(frozen=True)
class Pick:
    """One item to fetch: how many in all, and how many for which packet."""

    item: Item
    place: Place | None
    by_packet: tuple[tuple[int, int], ...]

    @property
    def count(self) -> int:
        return sum(count for _, count in self.by_packet)

    @property
    def packets_words(self) -> str:
        """Write “3, 7 (2), 12”: a count stands only where it is not one."""
        return ", ".join(
            f"{number} ({count})" if count > 1 else str(number)
            for number, count in self.by_packet
        )

    @property
    def place_name(self) -> str:
        return self.place.name if self.place else NO_PLACE

    def on_the_walk(self) -> tuple[int, str, str]:
        order = self.place.walk_order if self.place else 2**15
        return order, self.place_name, self.item.name


@dataclass(frozen=True)
class Stop:
    """A place on the walk and what to fetch there."""

    place_name: str
    picks: tuple[Pick, ...]


def picks_of(packets: Iterable[Packet]) -> list[Pick]:
    wanted: dict[int, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    items: dict[int, Item] = {}
    for packet in packets:
        for line, count in contents_of(packet):
            items[line.sends_id] = line.sends
            wanted[line.sends_id][packet.number] += count
    places = fetching_places(items.values())
    picks = [
        Pick(item, places[key], tuple(sorted(wanted[key].items())))
        for key, item in items.items()
    ]
    return sorted(picks, key=Pick.on_the_walk)


def walk_of(packets: Iterable[Packet]) -> tuple[Stop, ...]:
    """Return the stops of one walk that fetches everything."""
    by_place = groupby(picks_of(packets), key=lambda pick: pick.place_name)
    return tuple(Stop(name, tuple(picks)) for name, picks in by_place)


def pick_list_context(what: Printable, now: datetime) -> dict[str, object]:
    packets = packets_to_print(what)
    walk = walk_of(packets)
    return {
        "studio": StudioSettings.objects.filter(pk=1).first(),
        "printed_at": now,
        "packets": packets,
        "walk": walk,
        "items": sum(len(stop.picks) for stop in walk),
        "pieces": sum(pick.count for stop in walk for pick in stop.picks),
        "day": packets[0].run.day if packets else None,
    }


def pick_list_pdf(what: Printable, now: datetime) -> bytes:
    """Print the walk through the studio. Raises PdfUnavailable."""
    return printing.render_pdf(
        TEMPLATE, pick_list_context(what, now), title="Pick list"
    )
