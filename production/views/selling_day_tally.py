"""On air: three taps a line, on a phone, each safe to send twice."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from production import actions as making
from production.actions.tallies import lasts_minutes, minute_of
from production.forms import TapForm
from production.models import Line, SellingDay
from production.views.undoing import say, undo_offered
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError


@dataclass(frozen=True)
class TallyRow:
    """One line as it stands on air."""

    line: Line
    gone: int

    @property
    def after_one(self) -> int:
        return self.gone + 1

    @property
    def after_five(self) -> int:
        return self.gone + 5

    @property
    def left(self) -> int | None:
        """Count what is left of what was sent, where anything was."""
        return max(0, self.line.sent - self.gone) if self.line.sent else None


@for_roles(OWNER)
@require_GET
def tally_show(request: StudioRequest, pk: int) -> HttpResponse:
    selling_day = get_object_or_404(SellingDay, pk=pk)
    lines = selling_day.lines.select_related("item").order_by("pk")
    minute = int((request.now - selling_day.starts_at).total_seconds() // 60)
    lasts = int((selling_day.ends_at - selling_day.starts_at).total_seconds() // 60)
    context = {
        "selling_day": selling_day,
        "rows": [TallyRow(line, line.sold or 0) for line in lines],
        "minute": min(max(0, minute), lasts),
        "lasts": lasts,
        "is_before": minute < 0,
        "is_over": minute > lasts,
        "request_id": uuid4(),
        "undo": undo_offered(request),
    }
    return render(request, "production/selling_day_tally.html", context)


@for_roles(OWNER)
@require_POST
def tap(request: StudioRequest, pk: int, line_pk: int) -> HttpResponse:
    """Take one tap: so many gone in all."""
    line = line_of(pk, line_pk)
    form = TapForm(request.POST)
    if not form.is_valid() or form.cleaned_data["gone"] is None:
        return not_taken(request, pk, form)
    try:
        making.record_tally(
            line, minute=minute_for(request, line, form), gone=form.cleaned_data["gone"]
        )
    except StudioError as refused:
        messages.error(request, str(refused))
    return redirect("production:selling_day_tally", pk=pk)


@for_roles(OWNER)
@require_POST
def sold_out(request: StudioRequest, pk: int, line_pk: int) -> HttpResponse:
    line = line_of(pk, line_pk)
    form = TapForm(request.POST)
    if not form.is_valid():
        return not_taken(request, pk, form)
    try:
        line = making.note_sold_out(line, minute=minute_for(request, line, form))
    except StudioError as refused:
        messages.error(request, str(refused))
    else:
        say(
            request,
            f"{line.item.name} sold out at minute {line.sold_out_minute}.",
        )
    return redirect("production:selling_day_tally", pk=pk)


@for_roles(OWNER)
@require_POST
def tap_take_back(request: StudioRequest, pk: int, line_pk: int) -> HttpResponse:
    """Take the last tap back; the number on the page tells a second press from it."""
    form = TapForm(request.POST)
    if not form.is_valid():
        return not_taken(request, pk, form)
    line = making.take_back_tally(line_of(pk, line_pk), gone=form.cleaned_data["gone"])
    say(request, f"The last tap of {line.item.name} is taken back.")
    return redirect("production:selling_day_tally", pk=pk)


def line_of(pk: int, line_pk: int) -> Line:
    return get_object_or_404(
        Line.objects.select_related("item", "selling_day"), pk=line_pk, selling_day=pk
    )


def minute_for(request: StudioRequest, line: Line, form: TapForm) -> int:
    """Return the minute the phone noted, or the one of this moment."""
    noted: int | None = form.cleaned_data["minute"]
    if noted is None:
        return minute_of(line, request.now)
    return min(noted, lasts_minutes(line))


def not_taken(request: StudioRequest, pk: int, form: TapForm) -> HttpResponse:
    sentences = [
        str(sentence) for errors in form.errors.values() for sentence in errors
    ]
    messages.error(request, " ".join(sentences) or "No number came. Tap again, please.")
    return redirect("production:selling_day_tally", pk=pk)
