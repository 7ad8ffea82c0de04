"""Send goods to a selling day, take a sending back, and print what goes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import (
    require_GET,
    require_http_methods,
    require_POST,
)

from inventory.models import Entry
from production import actions as making
from production.forms import SendForm, SendNumberForm
from production.models import Line, SellingDay
from production.queries.proposals import prices_of
from production.queries.sending import (
    free_to_send,
    sending_reference,
    there_by_item,
)
from production.views.undoing import say, say_with_undo, undo_offered
from studio.access import OWNER, PACKER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.printing import paper_response


@dataclass(frozen=True)
class SendRow:
    """One line: still to come, free on the shelf, and the box for what goes."""

    line: Line
    to_come: int
    free: int
    form: SendNumberForm


@for_roles(OWNER, PACKER)
@require_http_methods(["GET", "POST"])
def goods_send(request: StudioRequest, pk: int) -> HttpResponse:
    selling_day = get_object_or_404(
        SellingDay.objects.select_related("place", "outlet"), pk=pk
    )
    lines = list(selling_day.lines.select_related("item").order_by("pk"))
    if request.method == "GET":
        return send_page(request, selling_day, lines, SendForm())
    form = SendForm(request.POST)
    numbers = [SendNumberForm(request.POST, line=line) for line in lines]
    if not all([form.is_valid(), *[number.is_valid() for number in numbers]]):
        return send_page(request, selling_day, lines, form, numbers)
    going = {n.line.item: n.cleaned_data["going"] or 0 for n in numbers}
    try:
        entry = making.send_goods(
            selling_day,
            going,
            request_id=form.cleaned_data["request_id"],
            now=request.now,
            by=request.person,
            overruled_because=form.cleaned_data["because"],
        )
    except StudioError as refused:
        form.refuse(refused)
        return send_page(request, selling_day, lines, form, numbers)
    return sent_answer(request, selling_day, entry)


def sent_answer(
    request: StudioRequest, selling_day: SellingDay, entry: Entry
) -> HttpResponse:
    count = sum(entry.movements.values_list("count", flat=True))
    place = selling_day.place.name if selling_day.place else selling_day.name
    undo = reverse(
        "production:selling_day_send_take_back", args=[selling_day.pk, entry.pk]
    )
    say_with_undo(request, f"{count} have gone: {place}. They stay yours.", url=undo)
    return redirect("production:selling_day_send", pk=selling_day.pk)


def send_page(
    request: StudioRequest,
    selling_day: SellingDay,
    lines: Sequence[Line],
    form: SendForm,
    numbers: Sequence[SendNumberForm] = (),
) -> HttpResponse:
    free = free_to_send(selling_day, [line.item for line in lines], now=request.now)
    there = there_by_item(selling_day, lines)
    written = {number.line.pk: number for number in numbers}
    rows = [
        send_row(line, there[line.item_id], max(0, free[line.item_id]), written)
        for line in lines
    ]
    context = {
        "selling_day": selling_day,
        "rows": rows,
        "form": form,
        "wrong_rows": [row.form for row in rows if row.form.errors],
        "to_come": sum(row.to_come for row in rows),
        "sendings": sendings_of(selling_day),
        "undo": undo_offered(request),
    }
    return render(request, "production/selling_day_send.html", context)


def send_row(
    line: Line, there: int, free: int, written: dict[int, SendNumberForm]
) -> SendRow:
    to_come = max(0, (line.wanted or 0) - there)
    form = written.get(line.pk) or SendNumberForm(line=line, going=min(to_come, free))
    return SendRow(line, to_come, free, form)


def sendings_of(selling_day: SellingDay) -> list[Entry]:
    return list(
        Entry.objects.filter(
            reference=sending_reference(selling_day), verb=Entry.Verb.SENT
        )
        .filter(reversed_by=None)
        .prefetch_related("movements__item")
        .order_by("-happened_at", "-pk")
    )


@for_roles(OWNER, PACKER)
@require_POST
def sending_take_back(request: StudioRequest, pk: int, entry_pk: int) -> HttpResponse:
    selling_day = get_object_or_404(SellingDay, pk=pk)
    entry = get_object_or_404(
        Entry, pk=entry_pk, reference=sending_reference(selling_day)
    )
    form = SendForm(request.POST)
    if form.is_valid():
        try:
            making.take_back_sending(
                selling_day,
                entry,
                request_id=form.cleaned_data["request_id"],
                now=request.now,
                by=request.person,
            )
        except StudioError as refused:
            messages.error(request, str(refused))
        else:
            say(request, "The sending is taken back: the goods are on the shelf again.")
    return redirect("production:selling_day_send", pk=pk)


def priced_lines(
    selling_day: SellingDay, lines: Sequence[Line]
) -> list[tuple[Line, int | None]]:
    """Put beside each line its price: its own, or else the one of its outlet."""
    prices = prices_of(selling_day, [line.item for line in lines])
    return [
        (
            line,
            prices.get(line.item_id) if line.price_pence is None else line.price_pence,
        )
        for line in lines
    ]


@for_roles(OWNER, PACKER)
@require_GET
def goods_list(request: StudioRequest, pk: int) -> HttpResponse:
    """Print what goes, with boxes to tick: a carton list, or a take list for a fair."""
    selling_day = get_object_or_404(SellingDay.objects.select_related("outlet"), pk=pk)
    lines = list(selling_day.lines.select_related("item").order_by("item__code"))
    is_fair = selling_day.kind == SellingDay.Kind.FAIR
    title = f"{'Take list' if is_fair else 'Goods list'}: {selling_day.name}"
    context = {
        "studio": request.studio,
        "selling_day": selling_day,
        "lines": priced_lines(selling_day, lines),
        "title": title,
        "is_fair": is_fair,
        "wanted": sum(line.wanted or 0 for line in lines),
        "sent": sum(line.sent for line in lines),
    }
    return paper_response(
        request,
        "production/print/selling_day_list.html",
        context,
        f"{slugify(title)}.pdf",
        title=title,
    )
