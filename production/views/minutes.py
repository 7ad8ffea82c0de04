"""Two presses: take over learned minutes, and say whether odd ones are right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_POST

from production import actions as making
from production.bench_forms import CalledForm, TakeOverForm
from production.models import CuttingLog, Layout
from production.queries.minutes import LayoutMinutes
from production.views.undoing import say, say_with_undo
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.forms import StudioForm

CALLED = {
    "right": "counts as it is",
    "wrong": "is left out of what the logs teach; it stays in the book",
    "": "is asked about again",
}


@for_roles(OWNER)
@require_POST
def layout_minutes(request: StudioRequest, layout_id: int) -> HttpResponse:
    """Let the layout say what the logs say; the undo puts the old figure back."""
    layout = get_object_or_404(Layout, pk=layout_id)
    form = TakeOverForm(sent_with(request))
    page = redirect("production:layout_show", layout.pk)
    if not form.is_valid():
        return said_wrong(request, form, page)
    minutes, said = form.cleaned_data["minutes"], form.cleaned_data["said"]
    try:
        making.take_over_minutes(layout, minutes=minutes, said=said)
    except StudioError as wrong:
        messages.error(request, str(wrong))
        return page
    say_with_undo(
        request,
        f"Layout {layout.code} says {minutes} minutes a sheet now. Sheets planned "
        "before keep the minutes they were planned in.",
        url=take_over_url(layout, minutes=said, said=minutes),
        words=f"Put {said} back",
    )
    return page


@for_roles(OWNER)
@require_POST
def cutting_minutes(request: StudioRequest, log_id: int) -> HttpResponse:
    """Write down what she says of odd minutes."""
    log = get_object_or_404(CuttingLog.objects.select_related("layout"), pk=log_id)
    form = CalledForm(sent_with(request))
    page = redirect("production:bench")
    if not form.is_valid():
        return said_wrong(request, form, page)
    called, before = form.cleaned_data["called"], log.minutes_called
    making.call_minutes(log, called=called)
    sentence = f"That log of {log.layout.code} {CALLED[called]}."
    if called == before:
        say(request, sentence)
    else:
        url = reverse("production:cutting_minutes", args=[log.pk])
        query = urlencode({"called": before})
        say_with_undo(request, sentence, url=f"{url}?{query}")
    return page


def said_wrong(
    request: StudioRequest, form: StudioForm, page: HttpResponse
) -> HttpResponse:
    words = [str(word) for found in form.errors.values() for word in found]
    messages.error(request, " ".join(words))
    return page


def take_over_url(layout: Layout, *, minutes: int, said: int) -> str:
    url = reverse("production:layout_minutes", args=[layout.pk])
    return f"{url}?{urlencode({'minutes': minutes, 'said': said})}"


def sent_with(request: StudioRequest) -> dict[str, str]:
    """Return the figures of the address with the request id of the button."""
    return {
        key: str(value)
        for sent in (request.GET, request.POST)
        for key, value in sent.items()
    }


@dataclass(frozen=True)
class MinutesShown:
    """What the pages show of a layout's minutes, with the press that takes them over."""

    said: LayoutMinutes
    request_id: UUID = field(default_factory=uuid4)

    @property
    def url(self) -> str:
        return take_over_url(
            self.said.layout,
            minutes=self.said.learned.whole_minutes,
            said=self.said.layout.minutes,
        )


def worth_saying(found: Iterable[LayoutMinutes]) -> list[MinutesShown]:
    """Keep the layouts of which the logs say something else, or something odd."""
    return [MinutesShown(one) for one in found if one.offer_minutes or one.odd]
