"""One order: what it waits for, what can be done about it, and its history."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from orders.actions.asking import address_of
from orders.addresses import label_lines, postcode_warning
from orders.backlog import WayOut, long_stop_sentence, ways_out
from orders.letters import About, LetterFacts, called, letter
from orders.models import Order, Question
from orders.queries.choices import rest_leaves, short_order
from orders.queries.open_orders import OrderState, state_of_order
from orders.queries.order_page import orders_to_show, refunds_of, sum_of
from orders.queries.packing import PostRules
from orders.queries.planned_goods import planned_goods
from orders.queries.post_day import post_rules
from orders.views.answers import undo_kept
from orders.views.finding import fresh_id, order_or_404
from studio.access import OWNER, PACKER, StudioRequest, for_roles
from studio.days import london_day, show_day_short
from studio.errors import StudioError


@for_roles(OWNER, PACKER)
@require_GET
def order_show(request: StudioRequest, number: str) -> HttpResponse:
    order = order_or_404(number, orders_to_show())
    state = state_of_order(order, request.now, planned=planned_goods(request.now))
    rules = rules_or_none(request)
    context = {
        "order": order,
        "state": state,
        "sentence": sentence_of(order, state),
        "reasons": reasons_of(state, asks=request.person.is_owner),
        "sum": sum_of(order),
        "label": label_lines(address_of(order), order.recipient_name),
        "postcode_warning": warning_of(order),
        "refunds": refunds_of(order),
        "ways": ways_of(state, rules, request),
        "long_stop": long_stop_of(order, state),
        "letter": letter_of(state, rules, request),
        "undo": undo_kept(request),
        "request_id": fresh_id(),
        "may_change": request.person.is_owner and order.state == Order.State.OPEN,
        "is_owner": request.person.is_owner,
    }
    return render(request, "orders/order_show.html", context)


def rules_or_none(request: StudioRequest) -> PostRules | None:
    """Do without days and postage while the post is not set up."""
    try:
        return post_rules(request.now)
    except StudioError:
        return None


def sentence_of(order: Order, state: OrderState | None) -> str:
    name = order.customer.name
    if state is not None:
        return f"{order.number}, {name}: {state.words.lower()}."
    if order.posted_on is not None:
        return f"{order.number}, {name}: posted on {show_day_short(order.posted_on)}."
    return f"{order.number}, {name}: {order.get_state_display().lower()}."


def warning_of(order: Order) -> str | None:
    """Ask about a postcode of no known shape; what is collected needs none."""
    if order.is_abroad or order.collect_on is not None or not order.postcode:
        return None
    return postcode_warning(order.postcode)


def ways_of(
    state: OrderState | None, rules: PostRules | None, request: StudioRequest
) -> tuple[WayOut, ...]:
    if state is None or rules is None or not state.short:
        return ()
    after = request.studio.split_after_days if request.studio else 7
    short = short_order(state, request.now, rules, split_after_days=after)
    return ways_out(short)


def long_stop_of(order: Order, state: OrderState | None) -> str:
    if state is None or not state.short:
        return ""
    return long_stop_sentence(london_day(order.placed_at))


def letter_of(
    state: OrderState | None, rules: PostRules | None, request: StudioRequest
) -> str:
    """Write the letter that fits what the order waits for, where there is one."""
    about = about_of(state)
    if state is None or about is None:
        return ""
    order, studio = state.order, request.studio
    question = state.questions[0] if state.questions else None
    other = question.other_order if question else None
    return letter(
        LetterFacts(
            about=about,
            first_name=called(order.customer.name),
            number=order.number,
            signed_by=studio.name if studio else "",
            missing=tuple(short.item.name for short in state.short),
            follows_on=rest_leaves(state, rules) if rules else None,
            question=question.text if question else "",
            other_number=other.number if other else "",
            held_until=london_day(order.held_until) if order.held_until else None,
            collect_on=order.collect_on,
            collect_at=order.collect_at,
        )
    )


def about_of(state: OrderState | None) -> About | None:
    """Name the letter; about what could not be found there is nothing to write yet."""
    if state is None:
        return None
    if state.verdict != "ask":
        return state.verdict
    kind = state.questions[0].kind
    if kind == Question.Kind.DOUBLE:
        return "double"
    return "address" if kind == Question.Kind.ADDRESS else None


def reasons_of(state: OrderState | None, *, asks: bool) -> tuple[str, ...]:
    """Leave out the questions where they stand in full below."""
    if state is None:
        return ()
    asked = {question.text for question in state.questions} if asks else set()
    return tuple(reason for reason in state.reasons if reason not in asked)
