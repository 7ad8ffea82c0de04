"""Add items and write what they are: particulars, prices, parts, outline, contents."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from inventory import actions as stock
from inventory.forms import catalogue as forms
from inventory.models import Item, PartsList
from inventory.quick_lines import code_for
from inventory.views.answers import Done, answer
from inventory.views.item import item_or_404
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.forms import StudioForm


def items_known() -> list[tuple[str, str]]:
    """Return codes and names for the boxes that take an item."""
    return list(Item.objects.order_by("code").values_list("code", "name"))


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def item_add(request: StudioRequest) -> HttpResponse:
    posted = with_code(request)
    form = forms.ItemForm(posted, initial={"is_sold": True, **proposed(request)})
    if request.method == "POST" and form.is_valid():
        item = stock.add_item(**form.particulars())
        done = Done(f"{item.name} is in the book. Count it next.")
        return answer(request, done, item.get_absolute_url())
    context = {"form": form, "question": "What is the new thing?", "button": "Add it"}
    return render(request, "inventory/item_form.html", context)


def proposed(request: StudioRequest) -> dict[str, str]:
    """Return what another page proposes for a new set, to be looked over."""
    boxes = ("name", "design", "finished_size")
    found = {box: str(request.GET[box]) for box in boxes if request.GET.get(box)}
    return {"kind": Item.Kind.TEMPLATE_SET, **found} if "design" in found else {}


def with_code(request: StudioRequest) -> Any:
    """Make a code from the name where none was written."""
    if request.method != "POST":
        return None
    posted = request.POST.copy()
    if not posted.get("code", "").strip() and posted.get("name", "").strip():
        taken = Item.objects.values_list("code", flat=True)
        posted["code"] = code_for(str(posted["name"]), taken)
    return posted


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def item_edit(request: StudioRequest, code: str) -> HttpResponse:
    item = item_or_404(code)
    form = forms.ItemForm(request.POST or None, item=item)
    if request.method == "POST" and form.is_valid():
        stock.change_item(item, now=request.now, **form.particulars())
        return answer(request, Done("It is written anew."), item.get_absolute_url())
    context = {
        "form": form,
        "item": item,
        "question": f"What is to be changed about {item.name}?",
        "button": "Save it",
    }
    return render(request, "inventory/item_form.html", context)


def write_view(
    form_class: type[StudioForm],
    question: str,
    write: Callable[[Item, dict[str, Any]], object],
    starts_with: Callable[[Item], dict[str, Any]],
) -> Callable[..., HttpResponse]:
    """Make the page of a plain form that writes one thing about an item."""

    @for_roles(OWNER)
    @require_http_methods(["GET", "POST"])
    def view(request: StudioRequest, code: str) -> HttpResponse:
        item = item_or_404(code)
        form = form_class(
            request.POST or None, today=request.today, initial=starts_with(item)
        )
        if request.method == "POST" and form.is_valid():
            cleaned = {k: v for k, v in form.cleaned_data.items() if k != "request_id"}
            write(item, cleaned)
            return answer(request, Done("It is written."), item.get_absolute_url())
        context = {"item": item, "form": form, "button": "Save it"}
        context["question"] = question.format(name=item.name)
        return render(request, "inventory/item_act.html", context)

    return view


def own_of(item: Item, name: str, form_class: type[StudioForm]) -> dict[str, Any]:
    """Return what is written already about an item's shape or contents."""
    own = getattr(item, name, None)
    if own is None:
        return {}
    return {
        field: getattr(own, field)
        for field in form_class.base_fields
        if field != "request_id"
    }


item_price = write_view(
    forms.PriceForm,
    "What is asked for {name}, and from which day?",
    lambda item, cleaned: stock.set_price(item, **cleaned),
    lambda _item: {},
)
item_shape = write_view(
    forms.ShapeForm,
    "What is the cut size of {name}?",
    lambda item, cleaned: stock.set_shape(item, **cleaned),
    lambda item: own_of(item, "shape", forms.ShapeForm),
)
item_contents = write_view(
    forms.ContentsForm,
    "What is in {name}?",
    lambda item, cleaned: stock.set_contents(item, **cleaned),
    lambda item: own_of(item, "contents", forms.ContentsForm),
)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def item_parts(request: StudioRequest, code: str, rank: int) -> HttpResponse:
    item = item_or_404(code)
    written = item.parts_lists.filter(rank=rank).first()
    form = forms.PartsListForm(request.POST or None, initial=way_of(written, rank))
    lines = forms.PartLinesFormSet(request.POST or None, initial=lines_of(written))
    both_right = request.method == "POST" and form.is_valid() and lines.is_valid()
    if both_right and write_parts(item, rank, form, lines):
        return answer(request, Done("The parts list is written."), parts_page(item))
    context = {
        "item": item,
        "form": form,
        "lines": lines,
        "rank": rank,
        "items_known": items_known(),
    }
    return render(request, "inventory/item_parts.html", context)


def write_parts(item: Item, rank: int, form: StudioForm, lines: Any) -> bool:
    """Write the list, or put on the form what stands in the way."""
    try:
        stock.set_parts_list(
            item,
            needs=lines.counts(gives_back=False),
            gives_back=lines.counts(gives_back=True),
            name=form.cleaned_data["name"],
            minutes=form.cleaned_data["minutes"] or 0,
            rank=rank,
        )
    except StudioError as error:
        form.refuse(error)
        return False
    return True


def parts_page(item: Item) -> str:
    return f"{item.get_absolute_url()}#parts"


def way_of(written: PartsList | None, rank: int) -> dict[str, Any]:
    if written is None:
        return {} if rank == 1 else {"name": "Another way"}
    return {"name": written.name, "minutes": written.minutes}


def lines_of(written: PartsList | None) -> list[dict[str, Any]]:
    if written is None:
        return []
    return [
        {"part": line.item, "count": line.count, "gives_back": line.gives_back}
        for line in written.lines.select_related("item")
    ]


@for_roles(OWNER)
@require_http_methods(["GET"])
def item_another_way(request: StudioRequest, code: str) -> HttpResponse:
    """Lead to the form of the next way of making an item up."""
    item = item_or_404(code)
    ranks = item.parts_lists.order_by("-rank").values_list("rank", flat=True)
    next_rank = (ranks.first() or 0) + 1
    return redirect("inventory:item_parts", item.code, next_rank)
