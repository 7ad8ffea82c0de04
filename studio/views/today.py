"""The first page: the state of the studio in sentences, the next act first."""

from __future__ import annotations

from typing import cast

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from studio.access import EVERYBODY, StudioRequest, for_roles
from studio.backups import copy_reminder
from studio.models import Person
from studio.today.page import today_at

# The others' first page is the room they work in.
FIRST_PAGE = {
    Person.Role.WORKSHOP.value: "production:bench",
    Person.Role.PACKER.value: "orders:post",
}


@for_roles(*EVERYBODY)
@require_GET
def today(request: HttpRequest) -> HttpResponse:
    asked = cast(StudioRequest, request)
    if asked.person.role in FIRST_PAGE:
        return redirect(FIRST_PAGE[asked.person.role])
    day = today_at(asked.now, studio=asked.studio, name=asked.person.first_name)
    return render(
        request,
        "studio/today.html",
        {
            "day": day,
            "copy_reminder": copy_reminder(timezone.now()),
            "room": "today",
        },
    )
