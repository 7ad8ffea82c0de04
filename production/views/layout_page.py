"""The page of one layout: its drawing, its files, what it gives, and how to change it."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import uuid4

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import (
    require_GET,
    require_http_methods,
    require_POST,
)

from inventory.models import Item
from production import actions as making
from production import sheet_answers
from production.layout_forms import GivesFormSet, GivesLines, LayoutForm, gives_initial
from production.models import Layout
from production.queries.bench import gives_words, layout_picture
from production.queries.minutes import minutes_learned
from production.sheet_answers import SizeRow
from production.sheet_forms import MeasureForm
from production.views import sheet_papers
from production.views.minutes import MinutesShown
from production.views.undoing import say, undo_offered
from studio.access import OWNER, WORKSHOP, StudioRequest, for_roles
from studio.errors import StudioError
from studio.forms import RequestIdForm
from studio.maths.sheets import cautions, keeping
from studio.maths.sheets.keeping import KeptSheet, KeptUnreadable

PICTURE_PX = 640


@dataclass(frozen=True)
class KeptShown:
    """What a kept sheet says on the page of its layout."""

    holds: str
    sizes: tuple[SizeRow, ...]
    cautions: tuple[str, ...]
    differs: bool


@for_roles(OWNER, WORKSHOP)
@require_http_methods(["GET", "POST"])
def layout_show(request: StudioRequest, layout_id: int) -> HttpResponse:
    """Show a layout; the owner may change what is written of it."""
    layout = layout_or_404(layout_id)
    if request.method == "POST" and request.person.role != OWNER:
        return HttpResponse(status=403)
    data = request.POST if request.method == "POST" else None
    form = LayoutForm(data, initial=layout_initial(layout))
    lines = GivesFormSet(data, prefix="gives", initial=gives_initial(layout))
    if data is not None and changed(layout, form, lines):
        say(request, f"Layout {form.cleaned_data['code']} is written down anew.")
        return redirect("production:layout_show", layout.pk)
    return render(
        request,
        "production/layout_show.html",
        page_context(request, layout, form, lines),
    )


def page_context(
    request: StudioRequest, layout: Layout, form: LayoutForm, lines: GivesLines
) -> dict[str, object]:
    kept = kept_of(layout)
    measure = MeasureForm(request.GET if "measured" in request.GET else None, kept=kept)
    return {
        "layout": layout,
        "gives": gives_words(layout),
        "picture": layout_picture(layout, PICTURE_PX),
        "kept": kept_shown(layout, kept) if kept else None,
        "measure": measure if kept else None,
        "verdict": measure.verdict if kept and measure.is_bound else "",
        "learned": MinutesShown(minutes_learned(layout)),
        "may_take_over": request.person.role == OWNER,
        "form": form,
        "lines": lines,
        "may_change": request.person.role == OWNER,
        "items_known": Item.objects.exclude(kind=Item.Kind.SHEET)
        .order_by("code")
        .values_list("code", "name"),
        "use_form": RequestIdForm(initial={"request_id": uuid4()}),
        "undo": undo_offered(request),
        "room": "bench",
    }


def kept_shown(layout: Layout, kept: KeptSheet) -> KeptShown:
    """Say what is drawn, and whether the book counts something else."""
    drawn = sum(count for _, count in kept.counts)
    given = sum(line.count for line in layout.gives.all())
    return KeptShown(
        ", ".join(f"{count} × {piece.name}" for piece, count in kept.counts),
        sheet_answers.size_rows(kept),
        cautions.for_cutting(saw=kept.saw),
        drawn != given,
    )


def kept_of(layout: Layout) -> KeptSheet | None:
    """Read where the pieces lie; None where it was never drawn, or is damaged."""
    try:
        return keeping.read_kept(layout.kept_sheet, measured=False)
    except KeptUnreadable:
        return None


def layout_initial(layout: Layout) -> dict[str, object]:
    return {
        "code": layout.code,
        "name": layout.name,
        "sheet": layout.sheet,
        "minutes": layout.minutes,
    }


def changed(layout: Layout, form: LayoutForm, lines: GivesLines) -> bool:
    """Write the layout down anew, or put each sentence where it belongs."""
    lines_are_good = lines.is_valid()
    if not form.is_valid() or not lines_are_good:
        return False
    said = form.cleaned_data
    try:
        making.change_layout(
            layout,
            code=said["code"],
            name=said["name"],
            sheet=said["sheet"],
            minutes=said["minutes"],
            gives=lines.counts,
            by_products=lines.by_products,
        )
    except StudioError as wrong:
        form.refuse(wrong)
        return False
    return True


@for_roles(OWNER, WORKSHOP)
@require_GET
def layout_file(request: StudioRequest, layout_id: int, kind: str) -> HttpResponse:
    """Give the kept sheet again as a file for the cutter, or as a proof on paper."""
    layout = layout_or_404(layout_id)
    if not layout.kept_sheet:
        raise Http404(layout.code)
    try:
        kept = keeping.read_kept(layout.kept_sheet)
        return sheet_papers.file_of(request, kept, kind, f"Layout {layout.code}")
    except StudioError as error:
        messages.error(request, str(error))
        return redirect("production:layout_show", layout.pk)


@for_roles(OWNER)
@require_POST
def layout_take_back(request: StudioRequest, layout_id: int) -> HttpResponse:
    """Take a layout out of the book, or lay it aside where sheets hang on it."""
    form = RequestIdForm(request.POST)
    if not form.is_valid():
        messages.error(request, " ".join(map(str, form.errors["request_id"])))
    elif making.take_back_layout(layout_id):
        say(request, "The layout is out of the book again.")
    else:
        say(
            request,
            "Sheets are planned or cut with this layout, so it is laid aside and "
            "stays in the book.",
        )
    return redirect("production:bench")


def layout_or_404(layout_id: int) -> Layout:
    return get_object_or_404(
        Layout.objects.select_related("sheet").prefetch_related("gives__piece__shape"),
        pk=layout_id,
    )
