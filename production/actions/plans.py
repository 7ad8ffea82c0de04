"""Keep a plan as it was given, and turn it into batches in sessions."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction

from inventory.models import Item
from production.actions.batches import (
    drop_batch,
    plan_cutting,
    plan_making_up,
    take_up_batch,
)
from production.day_plan import SellingDayPlan
from production.errors import NothingToPlan, PlanMoved
from production.models import Batch, Layout, Plan, SellingDay
from production.queries.plans import plan_for
from studio.models import Person, WorkSession


def keep_plan(
    selling_day: SellingDay,
    answer: SellingDayPlan,
    *,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> Plan:
    """Keep an answer and what it was worked from, to look back on."""
    plan, _ = Plan.objects.get_or_create(
        request_id=request_id,
        defaults={
            "kind": Plan.Kind.SHEETS,
            "selling_day": selling_day,
            "made_at": now,
            "by": by,
            "asked": asked_of(answer),
            "answer": answer.as_json(),
        },
    )
    return plan


def asked_of(answer: SellingDayPlan) -> dict[str, Any]:
    return {
        "wanted": {line.code: line.number for line in answer.lines},
        "pinned": [line.code for line in answer.lines if line.is_pinned],
        "sheets_in_rack": answer.sheets_in_rack,
        "sessions": [
            [session.day.isoformat(), session.net_minutes, session.taken_minutes]
            for session in answer.sessions
        ],
    }


@transaction.atomic
def make_batches(
    selling_day: SellingDay,
    *,
    fingerprint: str,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> Plan:
    """Take the plan that is on the page, keep it, and write its batches down.

    When the figures have moved since the page was made, nothing is written.
    """
    SellingDay.objects.select_for_update().get(pk=selling_day.pk)
    said_before = Plan.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    answer = plan_for(selling_day, now=now)
    if answer.fingerprint != fingerprint:
        raise PlanMoved(selling_day.name)
    if not answer.has_batches:
        raise NothingToPlan(selling_day.name)
    plan = keep_plan(selling_day, answer, request_id=request_id, now=now, by=by)
    choose_plan(plan, now=now)
    plan.refresh_from_db()
    return plan


@transaction.atomic
def choose_plan(plan: Plan, *, now: datetime) -> list[Batch]:
    """Turn a kept plan into batches; the day's earlier ones make room for it.

    Choosing the same plan again changes nothing. What is already done of an earlier
    batch stays done.
    """
    plan = Plan.objects.select_for_update().get(pk=plan.pk)
    if plan.chosen_at is None:
        for batch in planned_for(plan):
            drop_batch(batch, now=now, reason=replaced_by(plan))
        write_cutting(plan, now=now)
        write_making_up(plan, now=now)
        plan.chosen_at = now
        plan.save(update_fields=["chosen_at"])
    return list(plan.batches.order_by("pk"))


def planned_for(plan: Plan) -> list[Batch]:
    return list(
        Batch.objects.filter(
            selling_day=plan.selling_day, state=Batch.State.PLANNED
        ).exclude(kind=Batch.Kind.SEWING)
    )


def replaced_by(plan: Plan) -> str:
    return f"Replaced by plan {plan.pk}."


def write_cutting(plan: Plan, *, now: datetime) -> None:
    sessions = plan.answer["sessions"]
    codes = {run["layout"] for session in sessions for run in session["runs"]}
    layouts = {layout.code: layout for layout in Layout.objects.filter(code__in=codes)}
    in_diary = WorkSession.objects.in_bulk([s["session_id"] for s in sessions])
    for session in sessions:
        for run in session["runs"]:
            plan_cutting(
                layouts[run["layout"]],
                sheets=run["sheets"],
                request_id=uuid5(
                    plan.request_id, f"{session['session_id']} {run['layout']}"
                ),
                now=now,
                session=in_diary.get(session["session_id"]),
                selling_day=plan.selling_day,
                plan=plan,
            )


def write_making_up(plan: Plan, *, now: datetime) -> None:
    wanted = {line["code"]: line for line in plan.answer["lines"] if line["to_make"]}
    items = Item.objects.filter(code__in=wanted).prefetch_related("parts_lists")
    for item in sorted(items, key=lambda item: item.code):
        line = wanted[item.code]
        plan_making_up(
            item,
            count=line["to_make"],
            request_id=uuid5(plan.request_id, f"make up {item.code}"),
            now=now,
            selling_day=plan.selling_day,
            plan=plan,
            minutes=usual_minutes(item) * line["to_make"],
        )


def usual_minutes(item: Item) -> int:
    lists = sorted(item.parts_lists.all(), key=lambda one: one.rank)
    return lists[0].minutes if lists else 0


@transaction.atomic
def take_back_choice(plan: Plan, *, now: datetime) -> Plan:
    """Drop the batches of a plan again, and take up those it had replaced."""
    plan = Plan.objects.select_for_update().get(pk=plan.pk)
    if plan.chosen_at is None:
        return plan
    drop_all(plan.batches.filter(state=Batch.State.PLANNED), now=now)
    replaced = Batch.objects.filter(
        selling_day=plan.selling_day, reason=replaced_by(plan)
    )
    for batch in replaced:
        take_up_batch(batch, now=now)
    plan.chosen_at = None
    plan.save(update_fields=["chosen_at"])
    return plan


def drop_all(batches: Iterable[Batch], *, now: datetime) -> None:
    for batch in batches:
        drop_batch(batch, now=now, reason="The plan was taken back.")
