"""Where things are sold, and the block designs they belong to."""

from __future__ import annotations

from django.db import transaction
from django.utils.text import slugify

from inventory.actions.places import ensure_place
from inventory.models import Design, Outlet, Place


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


def change_outlet(outlet: Outlet, *, name: str, is_open: bool) -> Outlet:
    outlet.name, outlet.is_open = name, is_open
    outlet.save(update_fields=["name", "is_open"])
    return outlet


def add_design(*, code: str, name: str, other_words: str = "") -> Design:
    """Add a block design, or return the one that already has the code."""
    design, _ = Design.objects.get_or_create(
        code=code, defaults={"name": name, "other_words": other_words}
    )
    return design
