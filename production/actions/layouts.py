"""Write down cutting layouts: which pieces one sheet gives, and in how long."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from django.db import transaction

from inventory.models import Item
from production.errors import LayoutCodeTaken, LayoutGivesNothing
from production.models import Layout, LayoutGives


@transaction.atomic
def add_layout(
    code: str,
    *,
    sheet: Item,
    minutes: int,
    gives: Mapping[Item, int],
    name: str = "",
    by_products: Iterable[Item] = (),
) -> Layout:
    """Add a layout, or return the one that has the code and gives the same."""
    if minutes <= 0 or not gives or min(gives.values()) <= 0:
        raise LayoutGivesNothing(code)
    layout, is_new = Layout.objects.get_or_create(
        code=code, defaults={"sheet": sheet, "minutes": minutes, "name": name}
    )
    if not is_new:
        return same_layout(layout, minutes, gives)
    besides = {item.pk for item in by_products}
    LayoutGives.objects.bulk_create(
        LayoutGives(
            layout=layout, piece=piece, count=count, is_by_product=piece.pk in besides
        )
        for piece, count in gives.items()
    )
    return layout


def same_layout(layout: Layout, minutes: int, gives: Mapping[Item, int]) -> Layout:
    known = dict(layout.gives.values_list("piece_id", "count"))
    if layout.minutes != minutes or known != {p.pk: n for p, n in gives.items()}:
        raise LayoutCodeTaken(layout.code)
    return layout


def set_layout_use(layout: Layout, *, is_in_use: bool) -> Layout:
    """Lay a cutting file aside, or take it up again; its logs stay."""
    layout.is_in_use = is_in_use
    layout.save(update_fields=["is_in_use"])
    return layout
