"""A shop's order files: send one, match its columns once, see what became of it."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.conf import settings
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET, require_http_methods

from inventory.models import Outlet
from inventory.queries.goods import codes_by_name
from orders import actions as desk
from orders import waiting_files
from orders.filereading import (
    FileTable,
    guess_columns,
    headings_key,
    read_file,
)
from orders.forms.files import FileForm, MatchForm
from orders.models import FileMatch, FileRow, FileRun
from orders.queries.order_page import sold_items
from orders.rowreading import HowToRead, read_orders
from orders.views.answers import answer
from orders.waiting_files import WaitingFile
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.exports import csv_bytes

ROWS_SHOWN = 5
RUNS_SHOWN = 20


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def files(request: StudioRequest) -> HttpResponse:
    form = FileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        sent = form.cleaned_data["file"]
        try:
            content = sent.read()
            read(sent.name, content)
        except StudioError as error:
            form.refuse(error, "file")
        else:
            waiting = waiting_files.keep(sent.name, content)
            return redirect("orders:file_match", waiting.key)
    context = {"form": form, "runs": runs()[:RUNS_SHOWN]}
    return render(request, "orders/files.html", context)


def runs() -> QuerySet[FileRun]:
    return FileRun.objects.select_related("match", "by")


def read(name: str, content: bytes) -> FileTable:
    return read_file(name, content, limit_bytes=settings.UPLOAD_LIMIT_BYTES)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def file_match(request: StudioRequest, key: UUID) -> HttpResponse:
    """Show how the file reads with these columns; take it in when she says so."""
    waiting = waiting_files.fetch(key)
    if waiting is None:
        return gone(request)
    table = read(waiting.name, waiting.content)
    known = FileMatch.objects.filter(headings_key=headings_key(table.headings)).first()
    form = match_form(request, table, known)
    if request.method == "POST" and form.is_valid():
        try:
            run = take_in(request, form, table, waiting)
        except StudioError as error:
            form.refuse(error)
        else:
            waiting_files.drop(key)
            return redirect("orders:file_run", run.pk)
    context = {
        "form": form,
        "known": known,
        "waiting": waiting,
        "table": table,
        **preview_of(request, form, table),
    }
    part = "orders/_file_preview.html" if "part" in request.GET else ""
    return render(request, part or "orders/file_match.html", context)


def gone(request: StudioRequest) -> HttpResponse:
    return answer(
        request,
        "That file is not waiting here any more: it was taken in, or others came "
        "since. Its orders are in the list; if not, send it once more.",
        reverse("orders:files"),
    )


def match_form(
    request: StudioRequest, table: FileTable, known: FileMatch | None
) -> MatchForm:
    """Take what was sent, or start from choices in the address: those only look."""
    start = match_start(table, known) | request.GET.dict()
    return MatchForm(request.POST or None, headings=table.headings, initial=start)


def match_start(table: FileTable, known: FileMatch | None) -> dict[str, Any]:
    """Start from what was saved for these headings, or from a guess."""
    columns = known.columns if known else guess_columns(table.headings)
    start: dict[str, Any] = {f"column_{key}": one for key, one in columns.items()}
    if known is not None:
        return start | {
            "name": known.name,
            "outlet": known.outlet_id,
            "day_order": known.day_order,
        }
    outlet = Outlet.objects.filter(is_open=True).first()
    named = outlet.name if outlet else "Shop"
    return start | {"name": f"{named} list", "outlet": outlet, "day_order": "dmy"}


def preview_of(
    request: StudioRequest, form: MatchForm, table: FileTable
) -> dict[str, Any]:
    """Read the first few rows as orders, as the choices stand now."""
    few = FileTable(table.headings, table.lines[:ROWS_SHOWN])
    items = sold_items()
    how = HowToRead(
        columns=form.columns,
        day_order="ymd" if form["day_order"].value() == "ymd" else "dmy",
        now=request.now,
        item_codes=[item.code for item in items],
        item_names=codes_by_name(items),
    )
    reading = read_orders(few, how)
    return {
        "orders": reading.orders,
        "refused": reading.refused,
        "rows_shown": len(few.lines),
        "rows_in_all": len(table.lines),
    }


def take_in(
    request: StudioRequest, form: MatchForm, table: FileTable, waiting: WaitingFile
) -> FileRun:
    said = form.cleaned_data
    match = desk.save_match(
        said["name"],
        outlet=said["outlet"],
        columns=form.columns,
        headings=table.headings,
        day_order=said["day_order"],
    )
    return desk.take_file(
        match,
        file_name=waiting.name,
        content=waiting.content,
        request_id=said["request_id"],
        now=request.now,
        by=request.person,
    )


@for_roles(OWNER)
@require_GET
def file_run(request: StudioRequest, run_id: int) -> HttpResponse:
    run = get_object_or_404(runs(), pk=run_id)
    rows = run.read_rows.select_related("order")
    context = {
        "run": run,
        "refused": rows.filter(outcome=FileRow.Outcome.REFUSED),
        "added": rows.filter(outcome=FileRow.Outcome.ADDED),
        "known": rows.filter(outcome=FileRow.Outcome.KNOWN),
    }
    return render(request, "orders/file_run.html", context)


@for_roles(OWNER)
@require_GET
def file_refused(request: StudioRequest, run_id: int) -> HttpResponse:
    """Give the rows that stayed out back as a file, each with its reason."""
    run = get_object_or_404(FileRun, pk=run_id)
    refused = run.read_rows.filter(outcome=FileRow.Outcome.REFUSED)
    header = ["Line", "Why it did not go in", *run.headings]
    width = len(run.headings)
    rows: list[list[str | int]] = [
        [row.line_number, row.reason, *padded(row.cells, width)] for row in refused
    ]
    disposition = content_disposition_header(
        True, f"not-taken-in-{run.read_at:%Y-%m-%d}.csv"
    )
    return HttpResponse(
        csv_bytes(header, rows),
        content_type="text/csv; charset=utf-8",
        headers={
            "Content-Disposition": disposition or "attachment",
            "Cache-Control": "no-store",
        },
    )


def padded(cells: list[str], width: int) -> list[str]:
    return [*cells, *[""] * (width - len(cells))]
