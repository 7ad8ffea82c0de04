"""Selling days: the list, and the forms that write them and their terms."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods
from django_tables2 import RequestConfig

from production import actions as making
from production.forms import SellingDayForm, TermsForm, typed_terms
from production.models import SellingDay, Terms
from production.queries.selling_days import next_selling_days, past_selling_days
from production.tables import PastSellingDays
from production.views.undoing import say, undo_offered
from studio.access import OWNER, StudioRequest, for_roles
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
    form = SellingDayForm(request.POST or None, today=request.today)
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
        request.POST or None, selling_day=selling_day, today=request.today
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
@require_http_methods(["GET", "POST"])
def day_terms(request: StudioRequest, pk: int) -> HttpResponse:
    selling_day = get_object_or_404(SellingDay, pk=pk)
    terms = Terms.objects.filter(selling_day=selling_day).first()
    form = TermsForm(
        request.POST or None, initial=typed_terms(terms), today=request.today
    )
    if request.method == "POST" and form.is_valid():
        making.set_terms(selling_day, **form.as_terms())
        say(request, f"The terms of {selling_day.name} are written down.")
        return redirect(selling_day)
    context = {"form": form, "selling_day": selling_day}
    return render(request, "production/selling_day_terms.html", context)
