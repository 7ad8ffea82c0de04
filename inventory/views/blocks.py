"""A design's block, and the parts list of a set made from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory import actions as stock
from inventory.forms.blocks import (
    FromBlockForm,
    OtherLinesFormSet,
    PieceForm,
    WhichBlockForm,
)
from inventory.forms.outlets import DesignChangeForm
from inventory.models import Design, Item, PartsFromBlock
from inventory.queries import from_block
from inventory.queries.blocks import block_called
from inventory.views.answers import Done, answer, sorry
from inventory.views.catalogue import items_known, parts_page
from inventory.views.item import item_or_404
from inventory.views.sheet_links import plainly
from studio import block_pictures
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.forms import RequestIdForm
from studio.maths.block_asking import Asked

PICTURE_PX = 200
USUAL_RANK = 1


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def design_edit(request: StudioRequest, code: str) -> HttpResponse:
    design = get_object_or_404(Design, code=code)
    names = ("name", "other_words", "block", "block_ways")
    form = DesignChangeForm(
        request.POST or None, initial={name: getattr(design, name) for name in names}
    )
    if request.method == "POST" and form.is_valid():
        stock.change_design(design, **{name: form.cleaned_data[name] for name in names})
        done = Done("It is written anew.")
        return answer(request, done, reverse("inventory:outlets"))
    known = block_called(design.block)
    context = {"form": form, "design": design, "known": known}
    context["picture"] = known and block_pictures.block_picture(known.block, PICTURE_PX)
    return render(request, "inventory/design_form.html", context)


@for_roles(OWNER)
@require_GET
def item_from_block(request: StudioRequest, code: str) -> HttpResponse:
    """Work out the pieces of a set from its block, to be confirmed piece by piece."""
    item = item_or_404(code)
    which = WhichBlockForm({**asked_first(item), **request.GET.dict()})
    context: dict[str, Any] = {"item": item, "which": which}
    if which.is_valid():
        try:
            context |= proposal(asked_in(which, item), item, None)
        except StudioError as error:
            which.add_error("size", str(error))
    return render(request, "inventory/item_from_block.html", context)


@for_roles(OWNER)
@require_POST
def item_parts_make(request: StudioRequest, code: str) -> HttpResponse:
    """Write the parts list that was worked out, once however often it is sent."""
    item = item_or_404(code)
    before = said_before(request.POST, item)
    if before is not None:
        return made(request, before)
    which = WhichBlockForm(request.POST)
    context: dict[str, Any] = {"item": item, "which": which}
    if which.is_valid():
        try:
            context |= proposal(asked_in(which, item), item, request.POST)
            kept = written(request, item, context)
        except StudioError as error:
            which.add_error("size", str(error))
        else:
            if kept is not None:
                return made(request, kept)
    return render(request, "inventory/item_from_block.html", context)


@for_roles(OWNER)
@require_POST
def parts_take_back(request: StudioRequest, pk: int) -> HttpResponse:
    kept = get_object_or_404(PartsFromBlock, pk=pk)
    to = parts_page(kept.item)
    if not RequestIdForm(request.POST).is_valid():
        return sorry(request, StudioError("Open the page again, and try there."), to)
    try:
        stock.take_back_parts_from_block(kept, now=request.now)
    except StudioError as error:
        return sorry(request, error, to)
    return answer(request, Done("The parts list is as it was before."), to)


def asked_first(item: Item) -> dict[str, Any]:
    """Return what is asked unless she asks for something else."""
    size = item.finished_size
    return {
        "block": item.design.block if item.design else "",
        "size": plainly(size) if size else "",
    }


def asked_in(which: WhichBlockForm, item: Item) -> Asked:
    """Return the block at the size asked for, made as its design is."""
    return from_block.asked_for(
        which.cleaned_data["block"], which.cleaned_data["size"], item.design
    )


def proposal(
    asked: Asked, item: Item, posted: Mapping[str, Any] | None
) -> dict[str, Any]:
    """Return the forms of all pieces and of the rest. Raises StudioError."""
    offers = from_block.offers(asked, item)
    others, copied_from = from_block.other_lines(item)
    lines = OtherLinesFormSet(posted, prefix="other", initial=others)
    return {
        "asked": asked,
        "picture": block_pictures.block_picture(asked.known.block, PICTURE_PX),
        "form": FromBlockForm(posted, initial={"minutes": minutes_of(item)}),
        "pieces": [
            PieceForm(
                posted,
                prefix=f"piece-{number}",
                piece=offer.piece,
                matches=list(offer.matches),
                initial=offer.first,
            )
            for number, offer in enumerate(offers)
        ],
        "lines": lines,
        "copied_from": copied_from,
        "items_known": items_known(),
    }


def minutes_of(item: Item) -> int:
    way = item.parts_lists.order_by("rank").first()
    return way.minutes if way else 0


def written(
    request: StudioRequest, item: Item, context: dict[str, Any]
) -> PartsFromBlock | None:
    """Write it, or put on the forms what stands in the way."""
    form, pieces, lines = context["form"], context["pieces"], context["lines"]
    asked: Asked = context["asked"]
    if not all(
        [form.is_valid(), lines.is_valid(), *(one.is_valid() for one in pieces)]
    ):
        return None
    chosen = [found for one in pieces if (found := one.chosen()) is not None]
    try:
        return stock.make_parts_from_block(
            item,
            chosen=chosen,
            others=lines.counts(gives_back=False),
            gives_back=lines.counts(gives_back=True),
            block=asked.known.slug,
            finished_inches=asked.finished_inches,
            name=form.cleaned_data["name"],
            minutes=form.cleaned_data["minutes"] or 0,
            rank=USUAL_RANK,
            request_id=form.cleaned_data["request_id"],
            now=request.now,
            by=request.person,
        )
    except StudioError as error:
        form.refuse(error)
    return None


def said_before(posted: Mapping[str, Any], item: Item) -> PartsFromBlock | None:
    """Find what a form sent a second time made the first time."""
    try:
        request_id = UUID(str(posted.get("request_id", "")))
    except ValueError:
        return None
    return PartsFromBlock.objects.filter(request_id=request_id, item=item).first()


def made(request: StudioRequest, kept: PartsFromBlock) -> HttpResponse:
    new = [item.code for item in kept.made.order_by("code")]
    more = f" New in the book: {', '.join(new)}. Count or cut them next." if new else ""
    undo = reverse("inventory:parts_take_back", args=[kept.pk])
    done = Done(f"The parts list is written.{more}", undo)
    return answer(request, done, parts_page(kept.item))
