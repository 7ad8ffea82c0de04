"""Future lines: claims (promised out) and arrivals (expected in)."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.querysets import ClaimSet


class Claim(models.Model):
    """Goods promised out. One whose `until` has passed no longer counts when read."""

    class Kind(models.TextChoices):
        PAID = "paid", "Paid, not gone"
        HOLD = "hold", "Hold"
        KEPT = "kept", "Kept for"
        BUFFER = "buffer", "Buffer"

    class ClosedHow(models.TextChoices):
        GONE = "gone", "The goods went out"
        RELEASED = "released", "Released"
        LAPSED = "lapsed", "Lapsed"
        DRAWN = "drawn", "Drawn by another claim"
        SWAPPED = "swapped", "Swapped for something else"

    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="claims"
    )
    count = models.PositiveIntegerField()
    kind = models.CharField(max_length=8, choices=Kind)
    label = models.CharField(max_length=120, help_text="For whom or what, in words.")
    reference = models.CharField(max_length=60, blank=True, db_index=True)
    outlet = models.ForeignKey(
        "inventory.Outlet", null=True, blank=True, on_delete=models.PROTECT
    )
    ranks_at = models.DateTimeField(help_text="First paid, first served: paid when.")
    opened_at = models.DateTimeField()
    until = models.DateTimeField(null=True, blank=True)
    wanted_on = models.DateField(null=True, blank=True)
    drawn_from = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="draws"
    )
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_how = models.CharField(max_length=10, choices=ClosedHow, blank=True)
    overruled_because = models.CharField(max_length=200, blank=True)
    request_id = models.UUIDField(unique=True)

    objects = ClaimSet.as_manager()

    class Meta:
        ordering = ["ranks_at", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(count__gt=0), name="claim_above_nought"),
            models.CheckConstraint(
                condition=~Q(kind="hold") | Q(until__isnull=False),
                name="every_hold_ends",
            ),
        ]
        indexes = [
            # Not a partial index: SQLite, which keeps no statistics here, would take
            # the index on the item alone and read ten years of closed claims.
            models.Index(fields=["item", "closed_at"], name="live_claims")
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.item_id} {self.kind} {self.label}"


class Arrival(models.Model):
    """Goods expected in by a day, from a supplier, a batch or a channel."""

    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="arrivals"
    )
    count = models.PositiveIntegerField()
    expected_on = models.DateField()
    source = models.CharField(max_length=120)
    reference = models.CharField(max_length=60, blank=True, db_index=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    request_id = models.UUIDField(unique=True)

    class Meta:
        ordering = ["expected_on", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(count__gt=0), name="arrival_above_nought"
            )
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.item_id} on {self.expected_on}"


class Enquiry(models.Model):
    """Somebody asked for something; logged in two taps."""

    design = models.ForeignKey(
        "inventory.Design", null=True, blank=True, on_delete=models.PROTECT
    )
    item = models.ForeignKey(
        "inventory.Item", null=True, blank=True, on_delete=models.PROTECT
    )
    words = models.CharField(max_length=160, blank=True)
    asked_at = models.DateTimeField()
    request_id = models.UUIDField(unique=True)

    class Meta:
        ordering = ["-asked_at"]
        verbose_name_plural = "enquiries"

    def __str__(self) -> str:
        return self.words or str(self.item or self.design)
