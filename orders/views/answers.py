"""What a page says after something was done, and the button that takes it back."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect

from studio.errors import StudioError

_KEPT_IN = "orders-undo"


def answer(
    request: HttpRequest,
    sentence: str,
    to: str,
    *,
    undo_url: str = "",
    undo_words: str = "Take it back",
) -> HttpResponse:
    """Go to a page that says what was done, with its undo beside it."""
    messages.success(request, sentence)
    if undo_url:
        request.session[_KEPT_IN] = {"url": undo_url, "words": undo_words}
    else:
        request.session.pop(_KEPT_IN, None)
    return HttpResponseRedirect(to)


def undo_kept(request: HttpRequest) -> dict[str, Any] | None:
    """Take out the undo of the last act, for the page that shows its message."""
    kept = request.session.pop(_KEPT_IN, None)
    return {**kept, "request_id": str(uuid4())} if kept else None


def sorry(request: HttpRequest, error: StudioError, to: str) -> HttpResponse:
    """Go back with the sentence of what could not be done."""
    messages.error(request, str(error))
    return redirect(to)
