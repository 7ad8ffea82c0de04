"""Raise what only she can decide, and take her answer: nothing is done silently."""

from __future__ import annotations

from collections import Counter
from datetime import datetime, timedelta

from django.db import transaction

from orders.addresses import Address, what_is_missing
from orders.models import Order, Question
from studio.days import show_clock

DOUBLE_WITHIN = timedelta(minutes=30)


def ask(
    order: Order,
    *,
    kind: str,
    text: str,
    now: datetime,
    other_order: Order | None = None,
) -> Question:
    """Ask once; a question of the same kind that is still open stands."""
    question, _ = Question.objects.get_or_create(
        order=order,
        kind=kind,
        answered_at=None,
        defaults={"text": text[:200], "asked_at": now, "other_order": other_order},
    )
    return question


@transaction.atomic
def answer_question(question: Question, *, answer: str, now: datetime) -> Question:
    """Write her answer down; a question already answered keeps its first answer."""
    question = Question.objects.select_for_update().get(pk=question.pk)
    if question.answered_at is None:
        question.answered_at = now
        question.answer = answer[:200]
        question.save(update_fields=["answered_at", "answer"])
    return question


def answer_all(order: Order, *, kinds: list[str], answer: str, now: datetime) -> None:
    order.questions.filter(kind__in=kinds, answered_at=None).update(
        answered_at=now, answer=answer[:200]
    )


def ask_about_address(order: Order, *, now: datetime) -> None:
    """Ask what a carrier would look for in vain, unless the order is collected."""
    if order.collect_on is not None:
        return
    missing = what_is_missing(address_of(order))
    if missing is not None:
        ask(order, kind=Question.Kind.ADDRESS, text=missing, now=now)


def address_of(order: Order) -> Address:
    return Address(
        tuple(order.address_lines.splitlines()),
        order.town,
        order.postcode,
        order.country,
    )


def ask_about_doubles(order: Order, *, now: datetime) -> None:
    """Ask of the later of two orders that one person placed within half an hour.

    Some people do want two: neither is touched until she has asked.
    """
    for other in near_in_time(order):
        if asked_for(other) != asked_for(order):
            continue
        earlier, later = sorted([other, order], key=lambda one: one.placed_at)
        minutes = (later.placed_at - earlier.placed_at).seconds // 60
        ask(
            later if later.state == Order.State.OPEN else order,
            kind=Question.Kind.DOUBLE,
            text=double_sentence(later, earlier, minutes),
            now=now,
            other_order=earlier if later.state == Order.State.OPEN else later,
        )


def near_in_time(order: Order) -> list[Order]:
    if order.kind != Order.Kind.SALE:
        return []
    return list(
        Order.objects.filter(
            kind=Order.Kind.SALE,
            customer__name__iexact=order.customer.name,
            placed_at__gte=order.placed_at - DOUBLE_WITHIN,
            placed_at__lte=order.placed_at + DOUBLE_WITHIN,
        )
        .exclude(pk=order.pk)
        .exclude(state=Order.State.CANCELLED)
        .prefetch_related("lines")
    )


def asked_for(order: Order) -> Counter[int]:
    counted: Counter[int] = Counter()
    for line in order.lines.all():
        counted[line.item_id] += line.count
    return counted


def double_sentence(later: Order, earlier: Order, minutes: int) -> str:
    gap = "one minute" if minutes == 1 else f"{minutes} minutes"
    return (
        f"It asks for the same as {earlier.number}, placed at "
        f"{show_clock(earlier.placed_at)}, {gap} before. Is it wanted twice?"
    )
