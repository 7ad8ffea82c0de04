"""The goods: search by any scrap, and the promise number of each."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_GET
from django_tables2 import RequestConfig

from inventory import exports
from inventory.filters import GoodsFilter
from inventory.models import Item
from inventory.pictures import with_pictures
from inventory.promise_words import in_words, named_sentence
from inventory.queries.balances import below_nought
from inventory.queries.goods import Goods, fill_in, goods_of
from inventory.tables import GoodsTable
from inventory.views.answers import page, sum_lines
from studio.access import EVERYBODY, OWNER, PACKER, StudioRequest, for_roles
from studio.models import Person

ROWS_ON_A_PAGE = 60
# What somebody at the bench has to do with.
BENCH_KINDS = (Item.Kind.PIECE, Item.Kind.SHEET)


def items_open_to(person: Person) -> QuerySet[Item]:
    """Return what somebody may look at: the bench sees pieces and sheets."""
    items = Item.objects.select_related("design", "home_place")
    if person.role == Person.Role.WORKSHOP:
        items = items.filter(kind__in=BENCH_KINDS)
    return with_pictures(items).order_by("-is_sold", "name", "code")


def asked_items(request: StudioRequest) -> tuple[GoodsFilter, list[Item]]:
    data: Any = request.GET
    if request.person.role == Person.Role.WORKSHOP and not data.get("kind"):
        data = {"q": data.get("q", ""), "kind": Item.Kind.PIECE}
    found = GoodsFilter(data, queryset=items_open_to(request.person))
    return found, list(found.qs)


@for_roles(*EVERYBODY)
@require_GET
def goods(request: StudioRequest) -> HttpResponse:
    asked, items = asked_items(request)
    rows = goods_of(items, now=request.now)
    table = GoodsTable(rows, order_by=request.GET.get("sort", ""))
    RequestConfig(request, paginate={"per_page": ROWS_ON_A_PAGE}).configure(table)
    shown = [bound.record for bound in table.page.object_list]
    first = first_answer(rows, asked.form.cleaned_data.get("q", ""))
    fill_in(
        [*shown, *([first] if first and first not in shown else [])], now=request.now
    )
    context = {
        "asked": asked,
        "scrap": request.GET.get("q", ""),
        "table": table,
        "sentence": goods_sentence(rows, request.GET.get("q", "")),
        "below": len(below_nought()) if request.person.role == OWNER else 0,
        "may_change": request.person.role == OWNER,
        "may_read_all": request.person.role in (OWNER, PACKER),
        "quick_url": reverse("inventory:quick_entry"),
        **answer_context(first),
    }
    return page(request, "inventory/goods.html", context)


def first_answer(rows: list[Goods], scrap: str) -> Goods | None:
    """Return the goods that a scrap most likely means: the first that is sold."""
    return rows[0] if rows and scrap else None


def answer_context(first: Goods | None) -> dict[str, Any]:
    if first is None or first.promise is None:
        return {"first": None}
    return {
        "first": first,
        "first_sentence": named_sentence(first.item.name, first.promise),
        "first_now": sum_lines(first.promise.now_sum),
        "first_tonight": sum_lines(first.promise.tonight_sum),
        "first_owned": sum_lines(first.promise.owned_sum),
    }


def goods_sentence(rows: list[Goods], scrap: str) -> str:
    if scrap:
        return search_sentence(rows, scrap)
    if not rows:
        return "Nothing is in the book yet."
    sold = [row for row in rows if row.item.is_sold]
    if not sold:
        things = "thing is" if len(rows) == 1 else "things are"
        return f"{len(rows)} {things} kept."
    none = sum(1 for row in sold if not row.can_promise_now)
    begin = f"{len(sold)} {'thing is' if len(sold) == 1 else 'things are'} sold"
    if not none:
        return f"{begin}, and each has something to promise."
    return f"{begin}; {none} {'has' if none == 1 else 'have'} nothing to promise."


def search_sentence(rows: list[Goods], scrap: str) -> str:
    if not rows:
        return f"Nothing is like “{scrap}”."
    if len(rows) == 1:
        return f"One thing is like “{scrap}”."
    return f"{in_words(len(rows))} things are like “{scrap}”."


@for_roles(OWNER, PACKER)
@require_GET
def goods_export(request: StudioRequest) -> HttpResponse:
    _, items = asked_items(request)
    rows = goods_of(items, now=request.now)
    fill_in(rows, now=request.now)
    return exports.goods_csv(rows)
