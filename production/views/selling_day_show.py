"""One selling day: its numbers, the plan that follows from them, and its batches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET, require_POST

from production import actions as making
from production.day_plan import PlanLine, SellingDayPlan
from production.forms import LineAddForm, NumberForm, SoldForm
from production.models import Batch, Line, Plan, SellingDay, Terms
from production.queries.plans import plan_for
from production.queries.selling_days import is_written, planned_batches
from production.session_drawing import draw_sessions
from production.views.undoing import say, say_with_undo, undo_offered
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.forms import RequestIdForm, StudioForm


@dataclass(frozen=True)
class NumberRow:
    """One line of the plan and the boxes to write its numbers in."""

    line: PlanLine
    form: NumberForm


@dataclass(frozen=True)
class SoldRow:
    """One line of a day that is over, and the boxes for what it sold."""

    line: Line
    form: SoldForm


@for_roles(OWNER)
@require_GET
def day_show(request: StudioRequest, pk: int) -> HttpResponse:
    selling_day = get_object_or_404(SellingDay.objects.select_related("outlet"), pk=pk)
    if selling_day.ends_at < request.now:
        return past_page(request, selling_day)
    return coming_page(request, selling_day)


def coming_page(
    request: StudioRequest,
    selling_day: SellingDay,
    *,
    numbers: Sequence[NumberForm] = (),
    adding: LineAddForm | None = None,
) -> HttpResponse:
    """Show the day with its plan; forms given came back with something wrong."""
    plan = plan_for(selling_day, now=request.now)
    lines = selling_day.lines.select_related("item").order_by("pk")
    written = {form.line.pk: form for form in numbers}
    forms = [written.get(line.pk) or NumberForm(line=line) for line in lines]
    batches = planned_batches(selling_day)
    context = {
        "selling_day": selling_day,
        "terms": Terms.objects.filter(selling_day=selling_day).first(),
        "plan": plan,
        "rows": [NumberRow(*pair) for pair in zip(plan.lines, forms, strict=True)],
        "wrong_rows": [form for form in forms if form.errors],
        "adding": adding or LineAddForm(),
        "batches": batches,
        "is_written": is_written(plan, batches),
        "is_on_air": selling_day.starts_at <= request.now,
        "drawing": drawing_of(plan),
        "request_id": uuid4(),
        "undo": undo_offered(request),
    }
    return render(request, "production/selling_day_show.html", context)


def drawing_of(plan: SellingDayPlan) -> SafeString:
    # Drawn by the studio's own code from its own numbers; nothing typed is unescaped.
    title = f"Sessions until {plan.ready_by:%d %B}"
    return mark_safe(draw_sessions(plan.sessions_until_done, title))  # noqa: S308


def past_page(
    request: StudioRequest,
    selling_day: SellingDay,
    forms: Sequence[SoldForm] = (),
    adding: LineAddForm | None = None,
) -> HttpResponse:
    lines = list(selling_day.lines.select_related("item").order_by("pk"))
    written = {form.line.pk: form for form in forms}
    rows = [
        SoldRow(line, written.get(line.pk) or SoldForm(line=line)) for line in lines
    ]
    context = {
        "selling_day": selling_day,
        "rows": rows,
        "wrong_rows": [row.form for row in rows if row.form.errors],
        "sold": sum(line.sold or 0 for line in lines),
        "went": sum(line.sent for line in lines),
        "unknown": sum(1 for line in lines if line.sold is None),
        "adding": adding or LineAddForm(),
        "request_id": uuid4(),
        "undo": undo_offered(request),
    }
    return render(request, "production/selling_day_past.html", context)


@for_roles(OWNER)
@require_POST
def numbers_save(request: StudioRequest, pk: int) -> HttpResponse:
    """Save the numbers of the table; a number written stays hers."""
    selling_day = get_object_or_404(SellingDay, pk=pk)
    lines = selling_day.lines.select_related("item")
    forms = [NumberForm(request.POST, line=line) for line in lines]
    forms = [form for form in forms if was_shown(form, request)]
    kept = kept_number(request)
    if not all(form.is_valid() for form in forms):
        return coming_page(request, selling_day, numbers=forms)
    for form in forms:
        save_number(selling_day, form, kept)
    say(request, "The numbers are saved, and the plan is made anew from them.")
    return redirect(selling_day)


def was_shown(form: StudioForm, request: StudioRequest) -> bool:
    """Leave out a line that was added after the page was opened."""
    return any(name.startswith(f"{form.prefix}-") for name in request.POST)


def kept_number(request: StudioRequest) -> tuple[int, int] | None:
    """Read which proposed number was kept with one tap: "line:number"."""
    line, _, number = request.POST.get("keep", "").partition(":")
    if line.isdigit() and number.isdigit():
        return int(line), int(number)
    return None


def save_number(
    selling_day: SellingDay, form: NumberForm, kept: tuple[int, int] | None
) -> None:
    found, line = form.cleaned_data, form.line
    wanted = found["wanted"]
    if kept and kept[0] == line.pk:
        wanted = kept[1]
    price = line.price_pence if found["price"] is None else found["price"]
    now_there = (line.wanted, line.price_pence, line.reason)
    if (wanted, price, found["reason"]) == now_there:
        return
    making.set_line(
        selling_day,
        item=line.item,
        wanted=wanted,
        price_pence=price,
        reason=found["reason"],
    )


@for_roles(OWNER)
@require_POST
def line_add(request: StudioRequest, pk: int) -> HttpResponse:
    selling_day = get_object_or_404(SellingDay, pk=pk)
    form = LineAddForm(request.POST)
    if not form.is_valid() and selling_day.ends_at < request.now:
        return past_page(request, selling_day, adding=form)
    if not form.is_valid():
        return coming_page(request, selling_day, adding=form)
    item = form.cleaned_data["item"]
    line = making.set_line(
        selling_day,
        item=item,
        wanted=form.cleaned_data["wanted"],
        price_pence=form.cleaned_data["price"],
    )
    undo = reverse("production:selling_day_line_drop", args=[pk, line.pk])
    say_with_undo(request, f"{item.name} is on the list.", url=undo)
    return redirect(selling_day)


@for_roles(OWNER)
@require_POST
def line_drop(request: StudioRequest, pk: int, line_pk: int) -> HttpResponse:
    """Take a line off; one that is off already is no mistake."""
    selling_day = get_object_or_404(SellingDay, pk=pk)
    line = selling_day.lines.select_related("item").filter(pk=line_pk).first()
    if line is not None:
        try:
            making.drop_line(line)
        except StudioError as refused:
            messages.error(request, str(refused))
            return redirect(selling_day)
        say(request, f"{line.item.name} is off the list.")
    return redirect(selling_day)


@for_roles(OWNER)
@require_POST
def sold_save(request: StudioRequest, pk: int) -> HttpResponse:
    """Write afterwards what was sold, and the minute when none was left."""
    selling_day = get_object_or_404(SellingDay, pk=pk)
    lines = selling_day.lines.select_related("item", "selling_day")
    forms = [SoldForm(request.POST, line=line) for line in lines]
    forms = [form for form in forms if was_shown(form, request)]
    if not all(form.is_valid() for form in forms):
        return past_page(request, selling_day, forms)
    for form in forms:
        try:
            save_sold(form)
        except StudioError as refused:
            form.refuse(refused)
            return past_page(request, selling_day, forms)
    say(request, "What was sold is saved: the next numbers are proposed from it.")
    return redirect(selling_day)


def save_sold(form: SoldForm) -> None:
    making.set_sold(
        form.line,
        sold=form.cleaned_data["sold"],
        sold_out_minute=form.cleaned_data["sold_out_minute"],
    )


@for_roles(OWNER)
@require_POST
def batches_make(request: StudioRequest, pk: int) -> HttpResponse:
    """Turn the plan that is on the page into batches, or show the one that now is."""
    selling_day = get_object_or_404(SellingDay, pk=pk)
    form = RequestIdForm(request.POST)
    if not form.is_valid():
        messages.error(request, " ".join(map(str, form.errors["request_id"])))
        return redirect(selling_day)
    try:
        plan = making.make_batches(
            selling_day,
            fingerprint=request.POST.get("plan", ""),
            request_id=form.cleaned_data["request_id"],
            now=request.now,
            by=request.person,
        )
    except StudioError as refused:
        messages.error(request, str(refused))
    else:
        say_with_undo(
            request,
            batches_sentence(plan),
            url=reverse("production:selling_day_batches_take_back", args=[pk, plan.pk]),
        )
    return redirect(selling_day)


def batches_sentence(plan: Plan) -> str:
    kinds = list(plan.batches.values_list("kind", flat=True))
    cutting = kinds.count(Batch.Kind.CUTTING)
    making_up = kinds.count(Batch.Kind.MAKING_UP)
    return (
        f"The batches are on the bench: {cutting} to cut and {making_up} to make up. "
        "Earlier ones of this day made room."
    )


@for_roles(OWNER)
@require_POST
def batches_take_back(request: StudioRequest, pk: int, plan_pk: int) -> HttpResponse:
    plan = get_object_or_404(Plan, pk=plan_pk, selling_day=pk)
    making.take_back_choice(plan, now=request.now)
    say(request, "The batches are taken back; those of before are planned again.")
    return redirect("production:selling_day_show", pk=pk)
