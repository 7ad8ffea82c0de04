"""The day's post as one value: packets in order of work, postage, minutes, times."""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.db.models import Prefetch

from orders import post_run
from orders.models import Order, OrderLine, Packet, PacketLine, PostRun
from orders.planned import PacketFigures
from orders.post_run import CounterVisit, PacketToPost
from orders.queries.needed import NeededDay, needed_days
from orders.queries.open_orders import Expected, OrderState, open_orders
from orders.queries.packing import (
    Doorstep,
    Packing,
    PlannedPacket,
    PostRules,
    TooLate,
    Unmeasured,
    label_of,
    packets_for,
)
from orders.queries.price_list import (
    courier_of,
    post_calendar,
    post_counter,
    price_list,
)
from studio.days import at_clock, london_day
from studio.models import Absence, Counter, PackerHours, StudioSettings

# When she packs herself on a day that no packer comes.
NOBODY_COMES = time(9, 0)


@dataclass(frozen=True)
class DayPacket:
    """One packet of the day, frozen in the run already or still only planned."""

    number: int
    label: str
    kind: str
    format_name: str
    service_code: str
    grams: int
    thickness_tenths_mm: int
    postage_pence: int | None
    minutes: int
    is_gift: bool
    need_by: date | None
    placed_at: datetime
    contents: tuple[tuple[OrderLine, int], ...]
    why: str = ""
    packet: Packet | None = None
    planned: PlannedPacket | None = None

    @property
    def wrap_name(self) -> str:
        if self.packet is not None:
            return self.packet.format.wrap.name
        return self.planned.format.wrap.name if self.planned else ""

    @property
    def contents_words(self) -> str:
        return ", ".join(
            f"{count} × {line.sends.code}" for line, count in self.contents
        )


@dataclass(frozen=True)
class PostDay:
    """What the Post page and its papers show, from one reading."""

    day: date
    now: datetime
    states: tuple[OrderState, ...]
    packets: tuple[DayPacket, ...]
    schedule: post_run.PostRun
    run: PostRun | None
    posted_today: int
    packing: Packing
    doorsteps: tuple[Doorstep, ...]
    needed: tuple[NeededDay, ...]
    problems: tuple[str, ...]
    packer: str
    rules: PostRules

    @property
    def ready(self) -> tuple[OrderState, ...]:
        return tuple(state for state in self.states if state.is_ready)

    @property
    def waiting(self) -> tuple[OrderState, ...]:
        return tuple(state for state in self.states if not state.is_ready)

    @property
    def counts(self) -> Mapping[str, int]:
        """Count the packets by kind: letter, large_letter, small_parcel and so on."""
        return Tally(packet.kind for packet in self.packets)

    @property
    def postage_pence(self) -> int:
        return sum(packet.postage_pence or 0 for packet in self.packets)

    @property
    def at_the_counter(self) -> int:
        """Count the packets whose price only the counter can say."""
        return sum(packet.postage_pence is None for packet in self.packets)

    @property
    def minutes(self) -> int:
        return sum(packet.minutes for packet in self.packets)

    @property
    def starts_at(self) -> datetime:
        return self.schedule.starts_at

    @property
    def done_at(self) -> datetime:
        return self.schedule.done_at

    @property
    def leave_by(self) -> datetime | None:
        return self.schedule.visit.leave_by

    @property
    def closes_at(self) -> datetime | None:
        return self.schedule.visit.closes_at

    @property
    def joined(self) -> tuple[str, ...]:
        return tuple(doorstep.joined for doorstep in self.doorsteps)

    @property
    def not_joined(self) -> tuple[str, ...]:
        return tuple(words for doorstep in self.doorsteps for words in doorstep.apart)

    @property
    def too_late(self) -> tuple[TooLate, ...]:
        return self.packing.too_late

    @property
    def unmeasured(self) -> tuple[Unmeasured, ...]:
        return self.packing.unmeasured

    @property
    def new_figures(self) -> tuple[PacketFigures, ...]:
        """Return what `make_post_run` has to freeze, in order of work."""
        return tuple(one.planned.figures for one in self.packets if one.planned)


def post_rules(now: datetime, counter: Counter | None = None) -> PostRules:
    calendar = post_calendar(now, counter=counter)
    day = london_day(calendar.next_collection(now))
    studio = StudioSettings.objects.filter(pk=1).first()
    return PostRules(price_list(day), calendar, courier_of(studio))


def post_day(
    now: datetime, *, planned: Mapping[str, Expected] | None = None
) -> PostDay:
    """Work out the next collection's post: a fixed number of queries.

    Raises `NoCounter` or `NoFormats` while the post is not set up.
    """
    counter = post_counter()
    rules = post_rules(now, counter)
    day = london_day(rules.calendar.next_collection(now))
    states = open_orders(now, planned=planned)
    frozen = frozen_packets(day)
    in_run = {order.pk for packet in frozen for order in packet.orders.all()}
    ready = [state for state in states if state.is_ready]
    packing = packets_for(now, [s for s in ready if s.order.pk not in in_run], rules)
    run = PostRun.objects.filter(day=day).first()
    kinds = {fmt.code: fmt.kind for fmt in rules.prices.rules.formats}
    packets = (
        *(frozen_packet(packet, kinds[packet.format.code]) for packet in frozen),
        *new_packets(packing.packets, last_number(run)),
    )
    starts_at, packer = packing_start(day, now)
    return PostDay(
        day=day,
        now=now,
        states=tuple(states),
        packets=packets,
        schedule=schedule_of(packets, starts_at, visit_on(day, rules, counter)),
        run=run,
        posted_today=posted_on(day),
        packing=packing,
        doorsteps=doorsteps_of(
            packets, packets_for(now, ready, rules) if frozen else packing
        ),
        needed=needed_days(states, rules, now, in_run=in_run),
        problems=tuple(run_problems(frozen, states)),
        packer=packer,
        rules=rules,
    )


