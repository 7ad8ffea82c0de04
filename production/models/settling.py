"""What comes of a selling day afterwards: sales at the stall, and statements."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q


class FairSale(models.Model):
    """One sale at the stall, once, however often the phone sends it.

    What was wrong is not deleted: it is taken back, and both stay to be seen.
    """

    class Paid(models.TextChoices):
        CASH = "cash", "Cash"
        CARD = "card", "Card"

    request_id = models.UUIDField(unique=True)
    line = models.ForeignKey(
        "production.Line", on_delete=models.PROTECT, related_name="fair_sales"
    )
    count = models.PositiveSmallIntegerField(default=1)
    price_pence = models.PositiveIntegerField(help_text="What one was sold for.")
    paid_by = models.CharField(max_length=4, choices=Paid)
    sold_at = models.DateTimeField(help_text="When it happened, by the phone.")
    saved_at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT
    )
    taken_back_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["sold_at", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(count__gt=0), name="sold_at_least_one")
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.line_id} {self.paid_by}"


class Statement(models.Model):
    """What an outlet says it owes for one selling day or several, and what it paid.

    What was sent and sold stands with the lines of those days, and what came home in
    the book of goods; here stands only what the outlet says.
    """

    request_id = models.UUIDField(unique=True)
    outlet = models.ForeignKey(
        "inventory.Outlet", on_delete=models.PROTECT, related_name="statements"
    )
    selling_days = models.ManyToManyField(
        "production.SellingDay", related_name="statements"
    )
    up_to = models.DateField()
    their_number = models.CharField(max_length=40, blank=True)
    paid_pence = models.IntegerField(help_text="Below nought where they ask for money.")
    charges_pence = models.PositiveIntegerField(default=0)
    paid_on = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    entered_at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT
    )

    class Meta:
        ordering = ["-up_to", "-id"]

    def __str__(self) -> str:
        return f"{self.outlet_id} to {self.up_to}"


class StatementLine(models.Model):
    """What a statement says of one product; what it does not say stays empty."""

    statement = models.ForeignKey(
        Statement, on_delete=models.CASCADE, related_name="lines"
    )
    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="statement_lines"
    )
    sold = models.PositiveIntegerField(null=True, blank=True)
    price_pence = models.PositiveIntegerField(null=True, blank=True)
    put_back = models.PositiveIntegerField(
        default=0, help_text="Sent back by customers and on sale there again."
    )
    damaged = models.PositiveIntegerField(
        default=0, help_text="Sent back by customers, and not good."
    )

    class Meta:
        ordering = ["statement", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["statement", "item"], name="one_statement_line_an_item"
            )
        ]

    def __str__(self) -> str:
        return f"{self.item_id} in {self.statement_id}"
