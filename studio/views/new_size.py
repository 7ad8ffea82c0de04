"""A new size from finished inches to a test: its pieces, and what sewn blocks say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from inventory import actions as stock
from inventory.models import BlockTest, Design
from inventory.queries.blocks import (
    BookPiece,
    matches_in_the_book,
    pieces_in_the_book,
    tests_of,
    wanted_piece,
)
from inventory.views.sheet_links import plainly, sheet_address
from studio import block_pictures
from studio.access import OWNER, for_roles
from studio.errors import StudioError
from studio.forms import RequestIdForm
from studio.lengths import show_millimetres
from studio.maths import pre_cut_counts, sheet_layout
from studio.maths.block_asking import Asked
from studio.maths.cutting_list import by_role
from studio.maths.piece_finding import Match
from studio.maths.sheets import sizes as sheet_sizes
from studio.maths.template_sets import SetPiece, show_fraction, template_set
from studio.new_size_forms import Figures, NewSizeForm
from studio.views.blocks import typed
from studio.views.sizes import as_studio

PICTURE_PX = 200
NOTHING_TO_KEEP = (
    "Choose a design and write what the blocks measure; then it can be kept."
)


@dataclass(frozen=True)
class PieceRow:
    """A piece of the set: its size to draw, how many a sheet gives, what is like it."""

    piece: SetPiece
    drawn: str
    per_sheet: str
    alike: tuple[Match, ...]

    @property
    def sheet_name(self) -> str:
        """Give the code of a piece that is just as large, or else its name."""
        same = (match.found.name for match in self.alike if not match.off_inches)
        return next(same, self.piece.name)


@dataclass(frozen=True)
class ClothRow:
    """What one piece of one role of cloth takes, counted by itself."""

    role: str
    name: str
    count: int
    size: str
    cloth: str


@for_roles(OWNER)
@require_GET
def new_size(request: HttpRequest) -> HttpResponse:
    asked = typed(request)
    form = NewSizeForm(asked)
    context: dict[str, object] = {"form": form, "room": "blocks"}
    context["is_asked"] = bool(asked)
    if asked and form.is_valid() and form.asked and form.figures:
        context |= worked_out(form, form.asked, form.figures)
        context["keep"] = RequestIdForm()
        context["boxes"] = asked
    design = form.cleaned_data.get("design") if asked and form.is_bound else None
    context["tests"] = tests_of(design) if design else []
    return render(request, "studio/new_size.html", context)


@for_roles(OWNER)
@require_POST
def test_keep(request: HttpRequest) -> HttpResponse:
    """Write the test down beside its design and size, once however often it is sent."""
    asked = {
        name: str(request.POST[name])
        for name in NewSizeForm.base_fields
        if name in request.POST
    }
    form, id_form = NewSizeForm(asked), RequestIdForm(request.POST)
    to = f"{reverse('studio:test_block')}?{urlencode(asked)}"
    if not id_form.is_valid() or not form.is_valid():
        return redirect(to)
    design = form.cleaned_data["design"]
    if design is None or form.test is None:
        messages.error(request, NOTHING_TO_KEEP)
        return redirect(to)
    try:
        kept = kept_test(request, design, form, id_form.cleaned_data["request_id"])
    except StudioError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"The test of {design} is kept: {kept.word}.")
    return redirect(to)


def kept_test(
    request: HttpRequest, design: Design, form: NewSizeForm, request_id: UUID
) -> BlockTest:
    """Write the test down. Raises SameRequestOtherContent."""
    if form.asked is None or form.test is None:
        raise StudioError(NOTHING_TO_KEEP)
    return stock.record_block_test(
        design,
        block=form.asked.known.slug,
        test=form.test,
        request_id=request_id,
        now=as_studio(request).now,
        by=as_studio(request).person,
    )


@for_roles(OWNER)
@require_POST
def test_take_back(request: HttpRequest, pk: int) -> HttpResponse:
    test = get_object_or_404(BlockTest.objects.select_related("design"), pk=pk)
    if RequestIdForm(request.POST).is_valid():
        stock.take_back_block_test(test, now=as_studio(request).now)
        messages.success(request, "That test counts for nothing now.")
    size = test.finished_size
    asked = {"design": test.design_id, "size": plainly(size) if size else ""}
    return redirect(f"{reverse('studio:test_block')}?{urlencode(asked)}")


def worked_out(form: NewSizeForm, asked: Asked, figures: Figures) -> dict[str, object]:
    """Give the pieces, the raw size, the verdict and the cloth."""
    design = form.cleaned_data["design"]
    family = design.name if design else asked.known.name.capitalize()
    book = pieces_in_the_book()
    rows = [
        piece_row(piece, family, asked, figures, book) for piece in template_set(asked)
    ]
    return {
        "asked": asked,
        "rows": rows,
        "raw": raw_sentence(form, asked),
        "test": form.test,
        "edge_found": form.edge_found,
        "picture": block_pictures.block_picture(asked.known.block, PICTURE_PX),
        "cloth": list(cloth_rows(asked, form.cleaned_data["number"])),
        "number": form.cleaned_data["number"],
        "may_keep": bool(design and form.test),
        "add_url": add_address(design, asked),
        "sheet_url": sheet_address((row.sheet_name, row.piece, 1) for row in rows),
    }


def add_address(design: Design | None, asked: Asked) -> str:
    """Return where a set of this size is put into the goods, unless it is there."""
    size = asked.finished_inches
    if design is None or design.items.filter(finished_size=size).exists():
        return ""
    named = f"{design.name} set, {show_fraction(size)} in"
    query = {"design": design.pk, "finished_size": plainly(size), "name": named}
    return f"{reverse('inventory:item_add')}?{urlencode(query)}"


def piece_row(
    piece: SetPiece,
    family: str,
    asked: Asked,
    figures: Figures,
    book: Sequence[BookPiece],
) -> PieceRow:
    short = piece.name.removesuffix(" square")
    engraving = f"{family} {show_fraction(asked.finished_inches)} {short}"
    found = matches_in_the_book(wanted_piece(piece, engraving), book)
    sides = [
        show_millimetres(sheet_sizes.drawn_mm(side, figures.kerf_mm, kerf_in=True))
        for side in dict.fromkeys(piece.mm)
    ]
    drawn = " × ".join(side.removesuffix(" mm") for side in sides)
    count = sheet_layout.per_sheet(*piece.size, figures.sheet)
    alike = tuple(match for _, match in found)
    return PieceRow(piece, f"{drawn} mm", per_sheet_words(count), alike)


def per_sheet_words(count: sheet_layout.PerSheet) -> str:
    """Write how many a sheet holds: ``12``, or ``30 turned (27 upright)``."""
    if count.is_turned:
        return f"{count.turned} turned ({count.upright} upright)"
    return str(count.best)


def raw_sentence(form: NewSizeForm, asked: Asked) -> str:
    """Say what a sewn block should measure, and what came of the test."""
    if form.test is not None:
        return str(form.test)
    raw = asked.ruler.show(asked.finished_inches + asked.ruler.two_seams)
    return f"The raw block should measure {raw}, raw edge to raw edge."


def cloth_rows(asked: Asked, number: int) -> Iterator[ClothRow]:
    """Say of every cut piece how many there are, and the pre-cut cloth they take."""
    for role, pieces in by_role(asked.cut_list(number)).items():
        for piece in pieces:
            sides = (piece.width_inches, piece.height_inches)
            yield ClothRow(
                role,
                piece.name,
                piece.count,
                asked.ruler.show_by(*sides),
                pre_cut_counts.in_words(*sides, piece.count),
            )
