"""Suppliers, what they sell, and deliveries: ordered, received, damaged."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q


class Supplier(models.Model):
    name = models.CharField(max_length=80, unique=True)
    lead_working_days = models.PositiveSmallIntegerField(default=5)
    carriage_pence = models.PositiveIntegerField(default=0)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class SupplierItem(models.Model):
    supplier = models.ForeignKey(
        Supplier, on_delete=models.PROTECT, related_name="items"
    )
    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="suppliers"
    )
    price_mills = models.PositiveIntegerField()
    box_size = models.PositiveIntegerField(default=1)
    can_be_bought = models.BooleanField(default=True)

    class Meta:
        ordering = ["supplier", "item"]
        constraints = [
            models.UniqueConstraint(
                fields=["supplier", "item"], name="one_supplier_item"
            ),
            models.CheckConstraint(condition=Q(box_size__gt=0), name="box_not_empty"),
        ]

    def __str__(self) -> str:
        return f"{self.item_id} from {self.supplier_id}"


class Purchase(models.Model):
    """One order to a supplier; landed cost spreads its carriage over what came."""

    supplier = models.ForeignKey(
        Supplier, on_delete=models.PROTECT, related_name="purchases"
    )
    ordered_on = models.DateField()
    expected_on = models.DateField(null=True, blank=True)
    carriage_pence = models.PositiveIntegerField(default=0)
    reference = models.CharField(max_length=60, blank=True)
    received_at = models.DateTimeField(null=True, blank=True)
    request_id = models.UUIDField(unique=True)

    class Meta:
        ordering = ["-ordered_on", "-id"]

    def __str__(self) -> str:
        return f"{self.supplier} {self.ordered_on}"


class PurchaseLine(models.Model):
    purchase = models.ForeignKey(
        Purchase, on_delete=models.CASCADE, related_name="lines"
    )
    item = models.ForeignKey("inventory.Item", on_delete=models.PROTECT)
    ordered = models.PositiveIntegerField()
    received = models.PositiveIntegerField(null=True, blank=True)
    damaged = models.PositiveIntegerField(default=0)
    price_mills = models.PositiveIntegerField()
    landed_mills = models.PositiveIntegerField(
        null=True, blank=True, help_text="Each good one, carriage included."
    )

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(received__isnull=True) | Q(damaged__lte=F("received")),
                name="damaged_within_received",
            )
        ]

    def __str__(self) -> str:
        return f"{self.ordered} × {self.item_id}"
