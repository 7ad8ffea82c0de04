"""Places with what lies there, and the questions where the book is below nought."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods

from inventory import actions as stock
from inventory import prints
from inventory.forms.catalogue import PlaceForm
from inventory.models import Place
from inventory.promise_words import in_words
from inventory.queries.balances import below_nought
from inventory.queries.places import places_with_goods
from inventory.views.answers import Done, answer, page
from studio.access import OWNER, PACKER, StudioRequest, for_roles


@for_roles(OWNER, PACKER)
@require_GET
def places(request: StudioRequest) -> HttpResponse:
    rows = places_with_goods()
    context = {
        "rows": rows,
        "many": in_words(len(rows)),
        "may_change": request.person.role == OWNER,
    }
    return page(request, "inventory/places.html", context)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def place_add(request: StudioRequest) -> HttpResponse:
    form = PlaceForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        typed = {k: v for k, v in form.cleaned_data.items() if k != "request_id"}
        code = slugify(typed["name"])[:20] or "place"
        place = stock.ensure_place(code, typed.pop("name"), **typed)
        done = Done(f"{place} is among the places.")
        return answer(request, done, reverse("inventory:places"))
    context = {"form": form, "question": "Which place is new?", "button": "Add it"}
    return render(request, "inventory/plain_form.html", context)


@for_roles(OWNER, PACKER)
@require_GET
def place_count_sheet(request: StudioRequest, code: str) -> HttpResponse:
    ours = Place.objects.exclude(kind=Place.Kind.OUTSIDE)
    return prints.count_sheet(request, get_object_or_404(ours, code=code))


@for_roles(OWNER, PACKER)
@require_GET
def below(request: StudioRequest) -> HttpResponse:
    rows = below_nought()
    sentence = (
        "Nothing in the book is below nought."
        if not rows
        else f"{in_words(len(rows))} "
        f"{'place has' if len(rows) == 1 else 'places have'} less than nothing."
    )
    return render(
        request,
        "inventory/below_nought.html",
        {"rows": rows, "sentence": sentence},
    )
