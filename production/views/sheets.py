"""Pieces laid on acrylic sheets: the answer, the files for the cutter, and the keeping.

The page takes everything from the address, so that other pages can lead to it:

    pieces      one a line: name, width, height, how many make a set, and then a shape,
                "narrow 1", "finished", "fills" or "upright"; inches without a unit
    of          the code of a template set, whose loose pieces are then written down
    sheet       600x400; gap, edge, kerf: millimetres
    takes_kerf  lines or machine; cutter: laser or saw
    sets        how many sets, none for as many as one sheet holds
    goods       on, to try the loose pieces of the goods in what is left

What is missing takes its usual value. A sheet is sent on as it was laid, so that what
is cut and kept is what was seen; it is measured again each time.
"""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from inventory.models import Item
from production import actions as making
from production import sheet_answers
from production.models import Layout
from production.queries import loose_shapes
from production.queries.loose_shapes import KnownPiece
from production.sheet_forms import KeepForm, SheetForm
from production.views import sheet_papers
from production.views.undoing import say_with_undo
from studio.access import OWNER, WORKSHOP, StudioRequest, for_roles
from studio.errors import StudioError
from studio.maths.sheets import keeping, outline_kinds
from studio.maths.sheets.keeping import KeptSheet, KeptUnreadable
from studio.maths.sheets.refusals import SheetSmallerThanEdges


@for_roles(OWNER, WORKSHOP)
@require_GET
def sheet_lay(request: StudioRequest) -> HttpResponse:
    """Lay out what stands in the address, or ask for it."""
    typed = typed_pieces(request)
    form = SheetForm(typed) if "pieces" in typed else SheetForm(initial=typed)
    context: dict[str, object] = {"form": form, "room": "blocks"}
    if form.is_bound and form.is_valid() and form.asked:
        try:
            known = loose_shapes.known_pieces()
            context["answer"] = sheet_answers.answered(form.asked, known)
        except SheetSmallerThanEdges as error:
            form.add_error("edge", str(error))
        except StudioError as error:
            form.add_error("pieces", str(error))
    context["may_keep"] = request.person.role == OWNER
    context["shapes"] = ", ".join(outline_kinds.KNOWN)
    return render(request, "production/sheet_lay.html", context)


def typed_pieces(request: HttpRequest) -> dict[str, str]:
    """Give what stands in the address, usual values for what does not."""
    typed = {name: str(request.GET[name]) for name in request.GET}
    code = typed.pop("of", "")
    lines = loose_shapes.pieces_of_set(code) if code and "\0" not in code else []
    if lines and "pieces" not in typed:
        typed["pieces"] = "\n".join(lines)
    return {**SheetForm.USUAL, **typed}


@for_roles(OWNER, WORKSHOP)
@require_POST
def sheet_file(request: StudioRequest, kind: str) -> HttpResponse:
    """Give one sheet, as it was seen, as a file for the cutter or a proof on paper."""
    try:
        kept = sent(request.POST)
        title = request.POST.get("title", "")[:60] or "One sheet"
        return sheet_papers.file_of(request, kept, kind, title)
    except StudioError as error:
        return refused(request, error)


@for_roles(OWNER)
@require_POST
def sheet_keep(request: StudioRequest) -> HttpResponse:
    """Ask what the layout is called and which goods its pieces are; then keep it."""
    try:
        kept = sent(request.POST)
    except KeptUnreadable as error:
        return refused(request, error)
    known = loose_shapes.known_pieces()
    data = request.POST if "code" in request.POST else None
    form = KeepForm(data, kept=kept, known=known)
    layout = written(form) if form.is_bound else None
    if layout is not None:
        say_with_undo(
            request,
            f"Layout {layout.code} is kept. Its sheets can be planned and logged now.",
            url=reverse("production:layout_take_back", args=[layout.pk]),
        )
        return redirect("production:layout_show", layout.pk)
    return render(
        request, "production/sheet_keep.html", keep_context(form, kept, known)
    )


def keep_context(
    form: KeepForm, kept: KeptSheet, known: list[KnownPiece]
) -> dict[str, object]:
    return {
        "form": form,
        "kept": kept.as_text(),
        "picture": sheet_answers.picture_of(kept, "The sheet to be kept"),
        "has_sheets": Item.objects.filter(kind=Item.Kind.SHEET).exists(),
        "items_known": [(one.item.code, one.item.name) for one in known],
        "room": "sizes",
    }


def written(form: KeepForm) -> Layout | None:
    """Keep the layout, or put each sentence where it belongs."""
    if not form.is_valid():
        return None
    said = form.cleaned_data
    try:
        return making.keep_layout(
            said["code"],
            kept_sheet=form.kept.as_text(),
            sheet=said["sheet"],
            minutes=said["minutes"],
            name=said["name"],
            gives=form.gives,
            by_products=form.by_products,
            request_id=said["request_id"],
        )
    except StudioError as wrong:
        form.refuse(wrong, "code")
    return None


def sent(data: QueryDict) -> KeptSheet:
    """Read the sheet that was sent on. Raises KeptUnreadable."""
    return keeping.read_kept(str(data.get("kept", "")))


def refused(request: StudioRequest, error: StudioError) -> HttpResponse:
    """Show the page for another try, with the sentence of what is wrong."""
    form = SheetForm(initial=SheetForm.USUAL)
    context = {
        "form": form,
        "room": "blocks",
        "wrong": str(error),
        "shapes": ", ".join(outline_kinds.KNOWN),
    }
    return render(request, "production/sheet_lay.html", context, status=400)
