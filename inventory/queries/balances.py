"""What is where, now or as of a moment, and the proof that it adds up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Sum

from inventory.models import Balance, Item, Movement, Place, State


@dataclass(frozen=True)
class Held:
    """A number of one item in one place and state."""

    place: Place
    state: str
    count: int

    @property
    def words(self) -> str:
        return str(State(self.state).label).lower()


@dataclass(frozen=True)
class Difference:
    """A kept balance that is not what the movements add up to."""

    item_code: str
    place_name: str
    state: str
    kept: int
    added_up: int

    def __str__(self) -> str:
        return (
            f"{self.item_code}, {self.place_name}, {self.state}: the balance says "
            f"{self.kept}, the movements add up to {self.added_up}."
        )


def held_by_item(items: Iterable[Item]) -> dict[int, list[Held]]:
    """Return what each item has in places of ours, in walking order: one query."""
    held: dict[int, list[Held]] = defaultdict(list)
    balances = (
        Balance.objects.filter(item__in=[item.pk for item in items])
        .exclude(place__kind=Place.Kind.OUTSIDE)
        .exclude(count=0)
        .select_related("place")
        .order_by("place__walk_order", "place_id", "state")
    )
    for balance in balances:
        held[balance.item_id].append(Held(balance.place, balance.state, balance.count))
    return held


def sellable_at_home(items: Iterable[Item]) -> dict[int, int]:
    """Return the sellable count at home of each item: one query."""
    found = {item.pk: 0 for item in items}
    rows = (
        Balance.objects.filter(
            item__in=list(found), state=State.SELLABLE, place__counts_as_shelf=True
        )
        .values_list("item_id")
        .annotate(total=Sum("count"))
    )
    found.update(dict(rows))
    return found


def balance_at(item: Item, place: Place, state: str, *, at: datetime) -> int:
    """Add up an item's movements in and out of a place up to a moment."""
    came = Movement.objects.filter(
        item=item, to_place=place, to_state=state, entry__happened_at__lte=at
    ).aggregate(total=Sum("count"))["total"]
    went = Movement.objects.filter(
        item=item, from_place=place, from_state=state, entry__happened_at__lte=at
    ).aggregate(total=Sum("count"))["total"]
    return (came or 0) - (went or 0)


def added_up() -> dict[tuple[int, int, str], int]:
    """Add up the whole ledger by item, place and state: two covered queries."""
    totals: dict[tuple[int, int, str], int] = defaultdict(int)
    came = Movement.objects.values_list("item_id", "to_place_id", "to_state")
    for item, place, state, total in came.annotate(total=Sum("count")).order_by():
        totals[item, place, state] += total
    went = Movement.objects.values_list("item_id", "from_place_id", "from_state")
    for item, place, state, total in went.annotate(total=Sum("count")).order_by():
        totals[item, place, state] -= total
    return totals


def balance_differences() -> list[Difference]:
    """Return every balance that the ledger does not bear out; none is the promise."""
    totals = added_up()
    kept = {
        (item, place, state): count
        for item, place, state, count in Balance.objects.values_list(
            "item_id", "place_id", "state", "count"
        )
    }
    wrong = sorted(
        key
        for key in totals.keys() | kept.keys()
        if totals.get(key, 0) != kept.get(key, 0)
    )
    items = dict(Item.objects.values_list("pk", "code"))
    places = dict(Place.objects.values_list("pk", "name"))
    return [
        Difference(
            items[item], places[place], state, kept.get(key, 0), totals.get(key, 0)
        )
        for key in wrong
        for item, place, state in [key]
    ]


def below_nought() -> list[tuple[Item, Place, int]]:
    """Return what the book says is there less than not at all: to be asked about."""
    balances = (
        Balance.objects.filter(count__lt=0)
        .exclude(place__kind=Place.Kind.OUTSIDE)
        .select_related("item", "place")
        .order_by("item__code")
    )
    return [(balance.item, balance.place, balance.count) for balance in balances]
