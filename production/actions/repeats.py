"""Write a slot's repeat down in one tap, and take a day off that nothing hangs on."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import ProtectedError, Q
from django.forms.models import model_to_dict

from inventory.models import Claim, Entry
from production.actions.selling_days import add_selling_day, set_line, set_terms
from production.errors import DayHasHistory
from production.models import Line, SellingDay, Terms
from production.queries.sending import sending_reference
from studio.days import london, shown_moment

NAME_LENGTH = 120


@transaction.atomic
def add_repeat(slot: SellingDay) -> SellingDay:
    """Write down the repeat of a slot: a day later at the same time on the clock.

    It has the slot's terms, and its lines without numbers: those follow from the
    first hour. Said twice it is the same one; another day or time is a change of it.
    """
    there = slot.repeats.order_by("starts_at", "pk").first()
    if there is not None:
        return there
    repeat = add_selling_day(
        name=f"Repeat of {slot.name}"[:NAME_LENGTH],
        kind=SellingDay.Kind.REPEAT,
        starts_at=a_day_later(slot.starts_at),
        ends_at=a_day_later(slot.ends_at),
        outlet=slot.outlet,
        place=slot.place,
        repeat_of=slot,
    )
    copy_terms(slot, repeat)
    for line in slot.lines.select_related("item").order_by("pk"):
        set_line(
            repeat,
            item=line.item,
            price_pence=line.price_pence,
            their_number=line.their_number,
        )
    return repeat


def a_day_later(moment: datetime) -> datetime:
    local = london(moment)
    return shown_moment(local.date() + timedelta(days=1), local.time())


def copy_terms(slot: SellingDay, repeat: SellingDay) -> None:
    terms = Terms.objects.filter(selling_day=slot).first()
    if terms is not None:
        columns = model_to_dict(terms, exclude=["id", "selling_day"])
        set_terms(repeat, **columns)


@transaction.atomic
def drop_selling_day(selling_day: SellingDay) -> None:
    """Take a day off the list; one with goods, sales, batches or a repeat stays."""
    has_gone = Line.objects.filter(selling_day=selling_day).filter(
        Q(sent__gt=0) | Q(sold__isnull=False) | Q(tallies__isnull=False)
    )
    in_the_book = {"reference": sending_reference(selling_day)}
    if (
        has_gone.exists()
        or Entry.objects.filter(**in_the_book).exists()
        or Claim.objects.filter(**in_the_book, closed_at=None).exists()
        or selling_day.statements.exists()
    ):
        raise DayHasHistory(selling_day.name)
    try:
        selling_day.delete()
    except ProtectedError as held:
        raise DayHasHistory(selling_day.name) from held
