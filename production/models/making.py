"""Cutting layouts, batches, and what came off the cutter."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q


class Layout(models.Model):
    """A saved cutting file: which pieces one sheet gives, and in how long."""

    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=120, blank=True)
    sheet = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="layouts"
    )
    minutes = models.PositiveSmallIntegerField()
    setup_minutes = models.PositiveSmallIntegerField(
        default=0,
        help_text="Once in each session that cuts it, before the first sheet.",
    )
    is_in_use = models.BooleanField(default=True)
    kept_sheet = models.TextField(
        blank=True, help_text="Where each piece lies, as studio.maths.sheets keeps it."
    )
    request_id = models.UUIDField(null=True, blank=True, unique=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(minutes__gt=0), name="a_layout_takes_minutes"
            )
        ]

    def __str__(self) -> str:
        return self.code


class LayoutGives(models.Model):
    layout = models.ForeignKey(Layout, on_delete=models.CASCADE, related_name="gives")
    piece = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="layouts_giving"
    )
    count = models.PositiveSmallIntegerField()
    is_by_product = models.BooleanField(default=False)

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "layout gives"
        constraints = [
            models.UniqueConstraint(
                fields=["layout", "piece"], name="one_line_a_piece_of_a_layout"
            ),
            models.CheckConstraint(
                condition=Q(count__gt=0), name="a_layout_gives_something"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.layout_id}: {self.count} × {self.piece_id}"


class Batch(models.Model):
    """Work meant to be done: sheets to cut, sets to make up, a sample to sew."""

    class Kind(models.TextChoices):
        CUTTING = "cutting", "Cutting"
        MAKING_UP = "making-up", "Making up"
        SEWING = "sewing", "Sewing a sample"

    class State(models.TextChoices):
        PLANNED = "planned", "Planned"
        DONE = "done", "Done"
        DROPPED = "dropped", "Dropped"

    kind = models.CharField(max_length=10, choices=Kind)
    state = models.CharField(
        max_length=8, choices=State, default=State.PLANNED, db_index=True
    )
    layout = models.ForeignKey(
        Layout, null=True, blank=True, on_delete=models.PROTECT, related_name="batches"
    )
    item = models.ForeignKey(
        "inventory.Item",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="batches",
    )
    sample = models.ForeignKey(
        "inventory.Sample", null=True, blank=True, on_delete=models.PROTECT
    )
    count = models.PositiveIntegerField(help_text="Sheets, sets or samples.")
    done = models.PositiveIntegerField(default=0)
    minutes = models.PositiveIntegerField(default=0)
    session = models.ForeignKey(
        "studio.WorkSession",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="batches",
    )
    selling_day = models.ForeignKey(
        "production.SellingDay",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="batches",
    )
    plan = models.ForeignKey(
        "production.Plan",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="batches",
    )
    made_at = models.DateTimeField()
    reason = models.CharField(max_length=200, blank=True)
    request_id = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering = ["session__day", "id"]
        verbose_name_plural = "batches"
        constraints = [
            models.CheckConstraint(condition=Q(count__gt=0), name="batch_above_nought"),
            models.CheckConstraint(
                condition=~Q(kind="cutting") | Q(layout__isnull=False),
                name="cutting_has_a_layout",
            ),
            models.CheckConstraint(
                condition=~Q(kind="making-up") | Q(item__isnull=False),
                name="making_up_has_an_item",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.count}"

    @property
    def left(self) -> int:
        return max(0, self.count - self.done)


class CuttingLog(models.Model):
    """Sheets that came off the cutter, once, however often the phone sends it."""

    class MinutesCalled(models.TextChoices):
        UNASKED = "", "Nothing said"
        RIGHT = "right", "Right, though odd"
        WRONG = "wrong", "A wrong figure"

    request_id = models.UUIDField(unique=True)
    layout = models.ForeignKey(Layout, on_delete=models.PROTECT, related_name="logs")
    batch = models.ForeignKey(
        Batch, null=True, blank=True, on_delete=models.PROTECT, related_name="logs"
    )
    session = models.ForeignKey(
        "studio.WorkSession",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="logs",
    )
    sheets = models.PositiveSmallIntegerField()
    logged_at = models.DateTimeField(help_text="When it happened, by the phone.")
    saved_at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT
    )
    minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    minutes_called = models.CharField(
        max_length=5,
        choices=MinutesCalled,
        blank=True,
        default=MinutesCalled.UNASKED,
        help_text="What she said of odd minutes; wrong ones teach nothing.",
    )
    entry = models.OneToOneField("inventory.Entry", on_delete=models.PROTECT)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["-logged_at", "-id"]

    def __str__(self) -> str:
        return f"{self.sheets} × {self.layout_id}"


class SpoiledPieces(models.Model):
    """Pieces of a log that were not good; a sound scratched one is a second."""

    class Reason(models.TextChoices):
        CRACKED = "cracked", "Cracked"
        SCRATCHED = "scratched", "Scratched but sound"
        WRONG_TEXT = "wrong-text", "Wrong text"
        WRONG_SIZE = "wrong-size", "Wrong size"
        OTHER = "other", "Something else"

    log = models.ForeignKey(
        CuttingLog, on_delete=models.CASCADE, related_name="spoiled"
    )
    piece = models.ForeignKey("inventory.Item", on_delete=models.PROTECT)
    count = models.PositiveSmallIntegerField()
    reason = models.CharField(max_length=12, choices=Reason)
    where = models.CharField(max_length=60, blank=True)

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "spoiled pieces"
        constraints = [
            models.CheckConstraint(condition=Q(count__gt=0), name="spoiled_something")
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.piece_id} {self.reason}"

    @property
    def is_second(self) -> bool:
        return self.reason == self.Reason.SCRATCHED


class MakingUpLog(models.Model):
    """Sets made up from pieces, once."""

    request_id = models.UUIDField(unique=True)
    item = models.ForeignKey("inventory.Item", on_delete=models.PROTECT)
    batch = models.ForeignKey(
        Batch, null=True, blank=True, on_delete=models.PROTECT, related_name="made_up"
    )
    count = models.PositiveIntegerField()
    logged_at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT
    )
    entry = models.OneToOneField("inventory.Entry", on_delete=models.PROTECT)

    class Meta:
        ordering = ["-logged_at", "-id"]

    def __str__(self) -> str:
        return f"{self.count} × {self.item_id}"
