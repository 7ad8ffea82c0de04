"""A plan kept as it was given: a frozen, explained answer to look back on."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Plan(models.Model):
    class Kind(models.TextChoices):
        SHEETS = "sheets", "Sheets to cut"
        SIZES = "sizes", "Sizes to make next"

    kind = models.CharField(max_length=8, choices=Kind)
    selling_day = models.ForeignKey(
        "production.SellingDay",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="plans",
    )
    made_at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT
    )
    asked = models.JSONField(help_text="The facts the answer was worked from.")
    answer = models.JSONField(help_text="The whole answer with its reasons.")
    chosen_at = models.DateTimeField(null=True, blank=True)
    request_id = models.UUIDField(unique=True)

    class Meta:
        ordering = ["-made_at", "-id"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.made_at:%d %b %H:%M}"
