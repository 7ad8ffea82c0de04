"""Headers for every page, who and when for every request, and closed doors."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect

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

PERMISSIONS_POLICY = "camera=(), geolocation=(), microphone=(), payment=(), usb=()"


def security_headers(get_response: Answer) -> Answer:
    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Content-Security-Policy", CONTENT_SECURITY_POLICY)
        response.headers.setdefault("Permissions-Policy", PERMISSIONS_POLICY)
        # Pages and files hold names and addresses; static files are answered before.
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


class ClosedByDefault:
    """Open no page that does not say whom it is for, and nothing before the studio.

    Which roles a page opens to is judged by its own decorator; this sees that there
    is one. Static files are answered before any page is looked up.
    """

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(
        self,
        request: HttpRequest,
        view: Callable[..., HttpResponseBase],
        _args: tuple[Any, ...],
        _kwargs: dict[str, Any],
    ) -> HttpResponse | None:
        if not hasattr(view, "roles"):
            raise PermissionDenied
        if _is_unopened(request) and not getattr(view, "first_run", False):
            return redirect("studio:first_run")
        return None


def _is_unopened(request: HttpRequest) -> bool:
    return (
        getattr(request, "studio", None) is None and not request.user.is_authenticated
    )
