"""The sizes page: what sells, what was merely out of stock, what to make next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET, require_POST

from inventory.models import Item
from production import actions as bench
from production.queries.sizes import DesignSizes, SizeLine, sizes_to_make
from studio import charts
from studio.access import OWNER, StudioRequest, for_roles
from studio.forms import CountField, StudioForm
from studio.lengths import show_inches


@dataclass(frozen=True)
class Row:
    """One size in the table, with the id of the form that plans it."""

    line: SizeLine
    label: str
    request_id: UUID


@dataclass(frozen=True)
class Shown:
    """One design as the page shows it: its lines and its picture."""

    sizes: DesignSizes
    picture: SafeString | None
    rows: tuple[Row, ...]


def rounded(value: float) -> Fraction:
    return Fraction(round(value * 10), 10)


def size_label(line: SizeLine) -> str:
    size = line.item.finished_size
    return f"{show_inches(size)} in" if size is not None else line.item.code


def picture_of(sizes: DesignSizes) -> SafeString | None:
    """Draw the rate of each size with the range it may well have."""
    known = [line for line in sizes.lines if line.rate.known]
    if not known:
        return None
    best = max(known, key=lambda line: line.rate.per_week)
    svg = charts.interval_chart(
        f"{sizes.design.name}: {size_label(best)} sells fastest while in stock",
        [
            charts.Interval(
                size_label(line),
                rounded(line.rate.low_80),
                rounded(line.rate.per_week),
                rounded(line.rate.high_80),
            )
            for line in known
        ],
        "a week",
    )
    # The chart is built by our own code and escapes every label.
    return mark_safe(svg)  # noqa: S308


def shown(sizes: DesignSizes) -> Shown:
    rows = tuple(Row(line, size_label(line), uuid4()) for line in sizes.lines)
    return Shown(sizes, picture_of(sizes), rows)


def first_of(designs: tuple[DesignSizes, ...]) -> SizeLine | None:
    """Return the size that wants the most making: the next action."""
    lines = [line for design in designs for line in design.lines if line.make]
    return max(lines, key=lambda line: line.make, default=None)


def sentence_for(designs: tuple[DesignSizes, ...]) -> str:
    lines = [line for design in designs for line in design.lines if line.make]
    if not designs:
        return "There is no design with sizes yet."
    sizes = [line for design in designs for line in design.lines]
    if not lines and all(line.enough is None for line in sizes):
        return "The record is too short to say which sizes want making."
    if not lines:
        return "Every size covers the days asked for; nothing needs making."
    first = max(lines, key=lambda line: line.make)
    return f"Make {first.make} of {first.item.name} next" + (
        f", and {len(lines) - 1} more sizes want making." if lines[1:] else "."
    )


@for_roles(OWNER)
@require_GET
def sizes(request: HttpRequest) -> HttpResponse:
    asked = as_studio(request)
    cover_days = cover_asked(asked)
    designs = sizes_to_make(today=asked.today, now=asked.now, cover_days=cover_days)
    return render(
        request,
        "studio/sizes.html",
        {
            "sentence": sentence_for(designs),
            "designs": [shown(one) for one in designs],
            "cover_days": cover_days,
            "from_day": asked.today - timedelta(days=364),
            "first": first_of(designs),
            "request_id": uuid4(),
            "room": "sizes",
        },
    )


def as_studio(request: HttpRequest) -> StudioRequest:
    return request  # type: ignore[return-value]


def cover_asked(request: StudioRequest) -> int:
    """Read the days to cover from the address, or take the studio's own."""
    text = request.GET.get("cover", "")
    if text.isdigit() and 0 < int(text) <= 365:
        return int(text)
    return request.studio.cover_days


class MakeForm(StudioForm):
    count = CountField()


@for_roles(OWNER)
@require_POST
def sizes_make(request: HttpRequest, code: str) -> HttpResponse:
    """Turn one proposal into a making-up batch."""
    asked = as_studio(request)
    form = MakeForm(request.POST)
    item = Item.objects.filter(code=code).first()
    if item is None or not form.is_valid():
        messages.error(request, "Write a whole number of sets to make, from 1 up.")
        return redirect("studio:sizes")
    batch = bench.plan_making_up(
        item,
        count=form.cleaned_data["count"],
        request_id=form.cleaned_data["request_id"],
        now=asked.now,
        reason="What sells: days to cover.",
    )
    messages.success(
        request, f"{batch.count} of {item.name} are planned. They stand on the bench."
    )
    return redirect("studio:sizes")
