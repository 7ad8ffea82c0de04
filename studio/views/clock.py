"""The demo's clock, and taking back what was just written in the ledger."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_POST

from inventory import actions as stock
from inventory.models import Entry
from studio import days, house
from studio.access import EVERYBODY, OWNER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.forms import RequestIdForm
from studio.views.going_back import back


@for_roles(OWNER)
@require_POST
def clock_move(request: StudioRequest) -> HttpResponse:
    """Move the demo's clock, by the buttons of its banner."""
    try:
        moment = house.move_clock(request.studio, to=request.POST.get("to", ""))
    except StudioError as refused:
        messages.error(request, str(refused))
    else:
        messages.success(
            request,
            f"The demo’s clock now stands at {days.show_moment(moment)}.",
        )
    return back(request)


@for_roles(*EVERYBODY)
@require_POST
def take_back(request: StudioRequest, entry_id: int) -> HttpResponse:
    """Undo an entry; those who are not the owner undo only what they wrote."""
    entry = get_object_or_404(Entry, pk=entry_id)
    if not request.person.is_owner and entry.by_id != request.person.pk:
        raise PermissionDenied
    form = RequestIdForm(request.POST)
    if not form.is_valid():
        messages.error(request, " ".join(map(str, form.errors["request_id"])))
        return back(request)
    try:
        stock.take_back_entry(
            entry,
            request_id=form.cleaned_data["request_id"],
            now=request.now,
            by=request.person,
        )
    except StudioError as refused:
        messages.error(request, str(refused))
    else:
        messages.success(
            request, f"Taken back: {entry.get_verb_display().lower()}. Both stay noted."
        )
    return back(request)
