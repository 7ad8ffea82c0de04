"""What is needed by a day: which orders can go, which cannot, and what to offer."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Literal

from orders.last_posting import Offer, last_posting
from orders.queries.open_orders import OrderState, in_a_row
from orders.queries.packing import PostRules
from studio.days import at_clock, london_day, show_day_short, show_moment

Prospect = Literal["goes", "waits", "cannot"]

CARD = Offer("card", "Print a card: “Your gift is on its way.”")


@dataclass(frozen=True)
class NeededOrder:
    state: OrderState
    prospect: Prospect
    why: str
    offers: tuple[Offer, ...] = ()

    @property
    def number(self) -> str:
        return self.state.number


@dataclass(frozen=True)
class NeededDay:
    """A day by which orders must have arrived."""

    day: date
    orders: tuple[NeededOrder, ...]
    latest: Mapping[str, datetime | None]
    sentence: str

    def with_prospect(self, prospect: Prospect) -> tuple[NeededOrder, ...]:
        return tuple(one for one in self.orders if one.prospect == prospect)

    @property
    def can_go(self) -> tuple[NeededOrder, ...]:
        return self.with_prospect("goes")

    @property
    def cannot(self) -> tuple[NeededOrder, ...]:
        return self.with_prospect("cannot")


def needed_days(
    states: Iterable[OrderState],
    rules: PostRules,
    now: datetime,
    *,
    in_run: Collection[int] = (),
) -> tuple[NeededDay, ...]:
    """Group the orders with a day to meet by that day, the nearest first."""
    by_day: dict[date, list[OrderState]] = defaultdict(list)
    for state in states:
        if state.need_by is not None:
            by_day[state.need_by].append(state)
    return tuple(
        needed_day(day, by_day[day], rules, now, in_run) for day in sorted(by_day)
    )


def needed_day(
    day: date,
    states: list[OrderState],
    rules: PostRules,
    now: datetime,
    in_run: Collection[int],
) -> NeededDay:
    orders = tuple(prospect_of(state, day, rules, now, in_run) for state in states)
    latest = last_posting(day, rules.prices.services, rules.calendar, now)
    known: dict[str, datetime | None] = dict(latest.items())
    return NeededDay(day, orders, known, sentence_of(day, orders, known, now))


def prospect_of(
    state: OrderState,
    day: date,
    rules: PostRules,
    now: datetime,
    in_run: Collection[int],
) -> NeededOrder:
    if state.order.pk in in_run:
        return NeededOrder(state, "goes", "It is in the run.")
    if state.verdict == "collect":
        return collected(state, day)
    if state.short and not state.sends_part_now:
        return short_for(state, day, rules)
    choice = rules.choose(day, now)
    if choice.service is None:
        return NeededOrder(state, "cannot", choice.why, choice.alternatives)
    if not state.is_ready:
        return NeededOrder(state, "waits", state.sentence)
    return NeededOrder(state, "goes", choice.why)


def collected(state: OrderState, day: date) -> NeededOrder:
    on = state.order.collect_on
    in_time = on is not None and on <= day
    return NeededOrder(state, "goes" if in_time else "cannot", state.sentence)


def short_for(state: OrderState, day: date, rules: PostRules) -> NeededOrder:
    """Judge by the day on which the last missing item is expected, at its earliest."""
    why = " ".join(
        line.expected.sentence if line.expected else line.sentence
        for line in state.short
    )
    days = [line.expected.day for line in state.short if line.expected]
    if len(days) < len(state.short):
        return NeededOrder(state, "cannot", why, (CARD,))
    choice = rules.choose(day, at_clock(max(days), time(0, 0)))
    if choice.service is None:
        return NeededOrder(state, "cannot", why, choice.alternatives)
    return NeededOrder(state, "waits", why)


def sentence_of(
    day: date,
    orders: tuple[NeededOrder, ...],
    latest: Mapping[str, datetime | None],
    now: datetime,
) -> str:
    parts = [needed_words(day, orders), latest_words(latest, now)]
    going = [one for one in orders if one.prospect == "goes"]
    if going:
        parts.append(f"{in_a_row([one.number for one in going])} can go.")
    for one in orders:
        if one.prospect == "waits":
            parts.append(f"{one.number} waits: {one.why}")
        elif one.prospect == "cannot":
            parts.append(f"{one.number} cannot be met: {one.why}")
    return " ".join(parts)


def needed_words(day: date, orders: tuple[NeededOrder, ...]) -> str:
    noun = "gift" if all(one.state.is_gift for one in orders) else "order"
    count = f"1 {noun} is" if len(orders) == 1 else f"{len(orders)} {noun}s are"
    return f"{count} needed by {show_day_short(day)}."


def latest_words(latest: Mapping[str, datetime | None], now: datetime) -> str:
    still = {code: moment for code, moment in latest.items() if moment is not None}
    if not still:
        return "No posting arrives in time any more."
    if len(still) == 1:
        [(code, moment)] = still.items()
        if london_day(moment) == london_day(now):
            return f"Today is the last useful posting, {code} only."
        return f"The last useful posting is {show_moment(moment)}, {code} only."
    listed = in_a_row(
        [f"{show_moment(moment)} {code}" for code, moment in still.items()]
    )
    return f"The last useful postings are {listed}."
