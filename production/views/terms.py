"""The terms of a selling day, and her own guess of what each line may be wanted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from inventory.day_demand import DayDemand
from inventory.past_days import PastDay
from production import actions as making
from production.models import Line, SellingDay, Terms
from production.queries.day_numbers import demand_for, past_days
from production.terms_forms import GuessForm, TermsForm, typed_terms
from production.views.undoing import say
from studio.access import OWNER, StudioRequest, for_roles
from studio.forms import RequestIdForm


@dataclass(frozen=True)
class GuessRow:
    """One line, what it sold before, what may be wanted, and the boxes to guess in."""

    line: Line
    past: Sequence[PastDay]
    demand: DayDemand
    form: GuessForm

    @property
    def words(self) -> str:
        """Say what is expected, and how much of that is her guess."""
        if not self.demand.is_known:
            return "Nothing is known: the record is empty and no guess is written."
        expected = f"About {round(self.demand.mean)} are expected"
        if self.demand.kind == "record":
            return f"{expected}, by the record."
        if self.demand.kind == "guess":
            return f"{expected}, by your guess alone."
        parts = round(100 * self.demand.guess_share)
        return f"{expected}; {parts} parts in 100 of that are your guess."


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def day_terms(request: StudioRequest, pk: int) -> HttpResponse:
    selling_day = get_object_or_404(SellingDay, pk=pk)
    terms = Terms.objects.filter(selling_day=selling_day).first()
    form = TermsForm(
        request.POST or None,
        initial=typed_terms(terms, selling_day.kind),
        selling_day=selling_day,
        today=request.today,
    )
    if request.method == "POST" and form.is_valid():
        making.set_terms(selling_day, **form.as_terms())
        say(request, f"The terms of {selling_day.name} are written down.")
        return redirect(selling_day)
    context = {"form": form, "selling_day": selling_day, "terms": terms}
    return render(request, "production/selling_day_terms.html", context)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def day_guesses(request: StudioRequest, pk: int) -> HttpResponse:
    """Ask for low, likely and high of each line; none written is no mistake."""
    selling_day = get_object_or_404(SellingDay, pk=pk)
    lines = list(selling_day.lines.select_related("item", "selling_day").order_by("pk"))
    if request.method == "GET":
        return guesses_page(request, selling_day, lines)
    base = RequestIdForm(request.POST)
    forms = [GuessForm(request.POST, line=line) for line in lines]
    # A line that was added after the page was opened has no boxes on it.
    forms = [form for form in forms if f"{form.prefix}-low" in request.POST]
    if not all([base.is_valid(), *[form.is_valid() for form in forms]]):
        return guesses_page(request, selling_day, lines, forms)
    for form in forms:
        making.set_guess(form.line, **form.as_guess())
    say(request, "Your guesses are saved, and told as guesses wherever they count.")
    return redirect("production:selling_day_guesses", pk=pk)


def guesses_page(
    request: StudioRequest,
    selling_day: SellingDay,
    lines: Sequence[Line],
    forms: Sequence[GuessForm] = (),
) -> HttpResponse:
    written = {form.line.pk: form for form in forms}
    past = past_days(selling_day, lines)
    demands = demand_for(selling_day, lines)
    rows = [
        GuessRow(
            line,
            past.get(line.item_id, ()),
            demands[line.pk],
            written.get(line.pk) or GuessForm(line=line),
        )
        for line in lines
    ]
    context = {
        "selling_day": selling_day,
        "rows": rows,
        "wrong_rows": [row.form for row in rows if row.form.errors],
        "unknown": [row for row in rows if not row.demand.is_known],
        "form": RequestIdForm(),
    }
    return render(request, "production/selling_day_guesses.html", context)
