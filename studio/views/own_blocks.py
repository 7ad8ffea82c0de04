"""The maker's own block: laid out on a grid, kept, changed, put away and taken back."""

from __future__ import annotations

import re
from dataclasses import dataclass
from uuid import uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.safestring import SafeString
from django.views.decorators.http import require_http_methods, require_POST

from inventory.views import answers
from inventory.views.answers import Done
from studio import block_book, block_pictures, own_block_keeping, own_block_laying
from studio.access import OWNER, WORKSHOP, for_roles
from studio.errors import StudioError
from studio.forms import RequestIdForm
from studio.maths import hatching, own_blocks, patches
from studio.maths.own_blocks import BlockGap
from studio.models import OwnBlock
from studio.own_block_forms import LayingForm, Spot, of_block
from studio.views.sizes import as_studio

HAND_PX = 48
SEEN = re.compile(r"[0-9]{1,9}")
STEP_PX = ((4, 72), (6, 56), (own_blocks.MOST_STEPS, 44))


class PageStale(StudioError):
    """A button sent without the number that lets it be done once."""

    def __str__(self) -> str:
        return (
            "That page cannot be sent as it is. Open it again and send it from there."
        )


@dataclass(frozen=True)
class Pressed:
    """A place on the grid with its drawing."""

    spot: Spot
    picture: SafeString | None


@for_roles(OWNER, WORKSHOP)
@require_http_methods(["GET", "POST"])
def own_block_new(request: HttpRequest) -> HttpResponse:
    """Lay out a new block, or one like another that is named in the address."""
    if request.method == "POST":
        return pressed(request, None)
    like = block_book.found(request.GET.get("like", ""))
    begun: dict[str, str] = {}
    if like is not None and own_blocks.can_be_lines(like.block):
        begun = {**of_block(like.block), "name": ""}
    return page(request, opened(begun), None)


@for_roles(OWNER, WORKSHOP)
@require_http_methods(["GET", "POST"])
def own_block_change(request: HttpRequest, word: str) -> HttpResponse:
    keeping = own_or_404(word)
    if request.method == "POST":
        return pressed(request, keeping)
    block = block_book.as_known(keeping).block
    form = opened({**of_block(block), "number": str(keeping.number)})
    return page(request, form, keeping)


@for_roles(OWNER, WORKSHOP)
@require_POST
def own_block_put_away(request: HttpRequest, word: str) -> HttpResponse:
    keeping = own_or_404(word)
    form = RequestIdForm(request.POST)
    blocks = reverse("studio:blocks")
    if not form.is_valid():
        return answers.sorry(request, PageStale(), blocks)
    asked = as_studio(request)
    try:
        away = own_block_keeping.put_away(
            word,
            number_seen=keeping.number,
            request_id=form.cleaned_data["request_id"],
            by=asked.person,
            now=asked.now,
        )
    except StudioError as error:
        return answers.sorry(request, error, blocks)
    said = Done(f"The block {away.name} is put away.", undo_of(away))
    return answers.answer(request, said, blocks)


@for_roles(OWNER, WORKSHOP)
@require_POST
def own_block_take_back(request: HttpRequest, keeping_id: int) -> HttpResponse:
    """Let a block stand as it was before one keeping of it."""
    keeping = get_object_or_404(OwnBlock, pk=keeping_id)
    try:
        own_block_keeping.take_back(keeping, now=as_studio(request).now)
    except StudioError as error:
        return answers.sorry(request, error, reverse("studio:blocks"))
    stands = block_book.standing(keeping.word)
    if stands is None:
        said = Done(f"The block {keeping.name} is off the list again.")
        return answers.answer(request, said, reverse("studio:blocks"))
    said = Done(f"The block {stands.name} stands as it did before.")
    return answers.answer(request, said, show_url(stands))


