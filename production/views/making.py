"""Batches: planned by hand, moved, dropped, made up, and each taken back."""

from __future__ import annotations

from uuid import uuid4

from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from production import actions as making
from production.actions.batches import what_of
from production.bench_forms import MadeUpForm, MoveForm, SheetsForm
from production.models import Batch, Layout, MakingUpLog
from production.queries.layouts import layouts_in_use
from production.queries.minutes import minutes_of
from production.views.minutes import worth_saying
from production.views.sessions import wrong_page
from production.views.undoing import say, say_with_undo
from studio.access import OWNER, WORKSHOP, StudioRequest, for_roles
from studio.days import show_day
from studio.errors import StudioError
from studio.forms import RequestIdForm


@for_roles(OWNER, WORKSHOP)
@require_http_methods(["GET", "POST"])
def sheets_plan(request: StudioRequest) -> HttpResponse:
    """Plan so many sheets of a layout in a session, by hand."""
    form = SheetsForm(
        request.POST or None,
        today=request.today,
        initial=asked_for(request),
    )
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        batch = making.plan_cutting(
            given["layout"],
            sheets=given["sheets"],
            session=given["session"],
            request_id=given["request_id"],
            now=request.now,
        )
        say_with_undo(
            request,
            f"{what_of(batch)} planned, {batch.minutes} minutes.",
            url=reverse("production:batch_drop", args=[batch.pk]),
            words="Drop them again",
        )
        return redirect("production:bench")
    minutes = worth_saying(minutes_of(layouts_in_use()).values())
    context = {"form": form, "minutes": minutes, "may_take_over": is_owner(request)}
    return render(request, "production/bench_sheets.html", context)


def is_owner(request: StudioRequest) -> bool:
    return request.person.role == OWNER


def asked_for(request: StudioRequest) -> dict[str, object]:
    """Return what a link to the form has filled in already."""
    code = request.GET.get("layout", "")
    layout = Layout.objects.filter(code=code).first() if code else None
    return {
        "layout": layout,
        "sheets": request.GET.get("sheets", ""),
        "session": request.GET.get("session", ""),
    }


@for_roles(OWNER, WORKSHOP)
@require_POST
def batch_drop(request: StudioRequest, batch_id: int) -> HttpResponse:
    batch = get_object_or_404(batches(), pk=batch_id)
    try:
        making.drop_batch(batch, now=request.now)
    except StudioError as wrong:
        return wrong_page(request, wrong)
    say_with_undo(
        request,
        f"The batch of {what_of(batch)} is dropped.",
        url=reverse("production:batch_take_up", args=[batch.pk]),
        words="Take it up again",
    )
    return redirect("production:bench")


@for_roles(OWNER, WORKSHOP)
@require_POST
def batch_take_up(request: StudioRequest, batch_id: int) -> HttpResponse:
    batch = get_object_or_404(batches(), pk=batch_id)
    making.take_up_batch(batch, now=request.now)
    say(request, f"The batch of {what_of(batch)} is planned again.")
    return redirect("production:bench")


@for_roles(OWNER, WORKSHOP)
@require_http_methods(["GET", "POST"])
def batch_move(request: StudioRequest, batch_id: int) -> HttpResponse:
    """Put a batch into another session, or into none."""
    batch = get_object_or_404(batches(), pk=batch_id)
    form = MoveForm(
        request.POST or None, today=request.today, initial={"session": batch.session_id}
    )
    if request.method == "POST" and form.is_valid():
        session = form.cleaned_data["session"]
        making.move_batch(batch, session=session, now=request.now)
        where = f"to {show_day(session.day)}" if session else "out of its session"
        say(request, f"The batch of {what_of(batch)} is moved {where}.")
        return redirect("production:bench")
    context = {"form": form, "batch": batch, "what": what_of(batch)}
    return render(request, "production/bench_move.html", context)


@for_roles(OWNER, WORKSHOP)
@require_http_methods(["GET", "POST"])
def batch_made(request: StudioRequest, batch_id: int) -> HttpResponse:
    """Count sets made up; where parts are missing in the book, ask why to go on."""
    batch = get_object_or_404(batches().filter(kind=Batch.Kind.MAKING_UP), pk=batch_id)
    form = MadeUpForm(request.POST or None, initial={"count": batch.left or 1})
    if (
        request.method == "POST"
        and form.is_valid()
        and (log := make(request, batch, form))
    ):
        say_with_undo(
            request,
            f"{log.count} × {batch.item} are made up and on the shelf.",
            url=reverse("production:made_take_back", args=[log.pk]),
        )
        return redirect("production:bench")
    context = {"form": form, "batch": batch, "what": what_of(batch)}
    return render(request, "production/bench_made.html", context)


def make(request: StudioRequest, batch: Batch, form: MadeUpForm) -> MakingUpLog | None:
    """Make up, or put the sentence of what hinders it on the form."""
    if batch.item is None:
        return None
    try:
        return making.log_making_up(
            batch.item,
            count=form.cleaned_data["count"],
            overruled_because=form.cleaned_data["overruled_because"],
            request_id=form.cleaned_data["request_id"],
            batch=batch,
            by=request.person,
            now=request.now,
        )
    except StudioError as wrong:
        form.refuse(wrong, "count")
        return None


@for_roles(OWNER, WORKSHOP)
@require_POST
def made_take_back(request: StudioRequest, log_id: int) -> HttpResponse:
    log = get_object_or_404(
        MakingUpLog.objects.select_related("entry", "item", "batch"), pk=log_id
    )
    form = RequestIdForm(request.POST)
    request_id = form.cleaned_data["request_id"] if form.is_valid() else uuid4()
    try:
        making.take_back_making_up(
            log, request_id=request_id, now=request.now, by=request.person
        )
    except StudioError as wrong:
        return wrong_page(request, wrong)
    say(request, f"{log.count} × {log.item.name} are taken back.")
    return redirect("production:bench")


def batches() -> QuerySet[Batch]:
    return Batch.objects.select_related("layout", "item", "sample", "session")
