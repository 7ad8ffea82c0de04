"""Chainable filters of orders and packets."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from django.db import models
from django.db.models import Exists, OuterRef, Q

from inventory.models import Item

if TYPE_CHECKING:
    from orders.models import Order, Packet  # noqa: F401  (names for the checker)


class OrderSet(models.QuerySet["Order"]):
    def open(self) -> OrderSet:
        return self.filter(state="open")

    def matching(self, words: str) -> OrderSet:
        """Orders in which each word is a scrap of a number, name, place or item."""
        found = self
        for word in words.split():
            items = Item.objects.filter(
                Q(code__icontains=word) | Q(name__icontains=word)
            )
            found = found.filter(
                Q(number__icontains=word)
                | Q(customer__name__icontains=word)
                | Q(recipient_name__icontains=word)
                | Q(postcode__icontains=word)
                | Q(town__icontains=word)
                # Asked apart: a join would give an order once for each of its lines.
                | Exists(
                    self.model.objects.filter(pk=OuterRef("pk"), lines__item__in=items)
                )
            )
        return found


class PacketSet(models.QuerySet["Packet"]):
    def live(self) -> PacketSet:
        """Packets that are in a run and have not left."""
        return self.filter(state__in=["to-pack", "packed"])

    def of_day(self, *, on: date) -> PacketSet:
        return self.filter(run__day=on)
