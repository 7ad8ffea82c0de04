"""The Blocks room: a block at her size, what to cut for it, and its booklet page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET

from inventory.views import answers
from studio import block_book, block_pictures, booklets
from studio.access import OWNER, WORKSHOP, for_roles
from studio.block_forms import BlockForm, BookletForm
from studio.errors import StudioError
from studio.maths import own_blocks
from studio.maths.block_asking import MODES, Asked
from studio.maths.block_tables import note_of, role_lists, units_made
from studio.maths.known_blocks import KNOWN, BlockUnknown, KnownBlock, family
from studio.maths.patch.recipe import CAUTION
from studio.views.sizes import as_studio

LIST_PX = 120
PAGE_PX = 240


@dataclass(frozen=True)
class Listed:
    """A block on the list with its drawing."""

    known: KnownBlock
    picture: SafeString


@dataclass(frozen=True)
class KindSize:
    """A size at which every cut falls on a mark, and the address that asks for it."""

    words: str
    query: str


@for_roles(OWNER, WORKSHOP)
@require_GET
def blocks(request: HttpRequest) -> HttpResponse:
    context = {
        "listed": listed(KNOWN),
        "own": listed(block_book.own_listed()),
        "size": typed(request).get("size"),
        "room": "blocks",
        "undo": answers.undo_kept(request),
    }
    return render(request, "studio/blocks.html", context)


@for_roles(OWNER, WORKSHOP)
@require_GET
def block_show(request: HttpRequest, slug: str) -> HttpResponse:
    known = block_or_404(slug)
    form = BlockForm(typed(request), known=known)
    context = {"known": known, "form": form, "room": "blocks", "caution": CAUTION}
    context |= {
        "undo": answers.undo_kept(request),
        "can_be_like": own_blocks.can_be_lines(known.block),
        "family": [one for one in family(known) if one.name != known.name],
        "rotary": booklets.ROTARY_CAUTION,
        "picture": block_pictures.block_picture(known.block, PAGE_PX),
        "swatches": block_pictures.swatches(known.block.roles),
        "booklet": BookletForm(typed(request), known=known),
    }
    if form.is_valid() and form.asked:
        context |= worked_out(form.asked, form.cleaned_data["number"])
    else:
        context["kind_sizes"] = kind_sizes(form, request)
    return render(request, "studio/blocks_show.html", context)


@for_roles(OWNER, WORKSHOP)
@require_GET
def block_booklet(request: HttpRequest, slug: str) -> HttpResponse:
    """Print the booklet page, or say on a page what is wrong with what was asked."""
    known = block_or_404(slug)
    form = BookletForm(typed(request), known=known)
    if form.is_valid():
        design = form.cleaned_data["design"]
        title = f"{known.name.capitalize()}{f' for {design.name}' if design else ''}"
        paper = form.cleaned_data["paper"]
        try:
            asked = as_studio(request)
            blocks = form.cleaned_data["blocks"]
            return booklets.booklet(
                asked, form.sized, paper=paper, title=title, blocks=blocks
            )
        except StudioError as error:
            form.add_error("sizes", str(error))
    context = {"known": known, "booklet": form, "room": "blocks"}
    return render(request, "studio/blocks_booklet.html", context)


def listed(blocks_known: Iterable[KnownBlock]) -> list[Listed]:
    return [
        Listed(known, block_pictures.block_picture(known.block, LIST_PX))
        for known in blocks_known
    ]


def block_or_404(slug: str) -> KnownBlock:
    try:
        return block_book.find(slug)
    except BlockUnknown as unknown:
        raise Http404(str(unknown)) from unknown


def typed(request: HttpRequest) -> dict[str, str]:
    """Give what stands in the address, the last of each."""
    return {name: str(request.GET[name]) for name in request.GET}


def worked_out(asked: Asked, number: int) -> dict[str, object]:
    """Give all that is worked out of a block at a size."""
    units = units_made(asked, number)
    return {
        "asked": asked,
        "number": number,
        "mode": MODES[asked.making.cutting],
        "seam": asked.ruler.show(asked.ruler.seam_inches),
        "redrafted_from": asked.redrafted_from,
        "roles": role_lists(asked, number),
        "units": units,
        "trims": [made for made in units if made.trim],
        "drawn": block_pictures.drawn(units, asked.known.block.roles),
        "note": note_of(asked),
    }


def kind_sizes(form: BlockForm, request: HttpRequest) -> list[KindSize]:
    """Give the nearest sizes that can be cut by the ruler, each as a link."""
    if form.unkind is None:
        return []
    show = form.unkind.ruler.show
    sizes = [show(inches) for inches in form.unkind.kind_inches]
    return [
        KindSize(size, urlencode({**typed(request), "size": size})) for size in sizes
    ]
