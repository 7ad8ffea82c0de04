"""One item: its promise with every sum, and what may be done with it."""

from __future__ import annotations

from typing import Any

from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET

from inventory.models import Count, Item
from inventory.promise import Promise
from inventory.promise_words import named_sentence
from inventory.queries.blocks import BlockSet, block_set, last_test
from inventory.queries.half_sets import half_sets_now
from inventory.queries.histories import entries_of, history_of
from inventory.queries.item_pages import (
    IncompleteRow,
    Makeable,
    arrivals_of,
    claims_in_order,
    held_of,
    incomplete_sets,
    makeable_of,
    pictured_item,
    to_look_at,
)
from inventory.queries.prices import prices_on
from inventory.queries.promises import promise_of
from inventory.views.answers import page, sum_lines
from inventory.views.goods import BENCH_KINDS
from inventory.views.sheet_links import sheet_address
from studio import block_pictures, money
from studio.access import EVERYBODY, OWNER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.maths.sheets import keeping
from studio.maths.sheets.picturing import kept_svg
from studio.models import Person

BLOCK_PX, SHEET_PX = 240, 480
LAST_ENTRIES = 8
ENTRIES_A_PAGE = 50


def item_or_404(code: str) -> Item:
    item = pictured_item(code)
    if item is None:
        raise Http404(f"Nothing in the book has the code {code}.")
    return item


def open_item(request: StudioRequest, code: str) -> Item:
    """Return an item that this person may look at."""
    item = item_or_404(code)
    at_bench = request.person.role == Person.Role.WORKSHOP
    if at_bench and item.kind not in BENCH_KINDS:
        raise Http404("At the bench only pieces and sheets can be looked at.")
    return item


@for_roles(*EVERYBODY)
@require_GET
def item_show(request: StudioRequest, code: str) -> HttpResponse:
    item = open_item(request, code)
    promise = promise_of(item, now=request.now)
    makeable = makeable_of(item, now=request.now)
    held = held_of(item)
    incomplete = incomplete_sets(item, makeable.free)
    context = {
        "item": item,
        "promise": promise,
        "sentence": named_sentence(item.name, promise),
        "now_sum": sum_lines(promise.now_sum),
        "tonight_sum": sum_lines(promise.tonight_sum),
        "owned_sum": sum_lines(promise.owned_sum),
        "claims": claims_in_order(item, now=request.now),
        "arrivals": arrivals_of(item),
        "held": held,
        "makeable": makeable,
        "incomplete": incomplete,
        "to_look_at": to_look_at(held),
        "half_sets": half_sentences(item, makeable, request),
        "history": history_of(item, entries_of(item)[:LAST_ENTRIES]),
        **block_context(item),
        **owner_context(request, item),
        **next_action(request, item, promise, makeable, incomplete, held=held),
    }
    return page(request, "inventory/item_show.html", context)


def block_context(item: Item) -> dict[str, Any]:
    """Return the block of a template set, drawn, with its pieces and its last test."""
    found = block_set(item)
    if found is None or item.design is None or item.finished_size is None:
        return {}
    known = found.asked.known
    return {
        "block_set": found,
        "block_picture": block_pictures.block_picture(known.block, BLOCK_PX),
        "tested": last_test(item.design, item.finished_size),
        "sheet_url": sheet_address(found.to_lay_out),
        "sheet_picture": sheet_picture(found),
    }


def sheet_picture(found: BlockSet) -> SafeString | None:
    """Draw the first layout that keeps where its pieces lie."""
    row = next((row for row in found.sheets if row.kept), None)
    if row is None:
        return None
    try:
        kept = keeping.read_kept(row.kept, measured=False)
    except StudioError:
        return None
    # The drawing is made by our own code and escapes every name in it.
    return mark_safe(kept_svg(f"One sheet of {row.code}", kept, SHEET_PX))  # noqa: S308


def owner_context(request: StudioRequest, item: Item) -> dict[str, Any]:
    is_owner = request.person.role == OWNER
    return {
        "may_change": is_owner,
        "may_count": request.person.role in (OWNER, Person.Role.PACKER),
        "prices": prices_on([item], on=request.today).get(item.pk, [])
        if is_owner
        else [],
        "cost": money.show_cost(item.cost_mills),
        "thickness": thickness_words(item.packed_thickness_tenths_mm),
        "last_count": Count.objects.filter(item=item).first(),
    }


def thickness_words(tenths_mm: int | None) -> str:
    """Write tenths of a millimetre as millimetres: 15 as 1.5, 80 as 8."""
    if tenths_mm is None:
        return ""
    whole, tenth = divmod(tenths_mm, 10)
    return f"{whole}.{tenth}" if tenth else str(whole)


def half_sentences(item: Item, makeable: Makeable, request: StudioRequest) -> list[str]:
    """Return the sentences about pieces of this item that lack a partner."""
    own = {item.code} | {part.item.code for way in makeable.ways for part in way.parts}
    if len(own) == 1 and item.kind != Item.Kind.PIECE:
        return []
    return [
        half.sentence for half in half_sets_now(now=request.now) if half.piece in own
    ]


def next_action(
    request: StudioRequest,
    item: Item,
    promise: Promise,
    makeable: Makeable,
    incomplete: list[IncompleteRow],
    *,
    held: list[Any],
) -> dict[str, Any]:
    """Choose the one thing that is most worth doing with this item now."""
    role = request.person.role
    if role == Person.Role.WORKSHOP:
        return {}
    count = action(item, "item_count", "Count it", "A count settles every doubt.")
    below = [one for one in held if one.count < 0]
    if below:
        count["next_why"] = (
            f"The book has {below[0].count} in {below[0].place.name}, which cannot be."
        )
    if below or role != OWNER:
        return count
    mendable = next((row for row in incomplete if row.can_be_mended), None)
    if mendable is not None:
        return mend_action(mendable)
    if to_look_at(held):
        return action(
            item, "item_look", "Look at what came back", "Returns wait in the tray."
        )
    if makeable.possible is not None and makeable.possible.count:
        return action(item, "item_make_up", "Make up sets", makeable.possible.reason)
    return count


def mend_action(row: IncompleteRow) -> dict[str, Any]:
    return {
        "next_words": "Mend the incomplete set",
        "next_post_url": reverse("inventory:set_mend", args=[row.incomplete.pk]),
        "next_why": f"It lacks {row.words}, and that is in the drawer.",
    }


def action(item: Item, name: str, words: str, why: str) -> dict[str, Any]:
    return {
        "next_words": words,
        "next_url": reverse(f"inventory:{name}", args=[item.code]),
        "next_why": why,
    }


@for_roles(OWNER)
@require_GET
def item_history(request: StudioRequest, code: str) -> HttpResponse:
    item = item_or_404(code)
    entries = Paginator(entries_of(item), ENTRIES_A_PAGE)
    shown = entries.get_page(request.GET.get("page"))
    context = {
        "item": item,
        "history": history_of(item, shown.object_list),
        "shown": shown,
        "may_change": True,
    }
    return page(request, "inventory/item_history.html", context)
