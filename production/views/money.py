"""Money to come and to pay, on which the cash of a selling day stands."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from production.actions import money as bank_book
from production.money_forms import BankForm, MoneyForm
from production.queries.cash import TAKEN_OFF, cash_to
from production.views.undoing import say, say_with_undo, undo_offered
from studio.access import OWNER, StudioRequest, for_roles
from studio.days import show_day_short
from studio.models import MoneyLine
from studio.money import show_pounds

# As far ahead as the page looks: a pay date may be two months after a slot.
DAYS_AHEAD = 120


@for_roles(OWNER)
@require_GET
def money_list(request: StudioRequest) -> HttpResponse:
    return money_page(request)


def money_page(
    request: StudioRequest,
    *,
    adding: MoneyForm | None = None,
    bank: BankForm | None = None,
) -> HttpResponse:
    context = {
        "cash": cash_to(request.today + timedelta(days=DAYS_AHEAD), now=request.now),
        "adding": adding or MoneyForm(today=request.today),
        "bank": bank or BankForm(),
        "request_id": uuid4(),
        "undo": undo_offered(request),
    }
    return render(request, "production/money.html", context)


@for_roles(OWNER)
@require_POST
def money_add(request: StudioRequest) -> HttpResponse:
    form = MoneyForm(request.POST, today=request.today)
    if not form.is_valid():
        return money_page(request, adding=form)
    line = bank_book.write_money(**form.as_money())
    when = show_day_short(form.cleaned_data["day"])
    say_with_undo(
        request,
        f"{line.text}, {show_pounds(abs(line.pence))}, is written for {when}.",
        url=reverse("production:money_take_back", args=[line.pk]),
    )
    return redirect("production:money")


@for_roles(OWNER)
@require_POST
def bank_count(request: StudioRequest) -> HttpResponse:
    form = BankForm(request.POST)
    if not form.is_valid():
        return money_page(request, bank=form)
    line = bank_book.count_bank(
        pence=form.cleaned_data["bank"],
        request_id=form.cleaned_data["request_id"],
        now=request.now,
    )
    say_with_undo(
        request,
        f"The bank stands at {show_pounds(form.cleaned_data['bank'])}.",
        url=reverse("production:money_take_back", args=[line.pk]),
    )
    return redirect("production:money")


@for_roles(OWNER)
@require_POST
def money_moved(request: StudioRequest, pk: int) -> HttpResponse:
    """Note that a line has been paid or has come in, today."""
    line = bank_book.note_money_moved(
        get_object_or_404(MoneyLine, pk=pk), now=request.now
    )
    say_with_undo(
        request,
        f"{line.text}: {show_pounds(abs(line.pence))} has moved.",
        url=reverse("production:money_take_back", args=[line.pk]),
    )
    return redirect("production:money")


@for_roles(OWNER)
@require_POST
def money_take_back(request: StudioRequest, pk: int) -> HttpResponse:
    """Take the last act on a line back; a second time changes nothing."""
    line = get_object_or_404(MoneyLine, pk=pk)
    was_moved = line.moved_on is not None and line.expected_on is not None
    bank_book.take_back_money(line)
    if was_moved or line.category != TAKEN_OFF:
        say(request, f"{line.text} is still to come.")
    else:
        say_with_undo(
            request,
            f"{line.text} is off the list.",
            url=reverse("production:money_put_back", args=[pk]),
            words="Put it back",
        )
    return redirect("production:money")


@for_roles(OWNER)
@require_POST
def money_put_back(request: StudioRequest, pk: int) -> HttpResponse:
    line = get_object_or_404(MoneyLine, pk=pk)
    bank_book.put_back_money(line)
    say(request, f"{line.text} is on the list again.")
    return redirect("production:money")
