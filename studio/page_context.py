"""What every page is given: studio, person, clock."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest


def page_context(request: HttpRequest) -> dict[str, Any]:
    studio = getattr(request, "studio", None)
    user = getattr(request, "user", None)
    return {
        "studio": studio,
        "person": user if user is not None and user.is_authenticated else None,
        "now": getattr(request, "now", None),
        "today": getattr(request, "today", None),
        "clock_banner": bool(studio and studio.clock_stands_at),
    }
