"""Who may open which page: every view says so, and one that does not is closed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from functools import wraps
from typing import Any, TypeVar, cast

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme

from studio.models import Person, StudioSettings

OWNER = Person.Role.OWNER
WORKSHOP = Person.Role.WORKSHOP
PACKER = Person.Role.PACKER
EVERYBODY = (OWNER, WORKSHOP, PACKER)

View = TypeVar("View", bound=Callable[..., HttpResponseBase])


class StudioRequest(HttpRequest):
    """A request as the middleware leaves it: who, when, and in which studio."""

    person: Person
    now: datetime
    today: date
    studio: StudioSettings


def is_own_address(request: HttpRequest, url: str) -> bool:
    """Whether an address stays in this studio, so that it may be gone to."""
    return url_has_allowed_host_and_scheme(
        url, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )


def page_to_return_to(request: HttpRequest) -> str:
    """Return the page to come back to: for a form that was sent, the page it was on."""
    if request.method in ("GET", "HEAD"):
        return request.get_full_path()
    before = request.headers.get("Referer", "")
    return before if before and is_own_address(request, before) else "/"


def for_roles(*roles: str) -> Callable[[View], View]:
    """Let only people with one of these roles in; others are told so kindly."""

    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(
            request: HttpRequest, *args: Any, **kwargs: Any
        ) -> HttpResponseBase:
            user = request.user
            if not isinstance(user, Person) or not user.is_authenticated:
                return redirect_to_login(page_to_return_to(request))
            if user.role not in roles:
                raise PermissionDenied
            cast(StudioRequest, request).person = user
            return view(request, *args, **kwargs)

        guarded.roles = roles  # type: ignore[attr-defined]
        return cast(View, guarded)

    return decorate


def open_to_all(view: View) -> View:
    """Mark a page that needs no sign-in, such as the sign-in page itself."""
    view.roles = None  # type: ignore[attr-defined]
    return view


def before_opening(view: View) -> View:
    """Mark a page that is there only while no studio is; afterwards it leads to Today."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if getattr(request, "studio", None) is not None:
            return redirect("studio:today")
        return view(request, *args, **kwargs)

    guarded.roles = None  # type: ignore[attr-defined]
    guarded.first_run = True  # type: ignore[attr-defined]
    return cast(View, guarded)
