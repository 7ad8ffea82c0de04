"""After a session: what was cut, what it completes, what is short; and its card."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from production import actions as making
from production import prints
from production.actions.presses import spoiled_on
from production.bench_forms import CardForm, HoursForm
from production.models import CuttingLog, Layout
from production.queries import loose
from production.queries.bench import batches_in_other_sessions, cutting_sentence
from production.queries.layouts import layouts_in_use
from production.queries.session_record import cut_in, spoil_notes
from production.views.bench import set_words, usual_spoil
from production.views.undoing import say_with_undo, undo_offered
from studio.access import OWNER, WORKSHOP, StudioRequest, for_roles
from studio.days import show_day
from studio.errors import StudioError
from studio.models import WorkSession
from studio.printing import paper_response


@for_roles(OWNER, WORKSHOP)
@require_GET
def cutting_after(request: StudioRequest, session_id: int) -> HttpResponse:
    """Say what a session came to, and ask for its minutes."""
    session = session_or_404(session_id)
    cuts = cut_in(session)
    spoil = usual_spoil(request.studio)
    bench = loose.the_bench(now=request.now)
    later = batches_in_other_sessions(session, request.today)
    short = loose.pieces_short(bench, loose.good_pieces(later, spoil))
    made = loose.sets_made(loose.together(bench))
    context = {
        "session": session,
        "sentence": after_sentence(session, sum(one.sheets for one in cuts)),
        "cuts": cuts,
        "notes": spoil_notes(cuts, spoil),
        "possible": set_words(made, bench),
        "sets": sum(made.values()),
        "short": [row for row in short if row.short],
        "lacking": any(row.lacking for row in short),
        "mending": loose.mending_sheets(short, layouts_in_use(), spoil),
        "form": HoursForm(initial={"minutes_worked": session.minutes_worked}),
        "undo": undo_offered(request),
    }
    return render(request, "production/cutting_after.html", context)


def after_sentence(session: WorkSession, sheets: int) -> str:
    day = show_day(session.day)
    if not sheets:
        return f"No sheet is logged for {day} yet."
    return f"{sheets} {'sheet was' if sheets == 1 else 'sheets were'} cut on {day}."


@for_roles(OWNER, WORKSHOP)
@require_http_methods(["GET", "POST"])
def cutting_add(request: StudioRequest) -> HttpResponse:
    """Type in a paper card: the layout first, then its sheets and its tallies."""
    layouts = layouts_in_use()
    code = request.GET.get("layout", "")
    layout = next((one for one in layouts if one.code == code), None)
    context: dict[str, object] = {"layouts": layouts, "layout": layout}
    if layout is None:
        return render(request, "production/cutting_add.html", context)
    form = CardForm(request.POST or None, layout=layout, today=request.today)
    if request.method == "POST" and form.is_valid():
        log = log_card(request, layout, form)
        if log is not None:
            say_with_undo(
                request,
                f"Logged: {cutting_sentence(log)}",
                url=reverse("production:cutting_take_back", args=[log.pk]),
            )
            return redirect("production:bench")
    context["form"] = form
    return render(request, "production/cutting_add.html", context)


def log_card(
    request: StudioRequest, layout: Layout, form: CardForm
) -> CuttingLog | None:
    """Log what the card says, or put the sentence of what is wrong on the form."""
    given = form.cleaned_data
    try:
        return making.log_cutting(
            layout,
            sheets=given["sheets"],
            spoiled=[spoiled_on(layout, line) for line in form.spoiled_lines()],
            request_id=given["request_id"],
            logged_at=form.when(request.now),
            minutes=given["minutes"],
            note=given["note"],
            now=request.now,
            by=request.person,
        )
    except StudioError as wrong:
        form.refuse(wrong)
        return None


@for_roles(OWNER, WORKSHOP)
@require_GET
def session_card(request: StudioRequest, session_id: int) -> HttpResponse:
    """Print the card of a session for the workshop wall."""
    session = session_or_404(session_id)
    if not prints.card_has_sheets(session):
        messages.warning(
            request,
            f"Nothing is planned for {show_day(session.day)} yet. "
            "Plan its sheets, then print the card.",
        )
        return redirect("production:bench")
    context = prints.session_card_context(session, studio=request.studio)
    return paper_response(
        request,
        prints.SESSION_CARD,
        context,
        f"session {session.day:%Y-%m-%d}.pdf",
        title=f"Session card, {show_day(session.day)}",
    )


def session_or_404(session_id: int) -> WorkSession:
    return get_object_or_404(
        WorkSession.objects.select_related("person"), pk=session_id
    )
