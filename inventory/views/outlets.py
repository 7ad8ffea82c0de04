"""Where things are sold, and which block designs there are."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from inventory import actions as stock
from inventory.forms import outlets as forms
from inventory.models import Design, Outlet
from inventory.promise_words import in_words
from inventory.views.answers import Done, answer, page
from studio.access import OWNER, StudioRequest, for_roles
from studio.forms import StudioForm


def typed(form: StudioForm) -> dict[str, Any]:
    return {k: v for k, v in form.cleaned_data.items() if k != "request_id"}


@for_roles(OWNER)
@require_GET
def outlets(request: StudioRequest) -> HttpResponse:
    found = list(Outlet.objects.select_related("place"))
    is_open = sum(1 for outlet in found if outlet.is_open)
    ways = "way" if is_open == 1 else "ways"
    context = {
        "outlets": found,
        "designs": Design.objects.all(),
        "sentence": f"You sell in {in_words(is_open).lower()} {ways}."
        if is_open
        else "No outlet is open yet: add the first.",
    }
    return page(request, "inventory/outlets.html", context)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def outlet_add(request: StudioRequest) -> HttpResponse:
    form = forms.OutletForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        outlet = stock.add_outlet(**typed(form))
        done = Done(f"{outlet} is among the outlets.")
        return answer(request, done, reverse("inventory:outlets"))
    context = {"form": form, "question": "Where do you sell?", "button": "Add it"}
    return render(request, "inventory/plain_form.html", context)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def outlet_edit(request: StudioRequest, code: str) -> HttpResponse:
    outlet = get_object_or_404(Outlet, code=code)
    initial = {"name": outlet.name, "is_open": outlet.is_open}
    form = forms.OutletChangeForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        stock.change_outlet(outlet, **typed(form), now=request.now)
        return answer(
            request, Done("It is written anew."), reverse("inventory:outlets")
        )
    context = {"form": form, "question": f"What is to be changed about {outlet}?"}
    context["button"] = "Save it"
    return render(request, "inventory/plain_form.html", context)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def design_add(request: StudioRequest) -> HttpResponse:
    form = forms.DesignForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        design = stock.add_design(**typed(form))
        done = Done(f"{design} is among the designs.")
        return answer(request, done, reverse("inventory:outlets"))
    context = {"form": form, "question": "Which block design is new?"}
    context["button"] = "Add it"
    return render(request, "inventory/plain_form.html", context)
