"""Find the order a page speaks of, and the words every act on it is told."""

from __future__ import annotations

from typing import Any
from uuid import UUID, uuid4

from django.db.models import QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404

from orders.models import Order
from studio.access import StudioRequest
from studio.errors import StudioError
from studio.forms import RequestIdForm


class StalePage(StudioError):
    """A button came without the id of its page."""

    def __str__(self) -> str:
        return (
            "This page cannot be sent as it is. Open it again and send it from there."
        )


def order_or_404(number: str, orders: QuerySet[Order] | None = None) -> Order:
    chosen = Order.objects.select_related("customer") if orders is None else orders
    return get_object_or_404(chosen, number=number)


def sent_id(request: StudioRequest) -> UUID:
    """Return the request id of a form that is one button."""
    form = RequestIdForm(request.POST)
    if not form.is_valid():
        raise StalePage
    sent: UUID = form.cleaned_data["request_id"]
    return sent


def fresh_id() -> str:
    return str(uuid4())


def part_or_404(rows: Any, key: int) -> Any:
    """Return a row that belongs to the order, or say that there is none."""
    found = rows.filter(pk=key).first()
    if found is None:
        raise Http404
    return found
