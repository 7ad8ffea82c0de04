"""What a form, a file or the telephone says of one order, before it is in the book."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from inventory.models import Item, Outlet
from orders.addresses import Address
from orders.models import Order


@dataclass(frozen=True)
class AskedLine:
    """How many of an item, at which price each, before any discount."""

    item: Item
    count: int
    price_pence: int


@dataclass(frozen=True)
class Buyer:
    """Who bought, and where the buyer lives: a gift goes elsewhere."""

    name: str
    address: Address
    email: str = ""
    phone: str = ""


@dataclass(frozen=True)
class AskedOrder:
    """One order as asked. `held_until` counts only while payment is awaited."""

    number: str
    outlet: Outlet
    buyer: Buyer
    lines: tuple[AskedLine, ...]
    placed_at: datetime
    paid: str = Order.Paid.PAID
    paid_at: datetime | None = None
    held_until: datetime | None = None
    postage_charged_pence: int = 0
    discount_per_hundred: int = 0
    kind: str = Order.Kind.SALE
    for_order: Order | None = None
    recipient_name: str = ""
    recipient_address: Address | None = None
    is_gift: bool = False
    card_text: str = ""
    need_by: date | None = None
    collect_on: date | None = None
    collect_at: str = ""
    customer_note: str = ""
    overruled_because: str = ""

    @property
    def goes_to(self) -> Address:
        return self.recipient_address or self.buyer.address
