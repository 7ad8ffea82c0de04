"""Selling days coming and gone, with what was wanted, sent and sold."""

from __future__ import annotations

from datetime import datetime

from django.db.models import Count, Q, QuerySet, Sum

from production.day_plan import SellingDayPlan
from production.models import Batch, SellingDay


def next_selling_days(now: datetime) -> QuerySet[SellingDay]:
    """Return the days that are not over, the nearest first, with their totals."""
    return with_totals(SellingDay.objects.filter(ends_at__gte=now)).order_by(
        "starts_at", "pk"
    )


def past_selling_days(now: datetime) -> QuerySet[SellingDay]:
    return with_totals(SellingDay.objects.filter(ends_at__lt=now)).order_by(
        "-starts_at", "-pk"
    )


def with_totals(days: QuerySet[SellingDay]) -> QuerySet[SellingDay]:
    return days.select_related("outlet").annotate(
        lines_count=Count("lines"),
        without_number=Count("lines", filter=Q(lines__wanted__isnull=True)),
        wanted=Sum("lines__wanted"),
        went=Sum("lines__sent"),
        sold=Sum("lines__sold"),
        sold_out_lines=Count("lines", filter=Q(lines__sold_out_minute__isnull=False)),
    )


def planned_batches(selling_day: SellingDay) -> list[Batch]:
    """Return the work written down for this day and not done yet: one query."""
    return list(
        Batch.objects.filter(selling_day=selling_day, state=Batch.State.PLANNED)
        .exclude(kind=Batch.Kind.SEWING)
        .select_related("layout", "item", "session", "plan")
        .order_by("session__day", "pk")
    )


def is_written(plan: SellingDayPlan, batches: list[Batch]) -> bool:
    """Say whether the planned batches are what the plan asks for, no more, no less."""
    asked = {
        (session.session_id, run.layout): run.sheets
        for session in plan.sessions
        for run in session.runs
    } | {(None, line.code): line.to_make for line in plan.to_make}
    written: dict[tuple[int | None, str], int] = {}
    for batch in batches:
        code = batch.layout.code if batch.layout else batch.item.code  # type: ignore[union-attr]
        key = (batch.session_id, code)
        written[key] = written.get(key, 0) + batch.left
    return bool(asked) and asked == written
