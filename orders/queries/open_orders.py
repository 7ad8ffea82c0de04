"""What each open order waits for, as a verdict with its reasons.

Paid first, served first: the goods at home go to claims in the order they rank. An
order is ready when everything it sends is there for it and nothing is to be asked.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Literal, cast

from django.db.models import Prefetch
from django.utils import timezone

from inventory.models import Arrival, Claim, Item
from inventory.promise import ClaimFact, ClaimKind, serve_in_order
from inventory.queries.balances import sellable_at_home
from orders.models import Order, OrderLine, Question
from orders.querysets import OrderSet
from studio.days import london_day, show_day_short

Verdict = Literal["ready", "short", "unpaid", "ask", "collect"]

VERDICT_WORDS: Mapping[Verdict, str] = {
    "ready": "Ready",
    "short": "Short",
    "unpaid": "Not paid yet",
    "ask": "To be asked",
    "collect": "Will be collected",
}


@dataclass(frozen=True)
class Expected:
    """When more of an item comes, and the sentence that says how."""

    day: date
    sentence: str


@dataclass(frozen=True)
class ShortLine:
    """What a line lacks, who has it, and when more is expected."""

    line: OrderLine
    lacks: int
    expected: Expected | None = None
    held_by: str = ""

    @property
    def item(self) -> Item:
        return self.line.sends

    @property
    def sentence(self) -> str:
        code = self.item.code
        verb = "is" if self.lacks == 1 else "are"
        first = f"{self.lacks} {code} {verb} not there."
        if self.held_by:
            first = f"{code} is short: what is there belongs to {self.held_by}."
        if self.expected is not None:
            return f"{first} {self.expected.sentence}"
        if self.item.out_of_print:
            return f"{first} It cannot be bought again."
        return f"{first} No more is expected yet."


@dataclass(frozen=True)
class OrderState:
    """An open order as it stands now."""

    order: Order
    verdict: Verdict
    reasons: tuple[str, ...]
    lines: tuple[OrderLine, ...]
    covered: Mapping[int, int]
    short: tuple[ShortLine, ...] = ()
    questions: tuple[Question, ...] = ()
    held: tuple[str, ...] = ()
    sends_part_now: bool = False

    @property
    def number(self) -> str:
        return self.order.number

    @property
    def customer_name(self) -> str:
        return self.order.customer.name

    @property
    def need_by(self) -> date | None:
        return self.order.need_by

    @property
    def is_gift(self) -> bool:
        return self.order.is_gift

    @property
    def is_ready(self) -> bool:
        return self.verdict == "ready"

    @property
    def words(self) -> str:
        return VERDICT_WORDS[self.verdict]

    @property
    def sending(self) -> tuple[tuple[OrderLine, int], ...]:
        """Return what goes in the next packet: all that is owed and there."""
        counts = [(line, self.covered.get(line.pk, 0)) for line in self.lines]
        return tuple((line, count) for line, count in counts if count)

    @property
    def sentence(self) -> str:
        return " ".join(self.reasons)


@dataclass(frozen=True)
class Shelf:
    """Who is served from what is at home: covered counts by claim, and first claims."""

    covered: Mapping[int, int]
    holders: Mapping[int, tuple[str, ...]]
    expected: Mapping[int, Expected] = field(default_factory=dict)


def open_orders(
    now: datetime,
    *,
    orders: OrderSet | None = None,
    planned: Mapping[str, Expected] | None = None,
) -> list[OrderState]:
    """Return every open order with its verdict: six queries, however many there are.

    `planned` says by item code when more will be made, where no arrival is written.
    """
    chosen = Order.objects.all() if orders is None else orders
    found = list(
        chosen.open()
        .select_related("customer", "outlet")
        .prefetch_related(
            Prefetch(
                "lines",
                OrderLine.objects.select_related("item", "sends", "claim"),
            ),
            Prefetch("questions", Question.objects.select_related("other_order")),
        )
    )
    items = {line.sends for order in found for line in order.lines.all()}
    shelf = shelf_of(items, now=now, planned=planned or {})
    return [state_of(order, shelf, now) for order in found]


def state_of_order(
    order: Order, now: datetime, *, planned: Mapping[str, Expected] | None = None
) -> OrderState | None:
    """Return one order as it stands, or None when it is no longer open."""
    states = open_orders(now, orders=Order.objects.filter(pk=order.pk), planned=planned)
    return states[0] if states else None


def shelf_of(
    items: Iterable[Item], *, now: datetime, planned: Mapping[str, Expected]
) -> Shelf:
    items = list(items)
    sellable = sellable_at_home(items)
    claims = claims_of(items, now=now)
    covered: dict[int, int] = {}
    holders: dict[int, tuple[str, ...]] = {}
    for item in items:
        facts = {fact.rank: claim for claim, fact in claims.get(item.pk, [])}
        served = serve_in_order(
            (fact for _, fact in claims.get(item.pk, [])), sellable[item.pk]
        )
        for one in served:
            covered[facts[one.claim.rank].pk] = one.covered
        holders[item.pk] = tuple(
            facts[one.claim.rank].reference
            for one in served
            if one.covered and facts[one.claim.rank].reference
        )
    return Shelf(covered, holders, expected_of(items, now=now, planned=planned))


def claims_of(
    items: Sequence[Item], *, now: datetime
) -> dict[int, list[tuple[Claim, ClaimFact]]]:
    found: dict[int, list[tuple[Claim, ClaimFact]]] = {}
    claims = Claim.objects.filter(item__in=[item.pk for item in items]).live(on=now)
    for claim in claims:
        fact = ClaimFact(
            kind=cast(ClaimKind, claim.kind),
            count=claim.count,
            label=claim.label,
            rank=(claim.ranks_at, claim.pk),
        )
        found.setdefault(claim.item_id, []).append((claim, fact))
    return found


def expected_of(
    items: Sequence[Item], *, now: datetime, planned: Mapping[str, Expected]
) -> dict[int, Expected]:
    """Return what is planned for each item, or its next arrival if that is sooner."""
    found = {item.pk: planned[item.code] for item in items if item.code in planned}
    arrivals = Arrival.objects.filter(
        item__in=[item.pk for item in items],
        closed_at=None,
        expected_on__gte=timezone.localdate(now),
    ).order_by("-expected_on")
    for arrival in arrivals:
        known = found.get(arrival.item_id)
        if known is None or arrival.expected_on < known.day:
            day = show_day_short(arrival.expected_on)
            found[arrival.item_id] = Expected(
                arrival.expected_on,
                f"{arrival.count} more expected on {day} from {arrival.source}.",
            )
    return found


def state_of(order: Order, shelf: Shelf, now: datetime) -> OrderState:
    lines = tuple(line for line in order.lines.all() if line.owed)
    covered = {line.pk: covered_of(line, shelf) for line in lines}
    short = tuple(
        short_line(line, line.owed - covered[line.pk], order, shelf)
        for line in lines
        if covered[line.pk] < line.owed
    )
    questions = tuple(one for one in order.questions.all() if one.answered_at is None)
    part_now = bool(short) and order.sends_part and any(covered.values())
    verdict = verdict_of(order, short=bool(short) and not part_now, asks=questions)
    held = held_codes(lines, covered) if short else ()
    return OrderState(
        order=order,
        verdict=verdict,
        reasons=reasons_of(order, verdict, short, questions, held, part_now, now),
        lines=lines,
        covered=covered,
        short=short,
        questions=questions,
        held=held,
        sends_part_now=part_now,
    )


def covered_of(line: OrderLine, shelf: Shelf) -> int:
    if line.claim_id is None:
        return 0
    return min(line.owed, shelf.covered.get(line.claim_id, 0))


def short_line(line: OrderLine, lacks: int, order: Order, shelf: Shelf) -> ShortLine:
    others = [
        number
        for number in dict.fromkeys(shelf.holders.get(line.sends_id, ()))
        if number != order.number
    ]
    return ShortLine(
        line=line,
        lacks=lacks,
        expected=shelf.expected.get(line.sends_id),
        held_by=" and ".join(others[:2]) if len(others) <= 2 else "",
    )


def held_codes(
    lines: Iterable[OrderLine], covered: Mapping[int, int]
) -> tuple[str, ...]:
    return tuple(line.sends.code for line in lines if covered[line.pk])


def verdict_of(order: Order, *, short: bool, asks: Sequence[Question]) -> Verdict:
    """Name the first thing that keeps an order here."""
    if asks:
        return "ask"
    if order.paid == Order.Paid.AWAITED:
        return "unpaid"
    if short:
        return "short"
    if order.collect_on is not None:
        return "collect"
    return "ready"


def reasons_of(
    order: Order,
    verdict: Verdict,
    short: Sequence[ShortLine],
    questions: Sequence[Question],
    held: Sequence[str],
    part_now: bool,
    now: datetime,
) -> tuple[str, ...]:
    reasons = [question.text for question in questions]
    if order.paid == Order.Paid.AWAITED:
        reasons.append(hold_sentence(order, now))
    reasons += [line.sentence for line in short]
    if held:
        reasons.append(held_sentence(held))
    if part_now:
        reasons.append("What is there goes now; the rest follows.")
    if order.collect_on is not None:
        reasons.append(collect_sentence(order.collect_on, order.collect_at))
    if verdict == "ready" and not reasons:
        reasons.append("Everything is there, and there is nothing to ask.")
    return tuple(reasons)


def hold_sentence(order: Order, now: datetime) -> str:
    until = order.held_until
    if until is None:
        return "Payment is awaited."
    day = show_day_short(london_day(until))
    if until < now:
        return f"Payment has not come; the hold ended on {day}."
    return f"Payment is awaited; the goods are held until {day}."


def held_sentence(held: Sequence[str]) -> str:
    listed = in_a_row(held)
    return f"{listed} {'stays' if len(held) == 1 else 'stay'} held for it."


def collect_sentence(on: date, at: str) -> str:
    where = f" at {at}" if at else ""
    return f"It is collected on {show_day_short(on)}{where}: do not post it."


def in_a_row(words: Sequence[str]) -> str:
    """Write “A, B and C”."""
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
