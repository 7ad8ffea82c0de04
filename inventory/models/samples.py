"""Finished samples: each one a piece of its own, never stock until released."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models.ledger import Place


class Sample(models.Model):
    class State(models.TextChoices):
        KEPT = "kept", "Kept for showing"
        RELEASED = "released", "Released for sale"
        SOLD = "sold", "Sold"
        GONE = "gone", "Gone"

    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=120)
    uses = models.ManyToManyField("inventory.Item", blank=True, related_name="samples")
    uses_words = models.CharField(max_length=120, blank=True)
    sewing_minutes = models.PositiveIntegerField(default=0)
    place = models.ForeignKey(Place, on_delete=models.PROTECT)
    state = models.CharField(max_length=10, choices=State, default=State.KEPT)
    may_be_sold_from = models.DateField(null=True, blank=True)
    price_pence = models.PositiveIntegerField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["code"]
        constraints = [
            models.CheckConstraint(
                condition=Q(state="kept")
                | Q(state="gone")
                | Q(price_pence__isnull=False),
                name="a_released_sample_has_a_price",
            )
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"
