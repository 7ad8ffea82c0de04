"""Find the cheapest legal set of packets for one person's things, and price it.

Every way of sharing the things out is priced, equal things counted as equal:
the best split of a heap is the best first packet plus the best split of what is
left (dynamic programming over sub-heaps; from memory). Equal postage goes to
fewer packets. A very large heap is not tried in full; the plan then says so.
Money is whole pence.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod

from orders.fitting import (
    FitResult,
    NothingToPack,
    NotMeasured,
    Refusal,
    every_fit,
    fit,
    format_for,
    roll_fits,
)
from orders.formats import (
    Format,
    FormatKind,
    LimitsOutOfOrder,
    Minutes,
    Price,
    Rules,
    Service,
    ServiceCode,
    Thing,
    Wrap,
    show_tenths_mm,
)

__all__ = [
    "FitResult",
    "Format",
    "FormatKind",
    "LimitsOutOfOrder",
    "Minutes",
    "NotMeasured",
    "NothingToPack",
    "PacketPlan",
    "Price",
    "Refusal",
    "Rules",
    "Service",
    "ServiceCode",
    "Thing",
    "Wrap",
    "cheapest",
    "fit",
    "format_for",
    "packing_minutes",
    "plan_abroad",
    "plan_packet",
    "roll_fits",
    "show_tenths_mm",
    "total_pence",
]

# What eight different things make; a dozen of one set and a dozen of another too.
MAX_HEAPS = 256

Heap = tuple[int, ...]


@dataclass(frozen=True)
class PacketPlan:
    """One packet to make up. Postage is None when the counter must say."""

    things: tuple[Thing, ...]
    fit: FitResult
    service: ServiceCode
    postage_pence: int | None
    exact: bool


@dataclass(frozen=True)
class _Split:
    pence: int
    packets: tuple[Heap, ...]

    def rank(self) -> tuple[int, int]:
        return self.pence, len(self.packets)

    def with_packet(self, heap: Heap, pence: int) -> _Split:
        return _Split(self.pence + pence, (heap, *self.packets))


def cheapest(
    things: Sequence[Thing],
    rules: Rules,
    service: ServiceCode,
    *,
    abroad: bool = False,
) -> tuple[PacketPlan, ...]:
    """Return the cheapest packets, the heaviest first.

    Abroad it is one packet priced at the counter. A thing that no format takes
    gets a packet of its own without postage.
    """
    if not things:
        raise NothingToPack
    if abroad:
        return (plan_abroad(things, rules),)
    alone, priced = _apart(things, rules, service)
    plans = [plan_packet([thing], rules, service) for thing in alone]
    if priced:
        plans.extend(_shared_out(priced, rules, service))
    return tuple(sorted(plans, key=lambda plan: -plan.fit.grams))


def plan_packet(
    things: Sequence[Thing],
    rules: Rules,
    service: ServiceCode,
    *,
    exact: bool = True,
) -> PacketPlan:
    """Put all things in one packet, in the cheapest format that takes it."""
    best = PacketPlan(tuple(things), fit(things, rules), service, None, exact)
    for result in every_fit(things, rules):
        pence = _pence(result, rules, service)
        if pence is not None and _cheaper(pence, best.postage_pence):
            best = PacketPlan(tuple(things), result, service, pence, exact)
    return best


def plan_abroad(things: Sequence[Thing], rules: Rules) -> PacketPlan:
    """Put all things in one packet whose postage the counter must say."""
    return PacketPlan(tuple(things), fit(things, rules), "standard", None, exact=True)


def total_pence(plans: Sequence[PacketPlan]) -> int | None:
    """Add the postage up; None when the counter must say for any of them."""
    known = [p.postage_pence for p in plans if p.postage_pence is not None]
    return sum(known) if len(known) == len(plans) else None


def packing_minutes(
    kind: FormatKind | None, *, gift: bool, customs: bool, rules: Rules
) -> int:
    """Count what no format takes as a parcel."""
    minutes = rules.minutes
    if kind == "letter":
        base = minutes.letter
    elif kind == "large_letter":
        base = minutes.large_letter
    else:
        base = minutes.parcel
    return base + gift * minutes.gift + customs * minutes.customs


def _cheaper(pence: int, best: int | None) -> bool:
    return best is None or pence < best


def _pence(result: FitResult, rules: Rules, service: ServiceCode) -> int | None:
    if result.format is None:
        return None
    return rules.postage_pence(result.format.code, service)


def _apart(
    things: Sequence[Thing], rules: Rules, service: ServiceCode
) -> tuple[list[Thing], list[Thing]]:
    """Part what has no price even on its own from what has."""
    alone: list[Thing] = []
    priced: list[Thing] = []
    for thing in things:
        pence = plan_packet([thing], rules, service).postage_pence
        (alone if pence is None else priced).append(thing)
    return alone, priced


def _shared_out(
    things: Sequence[Thing], rules: Rules, service: ServiceCode
) -> list[PacketPlan]:
    counted = Counter(things)
    if prod(n + 1 for n in counted.values()) > MAX_HEAPS:
        return _large_heap(things, rules, service)
    kinds, counts = list(counted), tuple(counted.values())
    plans = {
        heap: plan_packet(_things(kinds, heap), rules, service)
        for heap in _heaps_up_to(counts)
    }
    return [plans[heap] for heap in _best_split(counts, plans).packets]


def _best_split(counts: Heap, plans: dict[Heap, PacketPlan]) -> _Split:
    """Build the best split of every sub-heap up from the empty one."""
    best = {tuple(0 for _ in counts): _Split(0, ())}
    for heap in _heaps_up_to(counts):
        splits = (
            best[_less(heap, packet)].with_packet(packet, pence)
            for packet in _first_packets(heap)
            if (pence := plans[packet].postage_pence) is not None
        )
        best[heap] = min(splits, key=_Split.rank)
    return best[counts]


def _first_packets(heap: Heap) -> Iterator[Heap]:
    """Yield each sub-heap that holds at least one of the first kind left."""
    first = next(i for i, n in enumerate(heap) if n)
    ranges = [range(1 if i == first else 0, n + 1) for i, n in enumerate(heap)]
    yield from product(*ranges)


def _heaps_up_to(counts: Heap) -> Iterator[Heap]:
    """Yield each heap but the empty one, every part before its whole."""
    heaps = product(*(range(n + 1) for n in counts))
    yield from (heap for heap in heaps if any(heap))


def _less(heap: Heap, packet: Heap) -> Heap:
    return tuple(n - m for n, m in zip(heap, packet, strict=True))


def _things(kinds: Sequence[Thing], heap: Heap) -> list[Thing]:
    return [k for k, n in zip(kinds, heap, strict=True) for _ in range(n)]


def _large_heap(
    things: Sequence[Thing], rules: Rules, service: ServiceCode
) -> list[PacketPlan]:
    """Compare all in one packet with adding thing by thing where that is cheaper."""
    together = plan_packet(things, rules, service, exact=False)
    added = _added_one_by_one(things, rules, service)
    apart_pence = total_pence(added)
    if together.postage_pence is None or apart_pence is None:
        return added
    return [together] if together.postage_pence <= apart_pence else added


def _added_one_by_one(
    things: Sequence[Thing], rules: Rules, service: ServiceCode
) -> list[PacketPlan]:
    packets: list[PacketPlan] = []
    for thing in sorted(things, key=lambda t: -t.grams):
        own = plan_packet([thing], rules, service, exact=False)
        for place, packet in enumerate(packets):
            joined = plan_packet([*packet.things, thing], rules, service, exact=False)
            if _worth_joining(joined, packet, own):
                packets[place] = joined
                break
        else:
            packets.append(own)
    return packets


def _worth_joining(joined: PacketPlan, packet: PacketPlan, own: PacketPlan) -> bool:
    apart = total_pence([packet, own])
    if joined.postage_pence is None or apart is None:
        return False
    return joined.postage_pence <= apart
