"""Places: ours are made by her, the outside ones by the ledger itself."""

from __future__ import annotations

from inventory.models import Item, Place

OUTSIDE = {
    "opening": "Opening count",
    "bought": "Bought",
    "made": "Made",
    "used": "Used",
    "sold": "Sold",
    "given": "Given",
    "spoiled": "Spoiled",
    "counted": "Found or missed in a count",
}


def outside_place(code: str) -> Place:
    """Return the place that stands for what is not ours: "sold", "used" and so on."""
    place, _ = Place.objects.get_or_create(
        code=code,
        defaults={
            "name": OUTSIDE[code],
            "kind": Place.Kind.OUTSIDE,
            "counts_as_shelf": False,
        },
    )
    return place


def ensure_place(
    code: str,
    name: str,
    *,
    kind: str = Place.Kind.SHELF,
    counts_as_shelf: bool = True,
    walk_order: int = 100,
) -> Place:
    place, _ = Place.objects.get_or_create(
        code=code,
        defaults={
            "name": name,
            "kind": kind,
            "counts_as_shelf": counts_as_shelf,
            "walk_order": walk_order,
        },
    )
    return place


def home_place(item: Item) -> Place:
    """Return where the item lives; the shelf when nobody has said."""
    return item.home_place or ensure_place("shelf", "Shelf")
