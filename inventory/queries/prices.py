"""What each outlet asks for an item on a day."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from inventory.models import Item, Outlet, OutletItem
from studio import money


def prices_on(items: Iterable[Item], *, on: date) -> dict[int, list[OutletItem]]:
    """Return each item's newest price at each outlet, as of a day: one query."""
    newest: dict[tuple[int, int], OutletItem] = {}
    prices = (
        OutletItem.objects.filter(
            item__in=[item.pk for item in items], valid_from__lte=on
        )
        .select_related("outlet")
        .order_by("outlet_id", "valid_from")
    )
    for price in prices:
        newest[price.item_id, price.outlet_id] = price
    found: dict[int, list[OutletItem]] = {}
    for price in newest.values():
        found.setdefault(price.item_id, []).append(price)
    return found


def web_prices(items: Iterable[Item], *, on: date) -> dict[int, int]:
    """Return the web price of each item in pence, where it has one: one query."""
    return {
        key: price.price_pence
        for key, prices in prices_on(items, on=on).items()
        for price in prices
        if price.outlet.kind == Outlet.Kind.WEB
    }


def gains_on(items: Iterable[Item], *, on: date) -> dict[int, int]:
    """Return web price less material of each item that has a web price, in pence."""
    by_key = {item.pk: item for item in items}
    return {
        key: pence - money.mills_to_pence(by_key[key].cost_mills)
        for key, pence in web_prices(by_key.values(), on=on).items()
    }
