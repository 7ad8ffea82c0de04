"""What the post says of today: what can go, who must be asked, what is needed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from django.urls import reverse

from orders.models import Swap
from orders.queries.open_orders import OrderState
from orders.queries.packing import Unmeasured
from orders.queries.post_day import PostDay
from orders.queries.post_words import when
from studio.days import show_clock
from studio.money import show_pounds
from studio.today.words import Said, Section, counted, in_a_row

KINDS = (
    ("letter", "letter", "letters"),
    ("large_letter", "large letter", "large letters"),
    ("small_parcel", "small parcel", "small parcels"),
    ("medium_parcel", "medium parcel", "medium parcels"),
)


def going_section(day: PostDay) -> Section | None:
    """Say how many orders can go, in how many packets, for how much and how long."""
    if not day.states and not day.packets:
        return None
    heading = (
        f"{counted(len(day.states), 'open order')}. {counted_are(len(day.ready))} ready, "
        f"in {counted(len(day.packets), 'packet')}{kinds_words(day)}."
    )
    url = reverse("orders:post")
    said = []
    if day.packets:
        said = [
            Said(postage_sentence(day), url, "Postage"),
            Said(minutes_sentence(day), url, f"{day.minutes} packing minutes"),
            *(Said(sentence) for sentence in day.joined),
            *(Said(sentence) for sentence in day.not_joined),
        ]
    return Section("post", heading, tuple(said))


def counted_are(number: int) -> str:
    return "1 is" if number == 1 else f"{number} are"


def kinds_words(day: PostDay) -> str:
    found = [
        counted(day.counts[kind], one, many)
        for kind, one, many in KINDS
        if day.counts.get(kind)
    ]
    return f" ({', '.join(found)})" if found else ""


def postage_sentence(day: PostDay) -> str:
    abroad = day.at_the_counter
    extra = f" plus {abroad} for abroad at the counter" if abroad else ""
    return f"Postage is {show_pounds(day.postage_pence)}{extra}."


def minutes_sentence(day: PostDay) -> str:
    who = day.packer or "Whoever packs,"
    start, end = show_clock(day.starts_at), show_clock(day.done_at)
    closes = (
        f"; the counter closes at {show_clock(day.closes_at)}" if day.closes_at else ""
    )
    leave = f" Leave by {show_clock(day.leave_by)}." if day.leave_by else ""
    start += on_its_day(day)
    return (
        f"{day.minutes} packing minutes: {who} starting at {start} ends by {end}"
        f"{closes}.{leave}"
    )


def on_its_day(day: PostDay) -> str:
    """Name the day of the collection where it is not today."""
    return "" if when(day) == "today" else f" {when(day)}"


def asked_section(day: PostDay, name: str) -> Section | None:
    """Name each order that waits, with what it waits for."""
    if not day.waiting:
        return None
    heading = f"{len(day.waiting)} need{'s' if len(day.waiting) == 1 else ''} {name}."
    return Section(
        "ask", heading, tuple(order_said(state) for state in day.waiting), is_seen=True
    )


def order_said(state: OrderState) -> Said:
    return Said(
        f"{state.number}, {state.customer_name}, {state.words.lower()}: "
        f"{state.sentence}",
        state.order.get_absolute_url(),
        state.number,
    )


def needed_section(day: PostDay) -> Section | None:
    """Say for each day to be met which orders go, which cannot, and what to offer."""
    said = []
    for needed in day.needed:
        said.append(Said(needed.sentence))
        said.extend(
            Said(offer_sentence(one.number, [o.sentence for o in one.offers]))
            for one in needed.cannot
            if one.offers
        )
    if not said:
        return None
    cannot = [one.number for needed in day.needed for one in needed.cannot]
    heading = (
        f"{in_a_row(cannot)} cannot be met."
        if cannot
        else "Every day to be met can be met."
    )
    return Section("needed", heading, tuple(said), is_seen=bool(cannot))


def offer_sentence(number: str, offers: Sequence[str]) -> str:
    return f"For {number}: {' '.join(offers)}"


def short_section(day: PostDay) -> Section | None:
    """Say item by item what is short, who has what is there, and who must be told."""
    by_item: dict[str, list[OrderState]] = defaultdict(list)
    names: dict[str, str] = {}
    lacking: dict[str, int] = defaultdict(int)
    for state in day.states:
        for line in state.short:
            by_item[line.item.code].append(state)
            names[line.item.code] = line.item.name
            lacking[line.item.code] += line.lacks
    if not by_item:
        return None
    said = [
        Said(
            short_sentence(code, names[code], lacking[code], states),
            reverse("inventory:item_show", args=[code]),
            names[code],
        )
        for code, states in sorted(by_item.items())
    ]
    return Section("short", f"{in_a_row(sorted(by_item))} are short.", tuple(said))


def short_sentence(
    code: str, name: str, lacking: int, states: Sequence[OrderState]
) -> str:
    numbers = in_a_row([state.number for state in states])
    line = next(
        line for state in states for line in state.short if line.item.code == code
    )
    told = f"{numbers} must be told."
    if line.held_by:
        return f"{name}: {lacking} short. What is there is for {line.held_by}. {told}"
    when = line.expected.sentence if line.expected else "No more is expected yet."
    return f"{name}: {lacking} short for {numbers}. {when} {told}"


def refunds_section() -> Section | None:
    """Say what is owed to customers after a swap and not yet paid."""
    owed = (
        Swap.objects.filter(refund_paid_at=None, refund_pence__gt=0)
        .select_related("line__order")
        .order_by("agreed_at")
    )
    said = tuple(
        Said(
            f"{refund_words(swap.refund_pence)} is owed to {swap.line.order.number} "
            "and not yet paid.",
            swap.line.order.get_absolute_url(),
            swap.line.order.number,
        )
        for swap in owed
    )
    return Section("refunds", "Money is owed to customers.", said) if said else None


def refund_words(pence: int) -> str:
    return f"{pence}p" if pence < 100 else show_pounds(pence)


def measures_url(one: Unmeasured) -> str:
    """Lead to the very boxes in which a packed size is written."""
    return reverse("inventory:item_edit", args=[one.item.code]) + "#id_packed_length_mm"


def unmeasured_section(day: PostDay) -> Section | None:
    """Name the goods that nobody has measured; each leads to where it is written."""
    if not day.unmeasured:
        return None
    return Section(
        "unmeasured",
        "Some goods must be measured before they can be posted.",
        tuple(
            Said(
                f"{one.sentence} Measure one, packed, and write it down.",
                measures_url(one),
                one.item.code,
            )
            for one in day.unmeasured
        ),
        is_seen=True,
    )


def stops_section(day: PostDay) -> Section | None:
    if not day.problems:
        return None
    return Section(
        "problems",
        "The printed run needs a look.",
        tuple(Said(sentence, reverse("orders:post")) for sentence in day.problems),
        is_seen=True,
    )
