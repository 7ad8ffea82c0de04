"""What is sold out at home while some of it is still ours somewhere else."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Sum

from inventory.models import Balance, Item, Place, State


@dataclass(frozen=True)
class OwnedAway:
    """An item with nothing sellable at home and some of it elsewhere, still ours."""

    item: Item
    place: Place
    count: int

    def __str__(self) -> str:
        return (
            f"{self.item.name}: sold out at home, {self.count} owned but "
            f"{lower_first(self.place.name)}. They cannot be promised from here."
        )


def lower_first(words: str) -> str:
    return words[:1].lower() + words[1:]


def sold_out_but_owned() -> list[OwnedAway]:
    """Return what reads nought although it is owned: three queries."""
    away = list(
        Balance.objects.filter(
            item__is_sold=True,
            state=State.SELLABLE,
            count__gt=0,
            place__counts_as_shelf=False,
            place__kind__in=(Place.Kind.CHANNEL, Place.Kind.ON_ITS_WAY),
        )
        .select_related("item", "place")
        .order_by("item__code", "place_id")
    )
    at_home = dict(
        Balance.objects.filter(
            item__in=[balance.item_id for balance in away],
            state=State.SELLABLE,
            place__counts_as_shelf=True,
        )
        .values_list("item_id")
        .annotate(total=Sum("count"))
        .order_by()
    )
    return [
        OwnedAway(balance.item, balance.place, balance.count)
        for balance in away
        if at_home.get(balance.item_id, 0) <= 0
    ]
