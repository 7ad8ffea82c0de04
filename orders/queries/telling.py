"""Whom to tell that goods come late, with words to send: one true date in each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from orders.discount import discounted
from orders.follow_on import likely_by, posting_day_after
from orders.last_posting import Offer, arrival_day
from orders.models import Message
from orders.queries.needed import NeededOrder
from orders.queries.open_orders import OrderState, ShortLine, in_a_row
from orders.queries.post_day import PostDay
from studio.days import london_day, show_day_short
from studio.money import show_pounds


@dataclass(frozen=True)
class ToTell:
    """One customer to be told, what of, and whether that has been done."""

    state: OrderState
    about: str
    text: str
    told: Message | None = None

    @property
    def number(self) -> str:
        return self.state.number

    @property
    def name(self) -> str:
        return self.state.customer_name


def people_to_tell(day: PostDay, signature: str) -> tuple[ToTell, ...]:
    """Return gifts that come late first, then the other orders that are short."""
    late = [one for needed in day.needed for one in needed.cannot]
    gone = {one.state.order.pk for one in late}
    waiting = [
        state
        for state in day.states
        if state.short and state.order.pk not in gone and state.verdict != "unpaid"
    ]
    found = [
        *(gift_late(one, day, signature) for one in late),
        *(short(state, day, signature) for state in waiting),
    ]
    return with_notes(found)


def with_notes(found: Sequence[ToTell]) -> tuple[ToTell, ...]:
    keys = [one.state.order.pk for one in found]
    notes = {
        (note.order_id, note.about): note
        for note in Message.objects.filter(order__in=keys)
    }
    return tuple(
        ToTell(one.state, one.about, one.text, notes.get(key))
        for one in found
        for key in [(one.state.order.pk, one.about)]
    )


# ------------------------------------------------------------ goods that are short


def short(state: OrderState, day: PostDay, signature: str) -> ToTell:
    comes_on = expected_on(state.short)
    if comes_on is None:
        return short_without_day(state, signature)
    calendar, service = day.rules.calendar, day.rules.prices.services[0]
    posted = show_day_short(posting_day_after(comes_on, calendar))
    there = show_day_short(likely_by(comes_on, service, calendar))
    return ToTell(
        state,
        f"delay to {there}",
        letter(
            state,
            signature,
            f"{lacking_words(state.short)} of your order {state.number} "
            f"{is_or_are(state.short)} not ready yet. We expect to post on {posted}, "
            f"so that it is likely to be with you by {there}.",
            rest_words(state),
            "If you would rather not wait, say so and we pay the money back.",
        ),
    )


def short_without_day(state: OrderState, signature: str) -> ToTell:
    pence = sum(
        discounted(one.lacks * one.line.price_pence, state.order.discount_per_hundred)
        for one in state.short
        if one.expected is None
    )
    gone_for_good = all(one.item.out_of_print for one in state.short)
    why = (
        "cannot be had any more: the last was paid for before your order came"
        if gone_for_good
        else "not there, and we cannot say yet when there will be more"
    )
    verb = "" if gone_for_good else f"{is_or_are(state.short)} "
    return ToTell(
        state,
        "gone" if gone_for_good else "short, no day",
        letter(
            state,
            signature,
            f"we are sorry: {lacking_words(state.short)} of your order {state.number} "
            f"{verb}{why}.",
            f"We can pay back {show_pounds(pence)} at once, or send you something "
            "else that you choose: which would you like?",
            rest_words(state),
        ),
    )


def expected_on(lines: Iterable[ShortLine]) -> date | None:
    """Return the day the last missing thing comes, or None if one has no day."""
    days = [one.expected.day if one.expected else None for one in lines]
    known = [one for one in days if one is not None]
    return max(known) if known and len(known) == len(days) else None


def lacking_words(lines: Iterable[ShortLine]) -> str:
    return in_a_row(
        [
            f"{one.lacks} × “{one.item.name}”"
            if one.lacks > 1
            else f"“{one.item.name}”"
            for one in lines
        ]
    )


def is_or_are(lines: Sequence[ShortLine]) -> str:
    return "is" if len(lines) == 1 and lines[0].lacks == 1 else "are"


def rest_words(state: OrderState) -> str:
    if not state.sending:
        return ""
    if state.sends_part_now:
        return "The rest of your order leaves now; you pay no second postage."
    return "The rest of your order is kept for you."


# ------------------------------------------------------------ gifts that come late


def gift_late(one: NeededOrder, day: PostDay, signature: str) -> ToTell:
    state = one.state
    need_by = show_day_short(state.order.need_by) if state.order.need_by else ""
    there = late_arrival(one, day)
    what = "your gift" if state.is_gift else "your order"
    when = "and we cannot say yet when it will be there"
    if there is not None:
        when = f"it is likely to be there by {show_day_short(there)}"
    return ToTell(
        state,
        f"late for {need_by}"[:40],
        letter(
            state,
            signature,
            f"we are sorry: {what}, {state.number}, cannot arrive by {need_by}; "
            f"{when}.",
            offers_words(one.offers),
            "If none of this helps you, say so and we pay the money back.",
        ),
    )


def late_arrival(one: NeededOrder, day: PostDay) -> date | None:
    """Return the likely day by the quickest service, posted as soon as it can be."""
    rules = day.rules
    quickest = min(rules.prices.services, key=lambda service: service.delivery_days)
    if one.state.short:
        comes_on = expected_on(one.state.short)
        return comes_on and likely_by(comes_on, quickest, rules.calendar)
    posted = london_day(rules.calendar.next_collection(day.now))
    return arrival_day(posted, quickest, rules.calendar)


def offers_words(offers: Iterable[Offer]) -> str:
    words = [offer_words(one) for one in offers]
    return f"Until then, {' or '.join(words)}." if words else ""


def offer_words(offer: Offer) -> str:
    if offer.kind == "collection":
        return "you could fetch it from us"
    if offer.kind == "card":
        return "we can post a card today that says a gift is on its way"
    day = f" on {show_day_short(offer.arrives)}" if offer.arrives else ""
    price = show_pounds(offer.price_pence) if offer.price_pence else "its price"
    return f"a courier could bring it{day} for {price}"


def letter(state: OrderState, signature: str, *sentences: str) -> str:
    said = " ".join(sentence for sentence in sentences if sentence)
    said = said[:1].upper() + said[1:]
    return f"Dear {state.customer_name},\n\n{said}\n\n{signature}"
