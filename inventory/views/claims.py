"""Let holds end, put them back, mend sets, and note who asked for what."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from inventory import actions as stock
from inventory import prints
from inventory.models import Claim, IncompleteSet, Item
from inventory.views.answers import Done, answer, sorry, undo_entry
from studio.access import OWNER, PACKER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.forms import RequestIdForm

# Paid claims belong to their orders, which end them.
ENDED_HERE = (Claim.Kind.HOLD, Claim.Kind.KEPT, Claim.Kind.BUFFER)


@for_roles(OWNER)
@require_POST
def claim_release(request: StudioRequest, pk: int) -> HttpResponse:
    claim = get_object_or_404(Claim, pk=pk, kind__in=ENDED_HERE)
    stock.release_claim(claim, now=request.now)
    done = Done(
        f"What was held for {claim.label} can be promised again.",
        reverse("inventory:claim_reopen", args=[claim.pk]),
        "Hold it again",
    )
    return answer(request, done, claim.item.get_absolute_url())


@for_roles(OWNER)
@require_POST
def claim_reopen(request: StudioRequest, pk: int) -> HttpResponse:
    claim = get_object_or_404(Claim, pk=pk, kind__in=ENDED_HERE)
    page = claim.item.get_absolute_url()
    try:
        stock.reopen_claim(claim, now=request.now)
    except StudioError as error:
        return sorry(request, error, page)
    done = Done(
        f"Held for {claim.label} again.",
        reverse("inventory:claim_release", args=[claim.pk]),
        "Release it again",
    )
    return answer(request, done, page)


@for_roles(OWNER)
@require_GET
def claim_slip(request: StudioRequest, pk: int) -> HttpResponse:
    claim = get_object_or_404(Claim.objects.select_related("item"), pk=pk)
    return prints.hold_slip(request, claim)


@for_roles(OWNER)
@require_POST
def set_mend(request: StudioRequest, pk: int) -> HttpResponse:
    incomplete = get_object_or_404(IncompleteSet.objects.select_related("item"), pk=pk)
    page = incomplete.item.get_absolute_url()
    form = RequestIdForm(request.POST)
    if not form.is_valid():
        return redirect(page)
    try:
        entry = stock.mend_set(
            incomplete,
            request_id=form.cleaned_data["request_id"],
            now=request.now,
            by=request.person,
        )
    except StudioError as error:
        return sorry(request, error, page)
    done = Done("The set is mended and back on the shelf.", undo_entry(entry))
    return answer(request, done, page)


@for_roles(OWNER, PACKER)
@require_POST
def enquiry_log(request: StudioRequest) -> HttpResponse:
    """Note that somebody asked: one press from the list or from the item."""
    item = Item.objects.filter(code=request.POST.get("code", "")).first()
    words = request.POST.get("words", "").strip()[:160]
    page = item.get_absolute_url() if item else reverse("inventory:goods")
    form = RequestIdForm(request.POST)
    if form.is_valid() and (item or words):
        request_id = form.cleaned_data["request_id"]
        stock.log_enquiry(
            request_id=request_id, now=request.now, item=item, words=words
        )
        what = item.name if item else f"“{words}”"
        return answer(request, Done(f"Noted: somebody asked for {what}."), page)
    return redirect(page)
