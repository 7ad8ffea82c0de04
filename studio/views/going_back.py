"""Where to go after something is done: only ever to an address of this studio."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from studio.access import is_own_address


def wanted_page(request: HttpRequest) -> str:
    """Return the `next` that came along, or Today where it leads elsewhere."""
    url = request.POST.get("next") or request.GET.get("next") or ""
    return url if url and is_own_address(request, url) else reverse("studio:today")


def back(request: HttpRequest) -> HttpResponse:
    """Go back to the page the button stood on."""
    named = request.POST.get("next", "")
    for url in (named, request.headers.get("Referer", "")):
        if url and is_own_address(request, url):
            return redirect(url)
    return redirect("studio:today")
