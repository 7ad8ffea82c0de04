"""Plan one trip to the counter: what to pack first, and when to stop.

Packets with a day to meet come first, the nearest day before the others, then the
oldest order. Packing runs one packet after the other from the start; whoever drives
leaves in time for the counter's last collection, and the counter takes so many
packets a visit (common practice). Minutes are whole, money whole pence.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import accumulate

from studio.days import show_clock
from studio.money import show_pounds


@dataclass(frozen=True)
class PacketToPost:
    """A packet that is ready. Postage is None when the counter must say.

    `need_by` is the customer's day; after `fine_after` the channel charges a fine.
    """

    reference: str
    minutes: int
    placed_at: datetime
    postage_pence: int | None
    need_by: date | None = None
    fine_after: date | None = None

    def urgency(self) -> tuple[date, datetime, str]:
        days = [day for day in (self.need_by, self.fine_after) if day]
        return min(days, default=date.max), self.placed_at, self.reference


@dataclass(frozen=True)
class CounterVisit:
    """Today's last collection; `closes_at` is None on a day without one."""

    closes_at: datetime | None
    minutes_away: int
    packets_a_visit: int

    @property
    def leave_by(self) -> datetime | None:
        if self.closes_at is None:
            return None
        return self.closes_at - timedelta(minutes=self.minutes_away)


@dataclass(frozen=True)
class PackedAt:
    """A packet of the run with its number and the moment it is done."""

    number: int
    packet: PacketToPost
    done_at: datetime


@dataclass(frozen=True)
class PostRun:
    going: tuple[PackedAt, ...]
    staying: tuple[PacketToPost, ...]
    starts_at: datetime
    visit: CounterVisit
    sentence: str

    @property
    def minutes(self) -> int:
        return _minutes(self.going)

    @property
    def postage_pence(self) -> int:
        """Add up the postage that is known; what goes abroad is not in it."""
        return _known_pence(self.going)

    @property
    def done_at(self) -> datetime:
        return self.going[-1].done_at if self.going else self.starts_at

    @property
    def stop_after(self) -> int | None:
        """Return the number of the last packet that goes, if others must stay."""
        return len(self.going) if self.staying else None


def plan_run(
    packets: Sequence[PacketToPost], starts_at: datetime, visit: CounterVisit
) -> PostRun:
    """Put the packets in order and stop where the clock or the counter says."""
    ordered = sorted(packets, key=PacketToPost.urgency)
    packed = _packed(ordered, starts_at)
    going = tuple(_in_reach(packed, visit))
    staying = tuple(ordered[len(going) :])
    sentence = _sentence(going, staying, starts_at, visit)
    return PostRun(going, staying, starts_at, visit, sentence)


def _packed(ordered: Sequence[PacketToPost], starts_at: datetime) -> list[PackedAt]:
    so_far = accumulate(packet.minutes for packet in ordered)
    return [
        PackedAt(number, packet, starts_at + timedelta(minutes=minutes))
        for number, (packet, minutes) in enumerate(
            zip(ordered, so_far, strict=True), start=1
        )
    ]


def _in_reach(packed: Sequence[PackedAt], visit: CounterVisit) -> list[PackedAt]:
    """Keep what is done before leaving: done times only grow, so it is a front part."""
    leave_by = visit.leave_by
    if leave_by is None:
        return []
    in_time = [one for one in packed if one.done_at <= leave_by]
    return in_time[: visit.packets_a_visit]


def _sentence(
    going: Sequence[PackedAt],
    staying: Sequence[PacketToPost],
    starts_at: datetime,
    visit: CounterVisit,
) -> str:
    if not (going or staying):
        return "No packet is ready for this run."
    if visit.closes_at is None or visit.leave_by is None:
        return f"There is no collection today: {_count(len(staying))} must wait."
    leave = f"Leave by {show_clock(visit.leave_by)}"
    closes = f"the counter closes at {show_clock(visit.closes_at)}."
    if not going:
        return (
            f"Nothing can be packed in time from {show_clock(starts_at)}. "
            f"{leave}; {closes} {_count(len(staying))} must wait."
        )
    parts = [_what_goes(going, starts_at), f"{leave}; {closes}"]
    if staying:
        parts.append(_where_to_stop(going, staying, visit))
    return " ".join(parts)


def _what_goes(going: Sequence[PackedAt], starts_at: datetime) -> str:
    unknown = sum(one.packet.postage_pence is None for one in going)
    counter = f" and {unknown} priced at the counter" if unknown else ""
    return (
        f"{_count(len(going))}, {show_pounds(_known_pence(going))}{counter}: "
        f"{_minutes(going)} packing minutes from {show_clock(starts_at)}, "
        f"done by {show_clock(going[-1].done_at)}."
    )


def _where_to_stop(
    going: Sequence[PackedAt], staying: Sequence[PacketToPost], visit: CounterVisit
) -> str:
    last = going[-1]
    full = len(going) == visit.packets_a_visit
    why = f"the counter takes {visit.packets_a_visit} a visit" if full else "time is up"
    return (
        f"Stop after packet {last.number}, {last.packet.reference}: {why}. "
        f"{_count(len(staying))} must wait for the next run."
    )


def _minutes(going: Sequence[PackedAt]) -> int:
    return sum(one.packet.minutes for one in going)


def _known_pence(going: Sequence[PackedAt]) -> int:
    return sum(one.packet.postage_pence or 0 for one in going)


def _count(packets: int) -> str:
    return "1 packet" if packets == 1 else f"{packets} packets"
