"""What came back of an order: where it lies, what is refunded, and the way back."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from inventory.models import Entry
from orders import actions as desk
from orders.actions.returning import reference_of
from orders.forms.acts import CameBackForm
from orders.models import Order
from orders.views.answers import answer, sorry
from orders.views.finding import order_or_404, sent_id
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def order_came_back(request: StudioRequest, number: str) -> HttpResponse:
    """Write down what came back; it waits in the tray to be looked at."""
    order = order_or_404(number)
    form = CameBackForm(
        request.POST or None, order=order, now=request.now, today=request.today
    )
    if request.method == "POST" and form.is_valid():
        try:
            return take_in(request, order, form)
        except StudioError as error:
            form.refuse(error)
    context = {
        "order": order,
        "form": form,
        "button": "It came back",
        "sentence": f"What of {order.number} came back?",
    }
    return render(request, "orders/order_act.html", context)


def take_in(request: StudioRequest, order: Order, form: CameBackForm) -> HttpResponse:
    said = form.cleaned_data
    line, count = said["line"], said["count"]
    entry = desk.take_return(
        line,
        count=count,
        refund_pence=said["refund"],
        request_id=said["request_id"],
        now=request.now,
        by=request.person,
    )
    waits = "lies in the tray and waits" if count == 1 else "lie in the tray and wait"
    return answer(
        request,
        f"{count} {line.sends.code} {waits} to be looked at.",
        order.get_absolute_url(),
        undo_url=reverse("orders:order_not_back", args=[entry.pk, order.number]),
    )


@for_roles(OWNER)
@require_POST
def order_not_back(request: StudioRequest, entry_id: int, number: str) -> HttpResponse:
    order = order_or_404(number)
    entry = get_object_or_404(Entry, pk=entry_id, reference=reference_of(order))
    try:
        desk.take_return_back(
            order,
            entry,
            request_id=sent_id(request),
            now=request.now,
            by=request.person,
        )
    except StudioError as error:
        return sorry(request, error, order.get_absolute_url())
    return answer(request, f"Nothing came back of {number}.", order.get_absolute_url())
