"""Counts, and which piece each incomplete set lacks."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.models.ledger import Entry, Place, State


class Count(models.Model):
    """What was found, compared with the moment it was counted, not saved."""

    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="counts"
    )
    place = models.ForeignKey(Place, on_delete=models.PROTECT)
    state = models.CharField(max_length=12, choices=State, default=State.SELLABLE)
    found = models.PositiveIntegerField()
    expected = models.BigIntegerField()
    counted_at = models.DateTimeField()
    saved_at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT
    )
    reason = models.CharField(max_length=200, blank=True)
    entry = models.OneToOneField(Entry, null=True, blank=True, on_delete=models.PROTECT)
    request_id = models.UUIDField(unique=True)

    class Meta:
        ordering = ["-counted_at", "-id"]

    def __str__(self) -> str:
        return f"{self.item_id}: {self.found}"

    @property
    def difference(self) -> int:
        return self.found - self.expected


class IncompleteSet(models.Model):
    """One opened set that lacks a piece until it is mended or taken apart."""

    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="incomplete_sets"
    )
    place = models.ForeignKey(Place, on_delete=models.PROTECT)
    why = models.CharField(max_length=160, blank=True)
    since = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    marked_by = models.OneToOneField(
        Entry,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="marked_incomplete",
    )
    ended_by = models.OneToOneField(
        Entry, null=True, blank=True, on_delete=models.PROTECT, related_name="ended"
    )

    class Meta:
        ordering = ["since", "id"]

    def __str__(self) -> str:
        return f"{self.item_id} {self.why}"


class Lack(models.Model):
    incomplete_set = models.ForeignKey(
        IncompleteSet, on_delete=models.CASCADE, related_name="lacks"
    )
    piece = models.ForeignKey("inventory.Item", on_delete=models.PROTECT)
    count = models.PositiveSmallIntegerField(default=1)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=Q(count__gt=0), name="lacks_something")
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.piece_id}"
