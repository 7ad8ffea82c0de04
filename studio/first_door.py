"""Who may open a studio that is not there yet: this machine, or the printed link.

Whoever comes first becomes the owner, so nobody else on the home network may.
"""

from __future__ import annotations

import ipaddress
import secrets
from functools import cache

from django.conf import settings
from django.http import HttpRequest
from django.http.request import split_domain_port

IN_SESSION = "may open the studio"
LOOPBACK_NAMES = {"localhost", "127.0.0.1", "[::1]"}
# A request that another server has passed on says so in one of these.
PASSED_ON = ("HTTP_FORWARDED", "HTTP_VIA", "HTTP_X_FORWARDED_FOR", "HTTP_X_REAL_IP")


@cache
def key() -> str:
    """Return the key in the link that `start` prints; it lives as long as the server.

    It opens nothing once there is a studio.
    """
    return secrets.token_urlsafe(24)


def fits(typed: str) -> bool:
    return secrets.compare_digest(typed.encode(), key().encode())


def remember(request: HttpRequest) -> None:
    request.session.cycle_key()
    request.session[IN_SESSION] = True


def may_open(request: HttpRequest) -> bool:
    return is_this_machine(request) or bool(request.session.get(IN_SESSION))


def is_this_machine(request: HttpRequest) -> bool:
    """Whether the request was made here, and not passed on by a server in front."""
    if settings.BEHIND_PROXY or any(name in request.META for name in PASSED_ON):
        return False
    host, _ = split_domain_port(request.get_host())
    return host in LOOPBACK_NAMES and is_loopback(request.META.get("REMOTE_ADDR", ""))


def is_loopback(address: str) -> bool:
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False
