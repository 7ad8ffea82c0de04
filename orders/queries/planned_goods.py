"""When more of an item will be made: told by the wiring, for orders know no bench."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime

from orders.queries.open_orders import Expected

PlannedGoods = Callable[[datetime], Mapping[str, Expected]]


def nothing_planned(_now: datetime) -> Mapping[str, Expected]:
    return {}


_told: list[PlannedGoods] = [nothing_planned]


def declare(planned: PlannedGoods) -> None:
    """Say who knows, by item code, when more will be made."""
    _told[0] = planned


def planned_goods(now: datetime) -> Mapping[str, Expected]:
    return _told[0](now)
