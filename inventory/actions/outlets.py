"""Where things are sold, and the block designs they belong to."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.utils.text import slugify

from inventory.actions.places import ensure_place
from inventory.models import ClosedSpell, Design, Outlet, Place
from studio.days import london_day


@transaction.atomic
def add_outlet(*, name: str, kind: str) -> Outlet:
    """Add an outlet; a television channel gets a place for goods that are still ours."""
    code = slugify(name)[:20] or kind
    outlet, _ = Outlet.objects.get_or_create(
        code=code, defaults={"name": name, "kind": kind}
    )
    if outlet.kind == Outlet.Kind.TELEVISION and outlet.place is None:
        outlet.place = ensure_place(
            code,
            f"At {name}, still ours",
            kind=Place.Kind.CHANNEL,
            counts_as_shelf=False,
            walk_order=990,
        )
        outlet.save(update_fields=["place"])
    return outlet


@transaction.atomic
def change_outlet(outlet: Outlet, *, name: str, is_open: bool, now: datetime) -> Outlet:
    """Change its name, open it or close it; the days it is closed are kept."""
    note_closed(outlet, is_open, london_day(now))
    outlet.name, outlet.is_open = name, is_open
    outlet.save(update_fields=["name", "is_open"])
    return outlet


def note_closed(outlet: Outlet, is_open: bool, today: date) -> None:
    """Open or end its closed spell, in whole days: nobody could buy there then."""
    spell = ClosedSpell.objects.filter(outlet=outlet, ended_on=None).first()
    if not is_open and outlet.is_open and spell is None:
        ClosedSpell.objects.create(outlet=outlet, began_on=today)
    elif is_open and spell is not None and spell.began_on >= today:
        spell.delete()
    elif is_open and spell is not None:
        spell.ended_on = today
        spell.save(update_fields=["ended_on"])


def add_design(*, code: str, name: str, other_words: str = "") -> Design:
    """Add a block design, or return the one that already has the code."""
    design, _ = Design.objects.get_or_create(
        code=code, defaults={"name": name, "other_words": other_words}
    )
    return design
