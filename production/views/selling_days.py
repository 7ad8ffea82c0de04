"""Selling days: the list, the forms that write them, and a slot's repeat."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import (
    require_GET,
    require_http_methods,
    require_POST,
)
from django_tables2 import RequestConfig

from production import actions as making
from production.forms import SellingDayForm
from production.models import SellingDay
from production.queries.selling_days import next_selling_days, past_selling_days
from production.tables import PastSellingDays
from production.views.undoing import say, say_with_undo, undo_offered
from studio.access import OWNER, StudioRequest, for_roles
from studio.days import show_moment
from studio.errors import StudioError

DAYS_A_PAGE = 25


@for_roles(OWNER)
@require_GET
def days_list(request: StudioRequest) -> HttpResponse:
    past = PastSellingDays(past_selling_days(request.now))
    RequestConfig(request, paginate={"per_page": DAYS_A_PAGE}).configure(past)
    coming = list(next_selling_days(request.now))
    context = {"coming": coming, "past": past, "undo": undo_offered(request)}
    return render(request, "production/selling_day_list.html", context)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def day_add(request: StudioRequest) -> HttpResponse:
    form = SellingDayForm(request.POST or None, today=request.today, now=request.now)
    if request.method == "POST" and form.is_valid():
        try:
            selling_day = making.add_selling_day(**form.as_day())
        except StudioError as refused:
            form.refuse(refused)
        else:
            say(request, f"{selling_day.name} is written down. Now write its lines.")
            return redirect(selling_day)
    context = {"form": form}
    return render(request, "production/selling_day_change.html", context)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def day_change(request: StudioRequest, pk: int) -> HttpResponse:
    selling_day = get_object_or_404(SellingDay, pk=pk)
    name = selling_day.name
    form = SellingDayForm(
        request.POST or None,
        selling_day=selling_day,
        today=request.today,
        now=request.now,
    )
    if request.method == "POST" and form.is_valid():
        try:
            making.change_selling_day(selling_day, **form.as_day())
        except StudioError as refused:
            form.refuse(refused)
        else:
            say(request, f"{selling_day.name} is changed.")
            return redirect(selling_day)
    context = {"form": form, "selling_day": selling_day, "name": name}
    return render(request, "production/selling_day_change.html", context)


@for_roles(OWNER)
@require_POST
def repeat_add(request: StudioRequest, pk: int) -> HttpResponse:
    """Write the repeat of a slot down in one tap; it can be taken off or changed."""
    slot = get_object_or_404(SellingDay, pk=pk, kind=SellingDay.Kind.SLOT)
    try:
        repeat = making.add_repeat(slot)
    except StudioError as refused:
        messages.error(request, str(refused))
        return redirect(slot)
    say_with_undo(
        request,
        f"Its repeat is written down for {show_moment(repeat.starts_at)}, with the "
        "same lines and terms. Change it if it is another time.",
        url=reverse("production:selling_day_drop", args=[repeat.pk]),
    )
    return redirect(repeat)


@for_roles(OWNER)
@require_POST
def day_drop(request: StudioRequest, pk: int) -> HttpResponse:
    """Take a day off the list; one that is off already is no mistake."""
    selling_day = SellingDay.objects.filter(pk=pk).first()
    if selling_day is not None:
        try:
            making.drop_selling_day(selling_day)
        except StudioError as refused:
            messages.error(request, str(refused))
            return redirect("production:selling_day_show", pk=pk)
        say(request, f"{selling_day.name} is off the list.")
    return redirect("production:selling_days")
