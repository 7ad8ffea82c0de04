"""Suppliers, orders to them, deliveries taken in, and what is still to come."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from inventory import actions as stock
from inventory.forms import buying as forms
from inventory.landed import Arrived, landed_mills
from inventory.models import Arrival, Purchase, PurchaseLine, Supplier
from inventory.pictures import with_pictures
from inventory.views.answers import Done, answer, page
from inventory.views.catalogue import items_known
from studio import money
from studio.access import OWNER, StudioRequest, for_roles


@for_roles(OWNER)
@require_GET
def deliveries(request: StudioRequest) -> HttpResponse:
    waiting = list(
        Purchase.objects.filter(received_at=None)
        .select_related("supplier")
        .prefetch_related("lines__item")
        .order_by("expected_on", "ordered_on")
    )
    arrivals = with_pictures(Arrival.objects.filter(closed_at=None), by="item")
    context = {
        "waiting": waiting,
        "arrivals": arrivals,
        "taken_in": Purchase.objects.exclude(received_at=None).select_related(
            "supplier"
        )[:12],
        "suppliers": Supplier.objects.all(),
    }
    return page(request, "inventory/deliveries.html", context)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def supplier_add(request: StudioRequest) -> HttpResponse:
    form = forms.SupplierForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        supplier = stock.add_supplier(**particulars(form))
        return answer(
            request,
            Done(f"{supplier.name} is among the suppliers."),
            reverse("inventory:deliveries"),
        )
    context = {"form": form, "question": "Who supplies you?", "button": "Add them"}
    return render(request, "inventory/plain_form.html", context)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def supplier_edit(request: StudioRequest, pk: int) -> HttpResponse:
    supplier = get_object_or_404(Supplier, pk=pk)
    fields = [name for name in forms.SupplierForm.base_fields if name != "request_id"]
    initial = {name: getattr(supplier, name) for name in fields}
    form = forms.SupplierForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        stock.change_supplier(supplier, **particulars(form))
        return answer(
            request, Done("It is written anew."), reverse("inventory:deliveries")
        )
    context = {
        "form": form,
        "question": f"What is to be changed about {supplier.name}?",
        "button": "Save it",
    }
    return render(request, "inventory/plain_form.html", context)


def particulars(form: forms.SupplierForm) -> dict[str, Any]:
    return {k: v for k, v in form.cleaned_data.items() if k != "request_id"}


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def purchase_add(request: StudioRequest) -> HttpResponse:
    form = forms.OrderForm(
        request.POST or None, today=request.today, initial={"ordered_on": request.today}
    )
    lines = forms.OrderLinesFormSet(request.POST or None)
    if request.method == "POST" and form.is_valid() and lines.is_valid():
        typed = form.cleaned_data
        purchase = stock.order_from_supplier(lines=lines.lines(), **typed)
        done = Done(f"The order to {purchase.supplier} is written down.")
        return answer(request, done, reverse("inventory:deliveries"))
    context = {"form": form, "lines": lines, "items_known": items_known()}
    return render(request, "inventory/purchase_form.html", context)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def purchase_take_in(request: StudioRequest, pk: int) -> HttpResponse:
    """Show what each good one costs with its carriage first, and then take it in."""
    purchase = get_object_or_404(Purchase.objects.select_related("supplier"), pk=pk)
    lines = list(purchase.lines.select_related("item"))
    if purchase.received_at is not None:
        return redirect("inventory:purchase_show", purchase.pk)
    form = forms.TakeInForm(request.POST or None, lines=lines)
    right = request.method == "POST" and form.is_valid()
    if right and "save" in request.POST:
        return take_in(request, purchase, form)
    costs = landed_rows(purchase, lines, form.received()) if right else []
    context = {"purchase": purchase, "form": form, "costs": costs}
    context["rows"] = [
        (line, form[f"received_{line.pk}"], form[f"damaged_{line.pk}"])
        for line in lines
    ]
    return render(request, "inventory/purchase_take_in.html", context)


def take_in(
    request: StudioRequest, purchase: Purchase, form: forms.TakeInForm
) -> HttpResponse:
    stock.receive_purchase(
        purchase,
        received=form.received(),
        request_id=form.cleaned_data["request_id"],
        now=request.now,
        by=request.person,
    )
    done = Done(f"The delivery from {purchase.supplier} is on the shelves.")
    return answer(request, done, reverse("inventory:purchase_show", args=[purchase.pk]))


def landed_rows(
    purchase: Purchase,
    lines: list[PurchaseLine],
    received: dict[int, tuple[int, int]],
) -> list[dict[str, Any]]:
    good = {key: came - broken for key, (came, broken) in received.items()}
    arrived = [Arrived(good[line.pk], line.price_mills) for line in lines]
    costs = landed_mills(arrived, purchase.carriage_pence)
    return [
        {
            "line": line,
            "good": good[line.pk],
            "short": line.ordered - received[line.pk][0],
            "over": received[line.pk][0] - line.ordered,
            "cost": "" if cost is None else money.show_cost(cost),
        }
        for line, cost in zip(lines, costs, strict=True)
    ]


@for_roles(OWNER)
@require_GET
def purchase_show(request: StudioRequest, pk: int) -> HttpResponse:
    purchase = get_object_or_404(Purchase.objects.select_related("supplier"), pk=pk)
    lines = list(purchase.lines.select_related("item"))
    short = sum(max(0, line.ordered - (line.received or 0)) for line in lines)
    damaged = sum(line.damaged for line in lines)
    context = {
        "purchase": purchase,
        "rows": [line_row(line) for line in lines],
        "short": short,
        "damaged": damaged,
    }
    return page(request, "inventory/purchase_show.html", context)


def line_row(line: PurchaseLine) -> dict[str, Any]:
    landed = line.landed_mills
    return {
        "item": line.item,
        "ordered": line.ordered,
        "received": line.received,
        "damaged": line.damaged,
        "price_words": money.show_cost(line.price_mills),
        "landed_words": "" if landed is None else money.show_cost(landed),
    }
