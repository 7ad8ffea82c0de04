"""From ready orders to packets: joined by doorstep where that is no dearer.

Gifts, orders for abroad and collections are never joined. A doorstep's orders go
together when their cheapest packets cost no more than each on its own.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from inventory.models import Item
from orders.formats import Format, ServiceCode, Thing
from orders.last_posting import Choice, Courier, choose_service
from orders.models import OrderLine
from orders.packets import PacketPlan, cheapest, packing_minutes, total_pence
from orders.planned import PacketFigures, PlannedLine
from orders.queries.open_orders import OrderState, in_a_row
from orders.queries.price_list import PriceList
from studio.money import show_pounds
from studio.walk import PostCalendar

Contents = tuple[tuple[OrderLine, int], ...]

SHORT_KINDS = {
    "letter": "letter",
    "large_letter": "large letter",
    "small_parcel": "parcel",
    "medium_parcel": "parcel",
}


@dataclass(frozen=True)
class PostRules:
    """All that decides how a packet goes, read once."""

    prices: PriceList
    calendar: PostCalendar
    courier: Courier | None = None

    def choose(self, need_by: date | None, at: datetime) -> Choice:
        services = self.prices.services
        return choose_service(
            need_by, at, services, self.calendar, courier=self.courier
        )


@dataclass(frozen=True)
class PlannedPacket:
    """One packet to make up, with the orders whose goods are in it."""

    states: tuple[OrderState, ...]
    contents: Contents
    plan: PacketPlan
    format: Format
    minutes: int
    why: str
    part: int = 1
    parts: int = 1

    @property
    def label(self) -> str:
        return label_of([state.number for state in self.states], self.part, self.parts)

    @property
    def is_gift(self) -> bool:
        return any(state.is_gift for state in self.states)

    @property
    def need_by(self) -> date | None:
        return earliest(self.states)

    @property
    def placed_at(self) -> datetime:
        return min(state.order.placed_at for state in self.states)

    @property
    def figures(self) -> PacketFigures:
        return PacketFigures(
            order_ids=tuple(state.order.pk for state in self.states),
            lines=tuple(PlannedLine(line.pk, count) for line, count in self.contents),
            format_code=self.format.code,
            service_code=self.plan.service,
            grams=self.plan.fit.grams,
            thickness_tenths_mm=self.plan.fit.thickness_tenths_mm,
            postage_pence=self.plan.postage_pence,
            minutes=self.minutes,
            part=self.part,
            parts=self.parts,
        )


@dataclass(frozen=True)
class TooLate:
    """A ready order that no posting brings in time, and what to offer instead."""

    state: OrderState
    choice: Choice


@dataclass(frozen=True)
class Doorstep:
    """Orders joined at one address: in which packets, and what is said of them."""

    labels: frozenset[str]
    joined: str
    apart: tuple[str, ...] = ()


@dataclass(frozen=True)
class Unmeasured:
    """Goods whose packed size or weight nobody has written, and who waits for it."""

    item: Item
    numbers: tuple[str, ...]

    @property
    def sentence(self) -> str:
        return (
            f"{in_a_row(list(self.numbers))} cannot be planned: {self.item.code} "
            f"({self.item.name}) has no packed size or weight yet."
        )


@dataclass(frozen=True)
class Packing:
    packets: tuple[PlannedPacket, ...]
    doorsteps: tuple[Doorstep, ...] = ()
    too_late: tuple[TooLate, ...] = ()
    unmeasured: tuple[Unmeasured, ...] = ()


def packets_for(
    now: datetime, ready: Iterable[OrderState], rules: PostRules
) -> Packing:
    """Plan the packets of ready orders for the next collection."""
    measured, unmeasured = parted_by_measures(ready)
    in_time, too_late = parted_by_time(measured, rules, now)
    packets: list[PlannedPacket] = []
    doorsteps: list[Doorstep] = []
    for group in by_doorstep(in_time):
        together = plan_together(group, rules, now)
        packets += together.packets
        doorsteps += [
            replace(one, apart=tuple(not_joined(group, in_time)))
            for one in together.doorsteps
        ]
    return Packing(tuple(packets), tuple(doorsteps), tuple(too_late), tuple(unmeasured))


def parted_by_measures(
    ready: Iterable[OrderState],
) -> tuple[list[OrderState], list[Unmeasured]]:
    """Leave out orders with a thing nobody has measured, and say which things."""
    measured: list[OrderState] = []
    waiting: dict[Item, dict[str, None]] = defaultdict(dict)
    for state in ready:
        lacking = [line.sends for line, _ in state.sending if not is_measured(line)]
        for item in lacking:
            waiting[item][state.number] = None
        if not lacking:
            measured.append(state)
    return measured, [Unmeasured(item, tuple(who)) for item, who in waiting.items()]


def is_measured(line: OrderLine) -> bool:
    item = line.sends
    return all(
        (
            item.packed_length_mm,
            item.packed_width_mm,
            item.packed_thickness_tenths_mm,
            item.grams,
        )
    )


def parted_by_time(
    states: Iterable[OrderState], rules: PostRules, now: datetime
) -> tuple[list[OrderState], list[TooLate]]:
    in_time: list[OrderState] = []
    too_late: list[TooLate] = []
    for state in states:
        if state.need_by is None or state.order.is_abroad:
            in_time.append(state)
            continue
        choice = rules.choose(state.need_by, now)
        if choice.service is None:
            too_late.append(TooLate(state, choice))
        else:
            in_time.append(state)
    return in_time, too_late


def may_be_joined(state: OrderState) -> bool:
    order = state.order
    return bool(order.doorstep) and not (order.is_gift or order.is_abroad)


def by_doorstep(states: Iterable[OrderState]) -> list[tuple[OrderState, ...]]:
    groups: dict[str, list[OrderState]] = defaultdict(list)
    for state in states:
        own = f"alone {state.order.pk}"
        groups[state.order.doorstep if may_be_joined(state) else own].append(state)
    return [tuple(group) for group in groups.values()]


def plan_together(
    group: tuple[OrderState, ...], rules: PostRules, now: datetime
) -> Packing:
    apart = [plan_packets((state,), rules, now) for state in group]
    if len(group) == 1:
        return Packing(tuple(apart[0]))
    together = plan_packets(group, rules, now)
    alone = tuple(packet for one in apart for packet in one)
    joined_pence = total_pence([packet.plan for packet in together])
    apart_pence = total_pence([packet.plan for packet in alone])
    if joined_pence is None or apart_pence is None:
        return Packing(alone)
    if (joined_pence, len(together)) >= (apart_pence, len(alone)):
        return Packing(alone)
    sentence = joined_sentence(group, together, joined_pence, apart_pence)
    labels = frozenset(packet.label for packet in together)
    return Packing(tuple(together), (Doorstep(labels, sentence),))


def plan_packets(
    states: tuple[OrderState, ...], rules: PostRules, now: datetime
) -> list[PlannedPacket]:
    order = states[0].order
    contents = [pair for state in states for pair in state.sending]
    service, why = service_for(states, rules, now)
    things = [thing_of(line.sends) for line, count in contents for _ in range(count)]
    plans = cheapest(things, rules.prices.rules, service, abroad=order.is_abroad)
    pool = pool_of(contents)
    packets = []
    for part, plan in enumerate(plans, start=1):
        kind = plan.fit.format.kind if plan.fit.format else None
        packets.append(
            PlannedPacket(
                states=states,
                contents=taken_from(pool, plan.things),
                plan=plan,
                format=plan.fit.format or rules.prices.largest,
                minutes=packing_minutes(
                    kind,
                    gift=order.is_gift,
                    customs=order.needs_customs,
                    rules=rules.prices.rules,
                ),
                why=why,
                part=part,
                parts=len(plans),
            )
        )
    return packets


def service_for(
    states: Sequence[OrderState], rules: PostRules, now: datetime
) -> tuple[ServiceCode, str]:
    if states[0].order.is_abroad:
        return "standard", "Abroad: the counter says the price."
    choice = rules.choose(earliest(states), now)
    cheapest_service = rules.prices.services[0]
    return (choice.service or cheapest_service).code, choice.why


def earliest(states: Iterable[OrderState]) -> date | None:
    return min((s.need_by for s in states if s.need_by), default=None)


def thing_of(item: Item) -> Thing:
    """Return one unit as packed; what was never measured is refused by its noughts."""
    return Thing(
        code=item.code,
        name=item.name,
        length_mm=item.packed_length_mm or 0,
        width_mm=item.packed_width_mm or 0,
        thickness_tenths_mm=item.packed_thickness_tenths_mm or 0,
        grams=item.grams or 0,
        may_go_as_letter=item.may_go_as_letter,
    )


def pool_of(contents: Iterable[tuple[OrderLine, int]]) -> dict[str, deque[OrderLine]]:
    """Line up every unit by its code, so that packets can take from them."""
    pool: dict[str, deque[OrderLine]] = defaultdict(deque)
    for line, count in contents:
        pool[line.sends.code].extend([line] * count)
    return pool


def taken_from(pool: dict[str, deque[OrderLine]], things: Iterable[Thing]) -> Contents:
    taken: dict[int, tuple[OrderLine, int]] = {}
    for thing in things:
        line = pool[thing.code].popleft()
        _, count = taken.get(line.pk, (line, 0))
        taken[line.pk] = (line, count + 1)
    return tuple(taken.values())


def label_of(numbers: Sequence[str], part: int, parts: int) -> str:
    """Write “L-0439 + L-0447”, or “L-0438 (1 of 2)”."""
    label = " + ".join(numbers)
    return f"{label} ({part} of {parts})" if parts > 1 else label


def joined_sentence(
    group: Sequence[OrderState],
    together: Sequence[PlannedPacket],
    joined_pence: int,
    apart_pence: int,
) -> str:
    numbers = in_a_row([state.number for state in group])
    what = f"{len(together)} packets"
    if len(together) == 1:
        what = f"one {SHORT_KINDS[together[0].format.kind]}"
    price = f"at {show_pounds(joined_pence)} instead of {show_pounds(apart_pence)}"
    if joined_pence == apart_pence:
        price = f"at {show_pounds(joined_pence)}, the same as apart"
    return f"{numbers} are one doorstep: {what} {price}."


def not_joined(
    group: Sequence[OrderState], states: Sequence[OrderState]
) -> Iterable[str]:
    """Say which orders look like the joined ones and are kept apart, and why."""
    doorstep = group[0].order.doorstep
    surnames = {surname_of(state) for state in group}
    for state in states:
        if state in group or state.order.is_abroad:
            continue
        if state.is_gift and state.order.doorstep == doorstep:
            yield f"{state.number} is a gift at the same address: not joined."
        elif state.order.doorstep != doorstep and surname_of(state) in surnames:
            yield (
                f"{state.number} has the same surname at another address: not joined."
            )


def surname_of(state: OrderState) -> str:
    words = state.order.recipient_name.split()
    return words[-1].casefold() if words else ""
