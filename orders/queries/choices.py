"""The figures behind the ways out of a short order."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from inventory.models import Item
from inventory.queries.promises import promises_of
from orders.backlog import ShortOrder
from orders.follow_on import posting_day_after
from orders.models import OrderLine
from orders.packets import cheapest, total_pence
from orders.queries.open_orders import OrderState
from orders.queries.packing import PostRules, is_measured, thing_of
from studio.days import london_day
from studio.money import mills_to_pence


def short_order(
    state: OrderState, now: datetime, rules: PostRules, *, split_after_days: int = 7
) -> ShortOrder:
    """Work out days, postage and refund for an order that lacks something."""
    missing = [(short.line, short.lacks) for short in state.short]
    whole = [(line, line.owed) for line in state.lines]
    return ShortOrder(
        placed_on=london_day(state.order.placed_at),
        leaves_now=london_day(rules.calendar.next_collection(now)),
        rest_leaves=rest_leaves(state, rules),
        something_is_there=bool(state.sending),
        whole_pence=postage_of(whole, rules, abroad=state.order.is_abroad),
        now_pence=postage_of(state.sending, rules, abroad=state.order.is_abroad),
        rest_pence=postage_of(missing, rules, abroad=state.order.is_abroad),
        refund_pence=sum(line.price_pence * lacks for line, lacks in missing),
        material_pence=mills_to_pence(
            sum(line.sends.cost_mills * lacks for line, lacks in missing)
        ),
        swaps=swaps_for(state, now),
        split_after_days=split_after_days,
    )


def rest_leaves(state: OrderState, rules: PostRules) -> date | None:
    """Return the day the last missing thing can be posted, if all are expected."""
    days = [short.expected.day for short in state.short if short.expected]
    if len(days) < len(state.short) or not days:
        return None
    return posting_day_after(max(days), rules.calendar)


def postage_of(
    contents: Iterable[tuple[OrderLine, int]], rules: PostRules, *, abroad: bool
) -> int | None:
    contents = list(contents)
    if abroad or not all(is_measured(line) for line, _ in contents):
        return None
    things = [thing_of(line.sends) for line, count in contents for _ in range(count)]
    if not things:
        return 0
    service = rules.prices.services[0].code
    return total_pence(cheapest(things, rules.prices.rules, service))


def swaps_for(state: OrderState, now: datetime) -> tuple[str, ...]:
    """Return what is alike and can be promised, where one line is short.

    Alike is the same design in the same size, or a bundle of the same form and count.
    """
    if len(state.short) != 1:
        return ()
    [short] = state.short
    alike = list(alike_items(short.item))
    promises = promises_of(alike, now=now)
    return tuple(
        item.code for item in alike if promises[item.pk].can_promise >= short.lacks
    )


def alike_items(item: Item) -> Iterable[Item]:
    others = Item.objects.filter(is_sold=True, kind=item.kind).exclude(pk=item.pk)
    if item.design_id is not None and item.finished_size is not None:
        return others.filter(design=item.design_id, finished_size=item.finished_size)
    if hasattr(item, "contents"):
        return others.filter(
            contents__form=item.contents.form, contents__count=item.contents.count
        )
    return others.none()
