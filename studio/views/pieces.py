"""Find a piece that is there already, before another like it is drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET

from inventory.models import Item
from inventory.queries.balances import Held, held_by_item
from inventory.queries.blocks import BookPiece, pieces_in_the_book
from inventory.views.goods import BENCH_KINDS
from studio.access import OWNER, WORKSHOP, for_roles
from studio.lengths import show_inches, show_mm
from studio.maths import piece_finding, piece_pictures
from studio.maths.piece_finding import Match
from studio.piece_forms import PieceFindForm
from studio.views.blocks import typed
from studio.views.sizes import as_studio

MOST_SHOWN = 40
FARTHER = 3


@dataclass(frozen=True)
class Found:
    """A piece that was found: drawn, how far off, where it is, and what to ask."""

    item: Item
    match: Match
    picture: SafeString
    held: tuple[Held, ...]

    @property
    def size(self) -> str:
        found = self.match.found
        sides = [found.width_inches, found.height_inches]
        if found.width_inches == found.height_inches:
            sides = sides[:1]
        return f"{' × '.join(map(show_inches, sides))} in"

    @property
    def mm(self) -> str:
        found = self.match.found
        sides = dict.fromkeys((found.width_inches, found.height_inches))
        return " × ".join(show_mm(side).removesuffix(" mm") for side in sides) + " mm"

    @property
    def off(self) -> str:
        turned = ", turned" if self.match.turned else ""
        if not self.match.off_inches:
            return f"the same size{turned}"
        off = self.match.off_inches
        return f"{show_inches(off)} in ({show_mm(off)}) off{turned}"


@for_roles(OWNER, WORKSHOP)
@require_GET
def pieces_find(request: HttpRequest) -> HttpResponse:
    asked = typed(request)
    form = PieceFindForm(asked)
    context: dict[str, object] = {"form": form, "room": "blocks"}
    context["asked"] = "size" in asked
    if "size" in asked and form.is_valid() and form.wanted is not None:
        at_bench = as_studio(request).person.role == WORKSHOP
        book = pieces_in_the_book(BENCH_KINDS if at_bench else None)
        context |= answered(form, book)
    return render(request, "studio/pieces_find.html", context)


def answered(form: PieceFindForm, book: Sequence[BookPiece]) -> dict[str, object]:
    """Give what is near enough, and the nearest of what is not."""
    wanted, most = form.wanted, form.tolerance_inches
    if wanted is None:
        return {}
    matches = piece_finding.by_nearness(wanted, (one.known for one in book))
    near = [one for one in matches if one.off_inches <= most][:MOST_SHOWN]
    beyond = [one for one in matches if one.off_inches > most][:FARTHER]
    shown = drawn([*near, *beyond], book)
    return {
        "wanted": wanted,
        "near": shown[: len(near)],
        "beyond": shown[len(near) :],
        "count": len(book),
    }


def drawn(matches: Sequence[Match], book: Sequence[BookPiece]) -> list[Found]:
    """Draw all to one scale and read where each is: one query."""
    if not matches:
        return []
    items = {one.known.name: one.item for one in book}
    held = held_by_item([items[one.found.name] for one in matches])
    scale = piece_pictures.common_scale(
        [matches[0].wanted, *(one.found for one in matches)]
    )
    return [
        Found(
            items[one.found.name],
            one,
            # The drawing is made by our own code and escapes every word in it.
            mark_safe(piece_pictures.match_svg(one, scale)),  # noqa: S308
            tuple(held.get(items[one.found.name].pk, ())),
        )
        for one in matches
    ]
