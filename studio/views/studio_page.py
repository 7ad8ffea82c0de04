"""The Studio page, and the form for its name and figures: the owner's."""

from __future__ import annotations

import sqlite3

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from studio import backups, checks, house, printing, serving
from studio.access import OWNER, StudioRequest, for_roles
from studio.forms import PoundsField
from studio.house_forms import StudioSettingsForm
from studio.models import Counter, Device, Person, PostStop, StudioSettings

FIGURES = [
    name for name in StudioSettingsForm.base_fields if name not in ("request_id",)
]
# Columns that hold an empty text rather than nothing.
TEXTS = ("phone", "email", "host_name")


@for_roles(OWNER)
@require_GET
def studio(request: StudioRequest) -> HttpResponse:
    """Show how the studio stands, with the way to each thing that can be changed."""
    prints, about_pdf = printing.pdf_available()
    context = {
        "people": Person.objects.filter(is_active=True),
        "devices": Device.objects.filter(shut_out_at=None),
        "counter": Counter.objects.first(),
        "stops": PostStop.objects.filter(last_day__gte=request.today),
        "reminder": backups.copy_reminder(timezone.now()),
        "sqlite": sqlite3.sqlite_version if checks.uses_sqlite() else "",
        "prints": prints,
        "about_pdf": about_pdf,
        "rows": figure_rows(request.studio),
    }
    return render(request, "studio/studio_show.html", context)


def figure_rows(studio: StudioSettings) -> list[tuple[str, str]]:
    """Return each figure with its words, written as in its form."""
    rows = []
    for name in FIGURES:
        field = StudioSettingsForm.base_fields[name]
        shown = field.prepare_value(getattr(studio, name))
        pounds = "£" if isinstance(field, PoundsField) else ""
        is_empty = shown in (None, "")
        rows.append((str(field.label), "–" if is_empty else f"{pounds}{shown}"))
    return rows


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def figures(request: StudioRequest) -> HttpResponse:
    """Change the name, the address and the figures."""
    initial = {name: getattr(request.studio, name) for name in FIGURES}
    form = StudioSettingsForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        changes = {name: form.cleaned_data[name] for name in FIGURES}
        changes.update({name: changes[name] or "" for name in TEXTS})
        house.change_studio(request.studio, **changes)
        serving.answer_to(changes["host_name"])
        messages.success(request, "The studio’s name and figures are saved.")
        return redirect("studio:studio")
    return render(request, "studio/studio_change.html", {"form": form})
