"""Say what was done, with a button that takes it back, on the page that comes next."""

from __future__ import annotations

from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest

KEPT_AS = "bench-undo"


def say(request: HttpRequest, sentence: str) -> None:
    messages.success(request, sentence)


def say_with_undo(
    request: HttpRequest, sentence: str, *, url: str, words: str = "Take it back"
) -> None:
    messages.success(request, sentence)
    request.session[KEPT_AS] = {
        "url": url,
        "words": words,
        "request_id": str(uuid4()),
    }


def undo_offered(request: HttpRequest) -> dict[str, str] | None:
    """Return the undo of what was just done, once."""
    kept: dict[str, str] | None = request.session.pop(KEPT_AS, None)
    return kept
