"""Formats, services and prices as data; packets, and the post run."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from orders.querysets import PacketSet


class Wrap(models.Model):
    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=60)
    adds_tenths_mm = models.PositiveIntegerField()
    adds_grams = models.PositiveIntegerField()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.name


class PostFormat(models.Model):
    """A size and weight band; limits are the largest allowed, packed."""

    class Kind(models.TextChoices):
        LETTER = "letter", "letter"
        LARGE_LETTER = "large-letter", "large letter"
        PARCEL = "parcel", "parcel"

    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=60)
    kind = models.CharField(max_length=12, choices=Kind)
    rank = models.PositiveSmallIntegerField(help_text="Smallest first.")
    longest_tenths_mm = models.PositiveIntegerField()
    middle_tenths_mm = models.PositiveIntegerField()
    shortest_tenths_mm = models.PositiveIntegerField()
    max_grams = models.PositiveIntegerField()
    wrap = models.ForeignKey(Wrap, on_delete=models.PROTECT)
    packing_minutes = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["rank"]

    def __str__(self) -> str:
        return self.name

    @property
    def limits_words(self) -> str:
        sides = (
            self.longest_tenths_mm,
            self.middle_tenths_mm,
            self.shortest_tenths_mm,
        )
        millimetres = " × ".join(str(side // 10) for side in sides)
        return f"{millimetres} mm, {self.max_grams:,} g"


class PostService(models.Model):
    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=60)
    delivery_days = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["-delivery_days"]

    def __str__(self) -> str:
        return self.name


class PostPrice(models.Model):
    format = models.ForeignKey(
        PostFormat, on_delete=models.CASCADE, related_name="prices"
    )
    service = models.ForeignKey(PostService, on_delete=models.CASCADE)
    pence = models.PositiveIntegerField()
    valid_from = models.DateField()

    class Meta:
        ordering = ["format", "service", "-valid_from"]
        constraints = [
            models.UniqueConstraint(
                fields=["format", "service", "valid_from"], name="one_post_price_a_day"
            )
        ]

    def __str__(self) -> str:
        return f"{self.format_id} {self.pence}p"


class PostRun(models.Model):
    """The day's packets, frozen when they are printed; their numbers stay."""

    day = models.DateField(unique=True)
    made_at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT
    )
    request_id = models.UUIDField(unique=True)

    class Meta:
        ordering = ["-day", "-id"]

    def __str__(self) -> str:
        return f"Post run of {self.day}"


class Packet(models.Model):
    class State(models.TextChoices):
        TO_PACK = "to-pack", "To pack"
        PACKED = "packed", "Packed"
        POSTED = "posted", "Posted"
        UNDONE = "undone", "Taken out of the run"

    run = models.ForeignKey(PostRun, on_delete=models.PROTECT, related_name="packets")
    number = models.PositiveSmallIntegerField(help_text="Its number in the run.")
    state = models.CharField(max_length=8, choices=State, default=State.TO_PACK)
    short_code = models.CharField(
        max_length=12, unique=True, help_text="Printed under the code on the slip."
    )
    orders = models.ManyToManyField("orders.Order", related_name="packets")
    format = models.ForeignKey(PostFormat, on_delete=models.PROTECT)
    service = models.ForeignKey(PostService, on_delete=models.PROTECT)
    grams = models.PositiveIntegerField()
    thickness_tenths_mm = models.PositiveIntegerField()
    postage_pence = models.PositiveIntegerField(null=True, blank=True)
    minutes = models.PositiveSmallIntegerField()
    part = models.PositiveSmallIntegerField(default=1)
    parts = models.PositiveSmallIntegerField(default=1)
    packed_at = models.DateTimeField(null=True, blank=True)
    packed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    posted_at = models.DateTimeField(null=True, blank=True)
    proof = models.CharField(max_length=60, blank=True)
    entry = models.OneToOneField(
        "inventory.Entry", null=True, blank=True, on_delete=models.PROTECT
    )

    objects = PacketSet.as_manager()

    class Meta:
        ordering = ["run", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["run", "number"], name="one_number_a_packet"
            ),
            models.CheckConstraint(
                condition=Q(part__lte=F("parts")), name="part_of_parts"
            ),
        ]
        # What is still to go is looked for on every page of the post.
        indexes = [models.Index(fields=["state"], name="packets_by_state")]

    def __str__(self) -> str:
        return f"Packet {self.number}"


class PacketLine(models.Model):
    packet = models.ForeignKey(Packet, on_delete=models.CASCADE, related_name="lines")
    order_line = models.ForeignKey(
        "orders.OrderLine", on_delete=models.PROTECT, related_name="packet_lines"
    )
    count = models.PositiveIntegerField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(count__gt=0), name="packet_line_above_nought"
            )
        ]

    def __str__(self) -> str:
        return f"{self.count} of line {self.order_line_id}"
