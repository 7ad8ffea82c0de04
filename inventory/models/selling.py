"""Outlets, their prices, and the sales record by day."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q


class Outlet(models.Model):
    """Where things are sold: web, telephone, post, a fair, a television channel."""

    class Kind(models.TextChoices):
        WEB = "web", "Web"
        PHONE = "phone", "Telephone"
        POST = "post", "Post"
        FAIR = "fair", "Fair"
        TELEVISION = "television", "Television"

    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=12, choices=Kind)
    place = models.ForeignKey(
        "inventory.Place", null=True, blank=True, on_delete=models.PROTECT
    )
    is_open = models.BooleanField(default=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.name


class OutletItem(models.Model):
    """What an outlet asks for an item, from a day on."""

    outlet = models.ForeignKey(Outlet, on_delete=models.PROTECT, related_name="items")
    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="prices"
    )
    price_pence = models.PositiveIntegerField()
    valid_from = models.DateField()
    their_number = models.CharField(max_length=40, blank=True)
    is_open = models.BooleanField(default=True)

    class Meta:
        ordering = ["item", "-valid_from"]
        constraints = [
            models.UniqueConstraint(
                fields=["outlet", "item", "valid_from"], name="one_price_a_day"
            )
        ]

    def __str__(self) -> str:
        return f"{self.item_id} {self.price_pence}p"


class SalesDay(models.Model):
    """How many of an item one outlet sold on one day: the summary of sales.

    Kept as orders come in and taken back with them; the years before this book began
    are typed or pasted in.
    """

    outlet = models.ForeignKey(Outlet, on_delete=models.PROTECT, related_name="+")
    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="sales_days"
    )
    day = models.DateField()
    sold = models.IntegerField(default=0)
    returned = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["day", "item"]
        constraints = [
            models.UniqueConstraint(
                fields=["item", "outlet", "day"], name="one_sales_day_an_outlet"
            )
        ]
        indexes = [models.Index(fields=["item", "day"], name="sales_by_day")]

    def __str__(self) -> str:
        return f"{self.day} {self.item_id}: {self.sold}"


class SpellOut(models.Model):
    """Days on which an item could not be bought although its outlets were open."""

    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="spells_out"
    )
    began_on = models.DateField()
    ended_on = models.DateField(
        null=True, blank=True, help_text="The first day it could be bought again."
    )

    class Meta:
        ordering = ["item", "began_on"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ended_on__isnull=True) | Q(ended_on__gt=F("began_on")),
                name="spell_out_runs_forward",
            )
        ]

    def __str__(self) -> str:
        return f"{self.item_id} out from {self.began_on}"
