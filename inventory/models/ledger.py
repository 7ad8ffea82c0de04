"""The ledger: entries of append-only movements between places and states."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.querysets import AppendOnly


class State(models.TextChoices):
    SELLABLE = "sellable", "Sellable"
    SHOW = "show", "Show set"
    INCOMPLETE = "incomplete", "Incomplete"
    SECOND = "second", "Second"
    TO_LOOK_AT = "to-look-at", "To look at"


class Place(models.Model):
    """Where things are, or where they went: "sold" and "made" are places too."""

    class Kind(models.TextChoices):
        SHELF = "shelf", "Shelf"
        DRAWER = "drawer", "Drawer"
        CRATE = "crate", "Crate"
        BAG = "bag", "Bag"
        TRAY = "tray", "Tray"
        CHANNEL = "channel", "At the channel, still ours"
        ON_ITS_WAY = "on-its-way", "On its way"
        OUTSIDE = "outside", "Not ours"

    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=12, choices=Kind)
    counts_as_shelf = models.BooleanField(
        default=True, help_text="Goods here are at home and counted with the shelf."
    )
    walk_order = models.PositiveSmallIntegerField(default=100)

    class Meta:
        ordering = ["walk_order", "name"]

    def __str__(self) -> str:
        return self.name

    @property
    def is_ours(self) -> bool:
        return self.kind != self.Kind.OUTSIDE


class Entry(models.Model):
    """One act of the studio; a correction is another entry that reverses it."""

    class Verb(models.TextChoices):
        OPENED = "opened", "Opening count"
        BOUGHT = "bought", "Taken in"
        CUT = "cut", "Cut"
        MADE_UP = "made-up", "Made up"
        MENDED = "mended", "Mended"
        TAKEN_APART = "taken-apart", "Taken apart"
        SOLD = "sold", "Sold"
        SENT = "sent", "Sent away, still ours"
        CAME_BACK = "came-back", "Came back"
        MOVED = "moved", "Moved"
        REGRADED = "regraded", "Put in another state"
        GIVEN = "given", "Given free"
        SPOILED = "spoiled", "Spoiled"
        COUNTED = "counted", "Counted"
        REVERSED = "reversed", "Taken back"

    request_id = models.UUIDField(unique=True)
    fingerprint = models.CharField(max_length=64)
    verb = models.CharField(max_length=12, choices=Verb)
    reason = models.CharField(max_length=200, blank=True)
    reference = models.CharField(max_length=60, blank=True, db_index=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT
    )
    happened_at = models.DateTimeField(db_index=True)
    recorded_at = models.DateTimeField()
    reverses = models.OneToOneField(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="reversed_by",
    )

    objects = AppendOnly.as_manager()

    class Meta:
        ordering = ["-happened_at", "-id"]
        verbose_name_plural = "entries"

    def __str__(self) -> str:
        return f"{self.get_verb_display()} {self.happened_at:%d %b %H:%M}"


class Movement(models.Model):
    """A whole number of one item going from one place and state to another."""

    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="movements")
    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="movements"
    )
    count = models.PositiveIntegerField()
    from_place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    from_state = models.CharField(max_length=12, choices=State)
    to_place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    to_state = models.CharField(max_length=12, choices=State)

    objects = AppendOnly.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(count__gt=0), name="movement_above_nought"
            ),
            models.CheckConstraint(
                condition=~Q(from_place=F("to_place"), from_state=F("to_state")),
                name="movement_goes_somewhere",
            ),
        ]
        indexes = [
            models.Index(
                fields=["item", "to_place", "to_state", "count"], name="moved_in"
            ),
            models.Index(
                fields=["item", "from_place", "from_state", "count"], name="moved_out"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.item_id}"


class Balance(models.Model):
    """What the movements add up to; kept in the same transaction, never typed."""

    item = models.ForeignKey(
        "inventory.Item", on_delete=models.PROTECT, related_name="balances"
    )
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    state = models.CharField(max_length=12, choices=State)
    count = models.BigIntegerField(default=0)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["item", "place", "state"], name="one_balance_a_place_and_state"
            )
        ]
        indexes = [
            models.Index(fields=["item", "place", "state", "count"], name="balance_all")
        ]

    def __str__(self) -> str:
        return f"{self.item_id} {self.place_id} {self.state}: {self.count}"