def pressed(request: HttpRequest, keeping: OwnBlock | None) -> HttpResponse:
    """Do what a button says; keep the block if it is the button for that."""
    form = LayingForm(request.POST.dict())
    button = request.POST.get("do", "show")
    own_block_laying.press(form, button, request.POST.get("at", ""))
    if button == "keep" and "at" not in request.POST and not form.errors:
        try:
            kept = keep(request, form, keeping)
            said = Done(f"The block {kept.name} is kept.", undo_of(kept))
            return answers.answer(request, said, show_url(kept))
        except BlockGap as gap:
            form.refuse(gap)
            form.last = (gap.column, gap.row)
        except StudioError as error:
            form.refuse(error, "name" if is_of_name(error) else None)
    return page(request, form, keeping)


def keep(request: HttpRequest, form: LayingForm, keeping: OwnBlock | None) -> OwnBlock:
    """Keep the block as it is laid. Raises what is wrong with it."""
    asked = as_studio(request)
    name = str(form.data.get("name", "")).strip()
    if not name:
        raise own_block_keeping.BlockNameEmpty
    layout = form.layout
    lines = own_blocks.lines_of(layout.block(name)) if layout else ""
    request_id = form.cleaned_data["request_id"]
    if keeping is None:
        return own_block_keeping.add_block(
            lines, name=name, request_id=request_id, by=asked.person, now=asked.now
        )
    number = form.cleaned_data["number"]
    return own_block_keeping.change_block(
        keeping.word,
        lines,
        name=name,
        number_seen=int(number) if SEEN.fullmatch(number) else 0,
        request_id=request_id,
        by=asked.person,
        now=asked.now,
    )


def is_of_name(error: StudioError) -> bool:
    about_name = (own_block_keeping.BlockNameEmpty, own_block_keeping.BlockNameTaken)
    return isinstance(error, about_name)


def page(
    request: HttpRequest, form: LayingForm, keeping: OwnBlock | None
) -> HttpResponse:
    block, layout = form.block, form.layout
    context: dict[str, object] = {
        "form": form,
        "keeping": keeping,
        "request_id": uuid4(),
        "room": "blocks",
        "grid": grid(form),
        "columns": range(1, layout.across + 1) if layout else (),
        "gaps": len(layout.gaps) if layout else 0,
        "patches": patches.PATCHES.values(),
    }
    if form.hand:
        looks = hatching.looks_of((*(block.roles if block else ()), *form.hand.roles))
        context["hand"] = block_pictures.cell_picture(form.hand, looks, HAND_PX)
        context["hand_cloths"] = zip(
            form.hand.patch.slots, form.hand.roles, strict=True
        )
    if block is not None and block.cells:
        context["swatches"] = block_pictures.swatches(block.roles)
    return render(request, "studio/blocks_own.html", context)


def grid(form: LayingForm) -> list[list[Pressed]]:
    """Give every place with its drawing, row by row."""
    layout = form.layout
    if layout is None or form.block is None:
        return []
    looks = hatching.looks_of(form.block.roles)
    steps = max(layout.across, layout.down)
    px = next(px for most, px in STEP_PX if steps <= most)
    return [
        [
            Pressed(
                spot,
                block_pictures.cell_picture(spot.cell, looks, px)
                if spot.cell
                else None,
            )
            for spot in row
        ]
        for row in form.spots
    ]


def opened(begun: dict[str, str]) -> LayingForm:
    """Give the form as it opens, with a number that it is kept under once."""
    form = LayingForm({**begun, "request_id": str(uuid4())})
    own_block_laying.press(form, "show")
    return form


def own_or_404(word: str) -> OwnBlock:
    keeping = block_book.standing(word)
    if keeping is None:
        raise Http404(f"No block laid out here has the word {word}.")
    return keeping


def undo_of(keeping: OwnBlock) -> str:
    return reverse("studio:own_block_take_back", args=[keeping.pk])


def show_url(keeping: OwnBlock) -> str:
    return reverse("studio:block_show", args=[keeping.word])
