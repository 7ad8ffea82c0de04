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
        indexes = [
            models.Index(fields=["item", "day"], name="sales_by_day"),
            # When the record begins is asked on each page that judges sizes.
            models.Index(fields=["day"], name="sales_days_in_order"),
        ]

    def __str__(self) -> str:
        return f"{self.day} {self.item_id}: {self.sold}"


class SaleReturn(models.Model):
    """Goods sold that came back, once, however often it is said.

    They come off the day of their sale. A return that was wrong is not deleted: it is
    taken back, and stays to be seen.
    """

    request_id = models.UUIDField(unique=True)
    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="sale_returns"
    )
    outlet = models.ForeignKey(Outlet, on_delete=models.PROTECT, related_name="+")
    day = models.DateField(help_text="The day of the sale, not of the return.")
    count = models.PositiveIntegerField()
    reference = models.CharField(max_length=60, blank=True, db_index=True)
    entry = models.ForeignKey(
        "inventory.Entry",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="sale_returns",
    )
    came_at = models.DateTimeField()
    taken_back_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["came_at", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(count__gt=0), name="sale_return_above_nought"
            )
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.item_id} sold {self.day} came back"


class OccasionSales(models.Model):
    """What a slot or a fair sold of an item, as it stands in the sales of its day.

    Kept so that figures saved again, or corrected, change those sales by the
    difference only. `already` of them stood there before: years typed in.
    """

    reference = models.CharField(max_length=60)
    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="occasion_sales"
    )
    outlet = models.ForeignKey(Outlet, on_delete=models.PROTECT, related_name="+")
    day = models.DateField()
    sold = models.PositiveIntegerField(default=0)
    already = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["day", "id"]
        verbose_name_plural = "occasion sales"
        constraints = [
            models.UniqueConstraint(
                fields=["reference", "item"], name="one_sum_an_occasion"
            )
        ]

    def __str__(self) -> str:
        return f"{self.sold} × {self.item_id} on {self.reference}"


class ClosedSpell(models.Model):
    """Days on which an outlet was closed: nobody could buy there, whatever lay here."""

    outlet = models.ForeignKey(
        Outlet, on_delete=models.PROTECT, related_name="closed_spells"
    )
    began_on = models.DateField()
    ended_on = models.DateField(
        null=True, blank=True, help_text="The first day it was open again."
    )

    class Meta:
        ordering = ["outlet", "began_on"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ended_on__isnull=True) | Q(ended_on__gt=F("began_on")),
                name="closed_spell_runs_forward",
            )
        ]

    def __str__(self) -> str:
        return f"{self.outlet_id} closed from {self.began_on}"


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
