"""The list of orders: what waits for her in sentences, and every order as a table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db.models import Prefetch, QuerySet
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET
from django_tables2 import RequestConfig

from orders.filters import OrderFilter
from orders.models import Order, OrderLine
from orders.queries.open_orders import OrderState, open_orders
from orders.queries.planned_goods import planned_goods
from orders.tables import OrdersTable
from orders.views.answers import undo_kept
from studio.access import OWNER, PACKER, StudioRequest, for_roles
from studio.templatetags.studio_format import in_words

ROWS_ON_A_PAGE = 50


@for_roles(OWNER, PACKER)
@require_GET
def orders(request: StudioRequest) -> HttpResponse:
    states = open_orders(request.now, planned=planned_goods(request.now))
    asked = OrderFilter(chosen(request), queryset=listed_orders())
    table = OrdersTable(asked.qs)
    RequestConfig(request, paginate={"per_page": ROWS_ON_A_PAGE}).configure(table)
    by_order = {state.order.pk: state for state in states}
    for row in table.page.object_list:
        row.record.now_state = by_order.get(row.record.pk)
    waiting = [state for state in states if not state.is_ready]
    context = {
        "asked": asked,
        "scrap": request.GET.get("q", ""),
        "table": table,
        "sentence": sentence_of(states, waiting),
        "waiting": waiting,
        "ready": len(states) - len(waiting),
        "undo": undo_kept(request),
        "may_change": request.person.is_owner,
    }
    return render(request, "orders/orders.html", context)


def chosen(request: StudioRequest) -> Any:
    """Show the open orders while nothing is asked; a search looks at all."""
    if request.GET.keys() & {"q", "state", "outlet"}:
        return request.GET
    return {"state": Order.State.OPEN}


def listed_orders() -> QuerySet[Order]:
    lines = OrderLine.objects.select_related("sends")
    return (
        Order.objects.select_related("customer", "outlet")
        .prefetch_related(Prefetch("lines", lines))
        .order_by("-placed_at", "-id")
    )


def sentence_of(states: Sequence[OrderState], waiting: Sequence[OrderState]) -> str:
    if not states:
        return "No order is open."
    count = len(states)
    noun = "open order" if count == 1 else "open orders"
    ready = count - len(waiting)
    first = f"{in_words(count)} {noun}: {'all' if not waiting else ready} "
    if not waiting:
        return f"{in_words(count)} {noun}, and nothing to wait for."
    verb = "is" if ready == 1 else "are"
    waits = "waits" if len(waiting) == 1 else "wait"
    return f"{first}{verb} ready, {len(waiting)} {waits} for you."
