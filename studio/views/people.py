"""Who is at this device: names on buttons, and the ways of letting a device in."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET

from studio.access import open_to_all


@open_to_all
@require_GET
def sign_in(request: HttpRequest) -> HttpResponse:
    return render(request, "403.html")


@open_to_all
@require_GET
def people(request: HttpRequest) -> HttpResponse:
    return redirect("studio:sign_in")
