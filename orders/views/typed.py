"""The page on which an order is typed in."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from inventory.errors import StockShort
from orders import actions as desk
from orders.errors import OrderKnown, PlacedLater
from orders.forms.order import LineForms, OrderForm
from orders.models import Order
from orders.queries.order_page import next_number, prices_at, sold_items
from orders.views.answers import answer
from orders.views.finding import fresh_id
from studio.access import OWNER, StudioRequest, for_roles
from studio.days import london
from studio.errors import StudioError

MORE_LINES = 4
BELONGS_TO: dict[type[StudioError], str] = {
    OrderKnown: "number",
    PlacedLater: "placed_on",
    StockShort: "overruled_because",
}


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def order_add(request: StudioRequest) -> HttpResponse:
    items = {item.code: item for item in sold_items()}
    wants_more = "more_lines" in request.POST
    sent = request.POST if request.method == "POST" and not wants_more else None
    start = request.POST.dict() if wants_more else started(request)
    form = OrderForm(sent, now=request.now, today=request.today, initial=start)
    lines = LineForms.of(sent, items, start=start, more=MORE_LINES * wants_more)
    if sent is not None:
        order = take(form, lines, request)
        if order is not None:
            return answer(
                request,
                f"{order.number} is in the book.",
                order.get_absolute_url(),
            )
    context = {
        "form": form,
        "lines": lines,
        "lines_are_wrong": sent is not None and any(line.errors for line in lines),
        "items": items.values(),
    }
    return render(request, "orders/order_add.html", context)


def started(request: StudioRequest) -> dict[str, Any]:
    return {
        "number": next_number(),
        "placed_on": request.today,
        "placed_time": london(request.now).time(),
        "paid": Order.Paid.PAID,
        "request_id": fresh_id(),
    }


def take(form: OrderForm, lines: LineForms, request: StudioRequest) -> Order | None:
    """Take the order in, or put each sentence where it belongs."""
    lines_are_good = lines.are_valid()
    if not form.is_valid() or not lines_are_good:
        return None
    said = form.cleaned_data
    free = said["paid"] == Order.Paid.FREE
    prices = prices_at(
        said["outlet"],
        [one.cleaned_data["item"] for one in lines.used],
        on=form.placed_at().date(),
    )
    asked = form.asked(lines.asked(prices, free=free))
    if any(one.errors for one in lines):
        return None
    try:
        return desk.take_order(
            asked, request_id=said["request_id"], now=request.now, by=request.person
        )
    except StudioError as error:
        form.refuse(error, BELONGS_TO.get(type(error)))
    return None
