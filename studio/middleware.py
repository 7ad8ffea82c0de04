"""Headers for every page, and who and when for every request."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from studio import clock
from studio.models import StudioSettings

Answer = Callable[[HttpRequest], HttpResponse]

CONTENT_SECURITY_POLICY = "; ".join(
    [
        "default-src 'self'",
        "img-src 'self' data:",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
    ]
)


def security_headers(get_response: Answer) -> Answer:
    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Content-Security-Policy", CONTENT_SECURITY_POLICY)
        response.headers.setdefault("Permissions-Policy", "camera=(), microphone=()")
        if "text/html" in response.get("Content-Type", ""):
            response.headers.setdefault("Cache-Control", "no-store")
        return response

    return middleware


def people_and_clock(get_response: Answer) -> Answer:
    """Give each request `studio` (its settings or None), `now` and `today`."""

    def middleware(request: HttpRequest) -> HttpResponse:
        studio = StudioSettings.objects.filter(pk=1).first()
        request.studio = studio  # type: ignore[attr-defined]
        request.now = (  # type: ignore[attr-defined]
            (studio and studio.clock_stands_at) or clock.now()
        )
        request.today = clock.today(request.now)  # type: ignore[attr-defined]
        return get_response(request)

    return middleware
