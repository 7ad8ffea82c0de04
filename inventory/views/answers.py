"""What a page says after something was done, and the button that takes it back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render
from django.urls import NoReverseMatch, reverse

from inventory.models import Entry
from inventory.promise import SumLine

_KEPT_IN = "inventory-undo"


@dataclass(frozen=True)
class Done:
    """A sentence that says what was done, and where it is taken back."""

    sentence: str
    undo_url: str = ""
    undo_words: str = "Take it back"


def undo_entry(entry: Entry | None) -> str:
    """Return the address that takes an entry back."""
    if entry is None:
        return ""
    try:
        return reverse("studio:take_back", args=[entry.pk])
    except NoReverseMatch:
        return ""


def answer(request: HttpRequest, done: Done, to: str) -> HttpResponseRedirect:
    """Go to a page that says what was done, with its undo beside it."""
    messages.success(request, done.sentence)
    if done.undo_url:
        request.session[_KEPT_IN] = {"url": done.undo_url, "words": done.undo_words}
    else:
        request.session.pop(_KEPT_IN, None)
    return HttpResponseRedirect(to)


def page(
    request: HttpRequest, template: str, context: Mapping[str, Any]
) -> HttpResponse:
    """Show a page, with the undo of the last act under its message."""
    given = {"request_id": uuid4(), "undo": undo_kept(request), **context}
    return render(request, template, given)


def undo_kept(request: HttpRequest) -> dict[str, Any] | None:
    """Take out the undo of the last act, if its message is still to be shown."""
    kept = request.session.pop(_KEPT_IN, None)
    if not kept or not len(messages.get_messages(request)):
        return None
    return {**kept, "request_id": str(uuid4())}


def sorry(request: HttpRequest, error: Exception, to: str) -> HttpResponse:
    """Go back with the sentence of what could not be done."""
    messages.error(request, str(error))
    return redirect(to)


def sum_lines(lines: Iterable[SumLine]) -> list[dict[str, Any]]:
    """Give the lines of a sum the names that the sum's partial asks for."""
    return [
        {
            "label": line.label,
            "count": line.count,
            "total": line.running,
            "why": line.note,
        }
        for line in lines
    ]
