"""Order files: how their columns are read, and each row, once."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class FileMatch(models.Model):
    """Which column of a shop's file is which, saved under a name."""

    name = models.CharField(max_length=60, unique=True)
    outlet = models.ForeignKey("inventory.Outlet", on_delete=models.PROTECT)
    columns = models.JSONField(help_text="Our word to the heading in the file.")
    headings_key = models.CharField(
        max_length=64, db_index=True, help_text="Recognises the file by its headings."
    )
    day_order = models.CharField(
        max_length=3,
        choices=[("dmy", "day, month, year"), ("ymd", "year, month, day")],
        default="dmy",
    )

    class Meta:
        ordering = ["name"]
        verbose_name_plural = "file matches"

    def __str__(self) -> str:
        return self.name


class FileRun(models.Model):
    match = models.ForeignKey(FileMatch, on_delete=models.PROTECT, related_name="runs")
    file_name = models.CharField(max_length=160)
    digest = models.CharField(max_length=64)
    headings = models.JSONField(default=list)
    read_at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT
    )
    rows = models.PositiveIntegerField(default=0)
    added = models.PositiveIntegerField(default=0)
    known = models.PositiveIntegerField(default=0)
    refused = models.PositiveIntegerField(default=0)
    request_id = models.UUIDField(unique=True)

    class Meta:
        ordering = ["-read_at", "-id"]

    def __str__(self) -> str:
        return self.file_name


class FileRow(models.Model):
    class Outcome(models.TextChoices):
        ADDED = "added", "Went in"
        KNOWN = "known", "Was here already"
        REFUSED = "refused", "Did not go in"

    run = models.ForeignKey(FileRun, on_delete=models.CASCADE, related_name="read_rows")
    line_number = models.PositiveIntegerField()
    outcome = models.CharField(max_length=8, choices=Outcome)
    reason = models.CharField(max_length=300, blank=True)
    cells = models.JSONField()
    order = models.ForeignKey(
        "orders.Order", null=True, blank=True, on_delete=models.PROTECT
    )

    class Meta:
        ordering = ["line_number", "id"]

    def __str__(self) -> str:
        return f"Line {self.line_number}: {self.outcome}"