def doorsteps_of(
    packets: Iterable[DayPacket], unprinted: Packing
) -> tuple[Doorstep, ...]:
    """Keep what would be joined were no slip printed yet, where it is joined indeed.

    A printed packet does not keep the price that its orders would cost apart.
    """
    labels = {packet.label for packet in packets}
    return tuple(one for one in unprinted.doorsteps if one.labels <= labels)


def frozen_packets(day: date) -> list[Packet]:
    """Return the packets made for this day or before that have not left."""
    return list(
        Packet.objects.live()
        .filter(run__day__lte=day)
        .select_related("run", "format__wrap", "service", "packed_by")
        .prefetch_related(
            Prefetch("orders", Order.objects.select_related("customer")),
            Prefetch(
                "lines",
                PacketLine.objects.select_related(
                    "order_line__sends", "order_line__order"
                ),
            ),
        )
        .order_by("run__day", "number")
    )


def last_number(run: PostRun | None) -> int:
    if run is None:
        return 0
    numbers = run.packets.order_by("-number").values_list("number", flat=True)
    return numbers.first() or 0


def posted_on(day: date) -> int:
    return Packet.objects.of_day(on=day).filter(state=Packet.State.POSTED).count()


def new_packets(planned: Iterable[PlannedPacket], last: int) -> tuple[DayPacket, ...]:
    """Number new packets in order of work, after the numbers that are given."""
    in_order = sorted(planned, key=lambda one: to_post(one).urgency())
    return tuple(
        new_packet(one, number) for number, one in enumerate(in_order, start=last + 1)
    )


def to_post(planned: PlannedPacket) -> PacketToPost:
    return PacketToPost(
        reference=planned.label,
        minutes=planned.minutes,
        placed_at=planned.placed_at,
        postage_pence=planned.plan.postage_pence,
        need_by=planned.need_by,
    )


def frozen_packet(packet: Packet, kind: str) -> DayPacket:
    orders = list(packet.orders.all())
    return DayPacket(
        number=packet.number,
        label=label_of([order.number for order in orders], packet.part, packet.parts),
        kind=kind,
        format_name=packet.format.name,
        service_code=packet.service.code,
        grams=packet.grams,
        thickness_tenths_mm=packet.thickness_tenths_mm,
        postage_pence=packet.postage_pence,
        minutes=packet.minutes,
        is_gift=any(order.is_gift for order in orders),
        need_by=min((o.need_by for o in orders if o.need_by), default=None),
        placed_at=min(order.placed_at for order in orders),
        contents=tuple((line.order_line, line.count) for line in packet.lines.all()),
        packet=packet,
    )


def new_packet(planned: PlannedPacket, number: int) -> DayPacket:
    return DayPacket(
        number=number,
        label=planned.label,
        kind=planned.format.kind,
        format_name=planned.format.name,
        service_code=planned.plan.service,
        grams=planned.plan.fit.grams,
        thickness_tenths_mm=planned.plan.fit.thickness_tenths_mm,
        postage_pence=planned.plan.postage_pence,
        minutes=planned.minutes,
        is_gift=planned.is_gift,
        need_by=planned.need_by,
        placed_at=planned.placed_at,
        contents=planned.contents,
        why=planned.why,
        planned=planned,
    )


def schedule_of(
    packets: Sequence[DayPacket], starts_at: datetime, visit: CounterVisit
) -> post_run.PostRun:
    """Time the packets in the order given: numbers on paper do not change places."""
    return post_run.plan_run(
        [in_given_order(one, place) for place, one in enumerate(packets)],
        starts_at,
        visit,
    )


def in_given_order(packet: DayPacket, place: int) -> PacketToPost:
    is_packed = packet.packet is not None and (
        packet.packet.state == Packet.State.PACKED
    )
    return PacketToPost(
        reference=packet.label,
        minutes=0 if is_packed else packet.minutes,
        placed_at=packet.placed_at,
        postage_pence=packet.postage_pence,
        need_by=date.min + timedelta(days=place),
    )


def visit_on(day: date, rules: PostRules, counter: Counter) -> CounterVisit:
    return CounterVisit(
        closes_at=rules.calendar.last_collection(day),
        minutes_away=counter.minutes_away,
        packets_a_visit=counter.packets_a_visit,
    )


def packing_start(day: date, now: datetime) -> tuple[datetime, str]:
    """Return when packing can begin and who packs; nobody: she does, from nine."""
    absent = Absence.objects.filter(day=day).values("person")
    hours = (
        PackerHours.objects.filter(weekday=day.weekday())
        .exclude(person__in=absent)
        .select_related("person")
        .order_by("starts")
        .first()
    )
    if hours is None:
        return max(now, at_clock(day, NOBODY_COMES)), ""
    return max(now, at_clock(day, hours.starts)), hours.person.first_name


def run_problems(
    frozen: Iterable[Packet], states: Iterable[OrderState]
) -> Iterable[str]:
    """Say which packets of the run hold an order that should wait by now."""
    by_order = {state.order.pk: state for state in states}
    for packet in frozen:
        for order in packet.orders.all():
            state = by_order.get(order.pk)
            if state is not None and not state.is_ready:
                yield (
                    f"Packet {packet.number} holds {state.number}, which should wait "
                    f"by now: {state.sentence} Take it out of the run."
                )
