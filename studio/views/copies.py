"""Copies of the whole book: made here, or carried away as a file by the owner."""

from __future__ import annotations

from django.contrib import messages
from django.http import FileResponse, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from studio import backups
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError


@for_roles(OWNER)
@require_GET
def copies(request: StudioRequest) -> HttpResponse:
    context = {
        "reminder": backups.copy_reminder(timezone.now()),
        "last_good_copy_at": request.studio.last_good_copy_at,
        "copies": backups.kept_copies(),
        "folder": backups.backup_folder(),
    }
    return render(request, "studio/copies.html", context)


@for_roles(OWNER)
@require_POST
def copy_make(request: StudioRequest) -> HttpResponse:
    try:
        made = backups.make_copy()
    except StudioError as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, made.sentence)
    return redirect("studio:copies")


@for_roles(OWNER)
@require_POST
def copy_carry(request: StudioRequest) -> HttpResponseBase:
    """Make a copy, check it, and hand it over as a file to keep elsewhere."""
    try:
        made = backups.make_copy()
    except StudioError as refused:
        messages.error(request, str(refused))
        return redirect("studio:copies")
    return FileResponse(
        made.path.open("rb"),
        as_attachment=True,
        filename=made.path.name,
        content_type="application/octet-stream",
    )
