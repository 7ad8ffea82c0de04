"""The first minutes of an empty studio: a list in, and a promise number out."""

from __future__ import annotations

from typing import Any
from uuid import uuid5

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from inventory import actions as stock
from inventory.forms.quick import (
    QuickLinesFormSet,
    QuickListForm,
    as_typed,
    without_empty,
)
from inventory.models import Item
from inventory.promise_words import in_words
from inventory.queries.promises import promise_of
from inventory.views.answers import Done, answer
from studio.access import OWNER, StudioRequest, for_roles
from studio.forms import RequestIdForm


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def quick_entry(request: StudioRequest) -> HttpResponse:
    """Take a list in two steps: read it, look it through, and only then save it."""
    if request.method == "POST" and "form-TOTAL_FORMS" in request.POST:
        return look_through(request)
    form = QuickListForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        lines = QuickLinesFormSet(as_typed(form.cleaned_data["found"]))
        lines.is_valid()
        return show_lines(request, lines, form["request_id"].value())
    return render(request, "inventory/quick_entry.html", {"form": form})


def look_through(request: StudioRequest) -> HttpResponse:
    told = RequestIdForm(request.POST)
    lines = QuickLinesFormSet(without_empty(request.POST))
    if not told.is_valid():
        return show_lines(request, lines, "")
    request_id = told.cleaned_data["request_id"]
    before = goods_said_before(request_id)
    if before:
        return answer_with_promise(request, before)
    if not lines.is_valid() or not lines.forms:
        return show_lines(request, lines, request_id)
    goods = [stock.NewGoods(**line) for line in lines.goods()]
    items = stock.add_goods(
        goods, request_id=request_id, now=request.now, by=request.person
    )
    return answer_with_promise(request, items)


def goods_said_before(request_id: Any) -> list[Item]:
    """Return what this very list put into the book, if it was sent before."""
    return [
        item
        for item in Item.objects.all()
        if stock.was_said(uuid5(request_id, item.code))
    ]


def show_lines(request: StudioRequest, lines: Any, request_id: Any) -> HttpResponse:
    wrong = sum(1 for form in lines.forms if form.errors)
    context = {
        "lines": lines,
        "wrong": wrong,
        "request_id": request_id,
        "sentence": lines_sentence(len(lines.forms), wrong),
    }
    return render(request, "inventory/quick_lines.html", context)


def lines_sentence(count: int, wrong: int) -> str:
    if not count:
        return "No line is left; begin again."
    things = "line is" if count == 1 else "lines are"
    if not wrong:
        return f"{in_words(count)} {things} ready to be saved."
    need = "needs" if wrong == 1 else "need"
    return f"{in_words(wrong)} of {count} {need} a look before anything is saved."


def answer_with_promise(request: StudioRequest, items: list[Item]) -> HttpResponse:
    """Say the first promise number, which is what all this is for."""
    many = "thing is" if len(items) == 1 else "things are"
    begin = f"{in_words(len(items))} {many} in the book."
    sold = [item for item in items if item.is_sold]
    if not sold:
        return answer(request, Done(begin), reverse("inventory:goods"))
    first = sold[0]
    promise = promise_of(first, now=request.now)
    done = Done(
        f"{begin} The first promise number: {first.name}, {promise.can_promise} can be "
        "promised now."
    )
    page = first.get_absolute_url() if len(items) == 1 else reverse("inventory:goods")
    return answer(request, done, page)
