"""The helper's sessions: added, changed, cancelled by a text message, paid by minutes."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods, require_POST

from production import actions as making
from production.bench_forms import ChangeSessionForm, HoursForm, SessionForm
from production.queries.bench import diary_sentence
from production.views.undoing import say, say_with_undo
from studio.access import OWNER, WORKSHOP, StudioRequest, for_roles
from studio.days import show_day
from studio.errors import StudioError
from studio.models import WorkSession

CANNOT = "cannot come"


@for_roles(OWNER, WORKSHOP)
@require_http_methods(["GET", "POST"])
def session_add(request: StudioRequest) -> HttpResponse:
    form = SessionForm(request.POST or None, today=request.today)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        try:
            session = making.add_session(
                given["person"],
                day=given["day"],
                starts=given["starts"],
                ends=given["ends"],
                net_minutes=given["net_minutes"],
                note=given["note"],
            )
        except StudioError as wrong:
            form.refuse(wrong)
        else:
            say(
                request,
                f"{show_day(session.day)} is in the diary with "
                f"{session.net_minutes} minutes.",
            )
            return redirect("production:bench")
    context = {"form": form, "sentence": "When can somebody come to the bench?"}
    return render(request, "production/bench_session.html", context)


@for_roles(OWNER, WORKSHOP)
@require_http_methods(["GET", "POST"])
def session_change(request: StudioRequest, session_id: int) -> HttpResponse:
    session = get_object_or_404(WorkSession, pk=session_id)
    form = ChangeSessionForm(request.POST or None, initial=hours_of(session))
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        try:
            making.change_session(
                session,
                starts=given["starts"],
                ends=given["ends"],
                net_minutes=given["net_minutes"],
                note=given["note"],
            )
        except StudioError as wrong:
            form.refuse(wrong)
        else:
            say(
                request,
                f"{show_day(session.day)} now has {session.net_minutes} minutes.",
            )
            return redirect("production:bench")
    sentence = f"What changes about {show_day(session.day)}?"
    context = {"form": form, "sentence": sentence, "session": session}
    return render(request, "production/bench_session.html", context)


def hours_of(session: WorkSession) -> dict[str, object]:
    return {"starts": session.starts, "ends": session.ends, "note": session.note}


@for_roles(OWNER, WORKSHOP)
@require_POST
def session_cancel(request: StudioRequest, session_id: int) -> HttpResponse:
    """Take in "can't do Saturday" by one tap; the undo brings the minutes back."""
    session = get_object_or_404(
        WorkSession.objects.select_related("person"), pk=session_id
    )
    before = urlencode([("minutes", str(session.net_minutes)), ("note", session.note)])
    if session.net_minutes:
        name = session.person.first_name
        making.cancel_session(session, note=f"{name} {CANNOT}")
        url = reverse("production:session_restore", args=[session.pk])
        say_with_undo(
            request,
            f"{show_day(session.day)} stays in the diary without minutes. "
            "Move its batches to another session, or drop them.",
            url=f"{url}?{before}",
            words="He can come after all",
        )
    return redirect("production:bench")


@for_roles(OWNER, WORKSHOP)
@require_POST
def session_restore(request: StudioRequest, session_id: int) -> HttpResponse:
    """Undo a cancelling with the minutes that the session had before."""
    session = get_object_or_404(WorkSession, pk=session_id)
    typed = request.GET.get("minutes", "")
    minutes = int(typed) if typed.isdecimal() and len(typed) < 5 else None
    try:
        making.change_session(
            session,
            starts=session.starts,
            ends=session.ends,
            net_minutes=minutes,
            note=request.GET.get("note", "")[:200],
        )
    except StudioError as wrong:
        return wrong_page(request, wrong)
    say(request, f"{show_day(session.day)} has {session.net_minutes} minutes again.")
    return redirect("production:bench")


@for_roles(OWNER, WORKSHOP)
@require_http_methods(["GET", "POST"])
def session_hours(request: StudioRequest, session_id: int) -> HttpResponse:
    """Write the minutes worked; nought is an answer too."""
    session = get_object_or_404(
        WorkSession.objects.select_related("person"), pk=session_id
    )
    form = HoursForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        making.record_hours(session, minutes_worked=form.cleaned_data["minutes_worked"])
        say(
            request,
            f"{session.minutes_worked} minutes are written for "
            f"{show_day(session.day)}.",
        )
        return redirect("production:bench")
    context = {"form": form, "session": session, "sentence": diary_sentence(session)}
    return render(request, "production/bench_hours.html", context)


def wrong_page(request: HttpRequest, wrong: StudioError) -> HttpResponse:
    """Say on the bench why something could not be done."""
    messages.error(request, str(wrong))
    return redirect("production:bench")
