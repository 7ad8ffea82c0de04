"""The joint question: what can be made up together from shared pieces."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from inventory.forms.ask import AskLinesFormSet
from inventory.promise_words import in_words
from inventory.queries.joint import JointAnswer, joint_answer
from inventory.views.catalogue import items_known
from studio import money
from studio.access import OWNER, StudioRequest, for_roles


@for_roles(OWNER)
@require_GET
def item_ask(request: StudioRequest) -> HttpResponse:
    """Answer in the same page: the question stays in its boxes and in the address."""
    asked = "form-TOTAL_FORMS" in request.GET
    lines = AskLinesFormSet(request.GET if asked else None, initial=begin_with(request))
    found: JointAnswer | None = None
    if asked and lines.is_valid():
        found = joint_answer(lines.asked(), now=request.now, today=request.today)
    context: dict[str, Any] = {
        "lines": lines,
        "found": found,
        "sentence": joint_sentence(found),
        "items_known": items_known(),
    }
    return render(request, "inventory/item_ask.html", context)


def begin_with(request: StudioRequest) -> list[dict[str, Any]]:
    codes = request.GET.getlist("with")[:6]
    return [{"item": code, "count": ""} for code in codes]


def how_many(count: int) -> str:
    return in_words(count).lower() if count else "no"


def joint_sentence(found: JointAnswer | None) -> str:
    if found is None:
        return "What would you like to have together?"
    short = [row for row in found.rows if row.line.promised_short]
    if short:
        codes = ", ".join(row.item.code for row in short)
        return f"The pieces do not reach for what is promised of {codes}."
    had = [f"{how_many(row.together)} {row.item.code}" for row in found.rows]
    together = ", ".join(had[:-1]) + (" and " if len(had) > 1 else "") + had[-1]
    gain = money.show_pounds(found.mix.gain_pence)
    return f"You can have {together}; what is made up gains {gain}."
