"""Write down cutting layouts: which pieces one sheet gives, and in how long."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from uuid import UUID

from django.db import transaction

from inventory.models import Item
from production.errors import (
    LayoutCodeTaken,
    LayoutCodeUsed,
    LayoutGivesNothing,
    LayoutWasCut,
)
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
    write_gives(layout, gives, by_products)
    return layout


@transaction.atomic
def keep_layout(
    code: str,
    *,
    kept_sheet: str,
    sheet: Item,
    minutes: int,
    gives: Mapping[Item, int],
    request_id: UUID,
    name: str = "",
    by_products: Iterable[Item] = (),
) -> Layout:
    """Keep a sheet that was laid out as a layout, once for each request.

    Raises LayoutCodeUsed and LayoutGivesNothing.
    """
    known = Layout.objects.filter(request_id=request_id).first()
    if known is not None:
        return known
    if minutes <= 0 or not gives or min(gives.values()) <= 0:
        raise LayoutGivesNothing(code)
    if Layout.objects.filter(code__iexact=code).exists():
        raise LayoutCodeUsed(code)
    layout = Layout.objects.create(
        code=code,
        name=name,
        sheet=sheet,
        minutes=minutes,
        kept_sheet=kept_sheet,
        request_id=request_id,
    )
    write_gives(layout, gives, by_products)
    return layout


@transaction.atomic
def change_layout(
    layout: Layout,
    *,
    code: str,
    name: str,
    sheet: Item,
    minutes: int,
    gives: Mapping[Item, int],
    by_products: Iterable[Item] = (),
) -> Layout:
    """Write down otherwise what a layout is and gives.

    Raises LayoutCodeUsed, LayoutGivesNothing, and LayoutWasCut where other counts would
    tell another story of sheets that were cut already.
    """
    layout = Layout.objects.select_for_update().get(pk=layout.pk)
    if minutes <= 0 or not gives or min(gives.values()) <= 0:
        raise LayoutGivesNothing(code)
    if Layout.objects.filter(code__iexact=code).exclude(pk=layout.pk).exists():
        raise LayoutCodeUsed(code)
    known = dict(layout.gives.values_list("piece_id", "count"))
    if layout.logs.exists() and known != {p.pk: n for p, n in gives.items()}:
        raise LayoutWasCut(layout.code)
    layout.code, layout.name = code, name
    layout.sheet, layout.minutes = sheet, minutes
    layout.save(update_fields=["code", "name", "sheet", "minutes"])
    layout.gives.all().delete()
    write_gives(layout, gives, by_products)
    return layout


@transaction.atomic
def take_back_layout(layout_id: int) -> bool:
    """Take a layout out of the book, or lay it aside where something was cut from it.

    Say whether it is gone; a second time finds it gone already.
    """
    layout = Layout.objects.select_for_update().filter(pk=layout_id).first()
    if layout is None:
        return True
    if layout.batches.exists() or layout.logs.exists():
        set_layout_use(layout, is_in_use=False)
        return False
    layout.delete()
    return True


def write_gives(
    layout: Layout, gives: Mapping[Item, int], by_products: Iterable[Item]
) -> None:
    besides = {item.pk for item in by_products}
    LayoutGives.objects.bulk_create(
        LayoutGives(
            layout=layout, piece=piece, count=count, is_by_product=piece.pk in besides
        )
        for piece, count in gives.items()
    )


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
