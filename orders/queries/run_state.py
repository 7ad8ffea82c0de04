"""How a run stands: what is packed and by whom, what is left, what is out of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from inventory.models import Item
from orders.models import OrderLine, Packet, PostRun
from orders.queries.packet_papers import contents_of, with_contents
from orders.queries.packing import label_of
from studio.days import show_clock


@dataclass(frozen=True)
class RunPacket:
    """One packet of a run with what is in it and for whom."""

    packet: Packet
    label: str
    names: str
    is_gift: bool
    contents: tuple[tuple[OrderLine, int], ...]

    @property
    def items(self) -> tuple[Item, ...]:
        return tuple(line.sends for line, _ in self.contents)

    @property
    def is_to_pack(self) -> bool:
        return self.packet.state == Packet.State.TO_PACK

    @property
    def is_packed(self) -> bool:
        return self.packet.state == Packet.State.PACKED

    @property
    def is_posted(self) -> bool:
        return self.packet.state == Packet.State.POSTED

    @property
    def is_out(self) -> bool:
        return self.packet.state == Packet.State.UNDONE

    @property
    def state_words(self) -> str:
        return state_words(self.packet)


@dataclass(frozen=True)
class RunState:
    run: PostRun
    packets: tuple[RunPacket, ...]

    def in_state(self, state: str) -> tuple[RunPacket, ...]:
        return tuple(one for one in self.packets if one.packet.state == state)

    @property
    def to_pack(self) -> tuple[RunPacket, ...]:
        return self.in_state(Packet.State.TO_PACK)

    @property
    def packed(self) -> tuple[RunPacket, ...]:
        return self.in_state(Packet.State.PACKED)

    @property
    def posted(self) -> tuple[RunPacket, ...]:
        return self.in_state(Packet.State.POSTED)

    @property
    def out(self) -> tuple[RunPacket, ...]:
        return self.in_state(Packet.State.UNDONE)

    @property
    def live(self) -> tuple[RunPacket, ...]:
        return self.to_pack + self.packed

    @property
    def in_run(self) -> tuple[RunPacket, ...]:
        return tuple(one for one in self.packets if not one.is_out)

    @property
    def minutes_left(self) -> int:
        return sum(one.packet.minutes for one in self.to_pack)

    @property
    def sentence(self) -> str:
        """Say how far the run is: what anybody who takes over has to know."""
        count, left = len(self.in_run), len(self.to_pack)
        if not count:
            return "There is no packet in this run any more."
        if not self.live:
            return f"{all_of(count)} posted."
        if not left:
            return f"{all_of(len(self.live))} packed and can be taken to the counter."
        done = count - left
        minutes = (
            "1 minute" if self.minutes_left == 1 else f"{self.minutes_left} minutes"
        )
        return f"{done} of {count} packets are packed: {left} to go, {minutes}."


def all_of(count: int) -> str:
    return "The packet is" if count == 1 else f"All {count} packets are"


def run_state(run: PostRun) -> RunState:
    packets = with_contents(Packet.objects.filter(run=run))
    return RunState(run, tuple(run_packet(packet) for packet in packets))


def run_packet(packet: Packet) -> RunPacket:
    orders = list(packet.orders.all())
    names = dict.fromkeys(order.recipient_name for order in orders)
    return RunPacket(
        packet=packet,
        label=label_of([one.number for one in orders], packet.part, packet.parts),
        names=" and ".join(names),
        is_gift=any(order.is_gift for order in orders),
        contents=tuple(contents_of(packet)),
    )


def state_words(packet: Packet) -> str:
    """Say who pressed, and when."""
    if packet.state == Packet.State.PACKED:
        return f"Packed{by(packet)}{at(packet.packed_at)}"
    if packet.state == Packet.State.POSTED:
        proof = f", receipt {packet.proof}" if packet.proof else ""
        return f"Posted{at(packet.posted_at)}{proof}"
    return packet.get_state_display()


def by(packet: Packet) -> str:
    return f" by {packet.packed_by.first_name}" if packet.packed_by else ""


def at(moment: datetime | None) -> str:
    return f" at {show_clock(moment)}" if moment else ""
