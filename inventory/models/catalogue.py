"""What the studio keeps: designs, items, parts lists, shapes and bundles."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.urls import reverse

from inventory import pictures
from studio.fields import InchesField


class Design(models.Model):
    """A block family sold in several sizes."""

    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=80)
    other_words = models.CharField(
        max_length=160, blank=True, help_text="What people call it, for the search."
    )
    begun_on = models.DateField(null=True, blank=True)
    block = models.CharField(
        max_length=80, blank=True, help_text="Its block, by its word in an address."
    )
    block_ways = models.CharField(
        max_length=200,
        blank=True,
        help_text="How its patches are made, such as flying geese = stitch and flip.",
    )

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Item(models.Model):
    """Anything counted: a set, a loose piece, a sheet, a booklet, a bundle."""

    class Kind(models.TextChoices):
        TEMPLATE_SET = "set", "Template set"
        SINGLE = "single", "Single piece"
        PIECE = "piece", "Loose piece"
        SHEET = "sheet", "Acrylic sheet"
        BOOKLET = "booklet", "Booklet"
        CONSUMABLE = "consumable", "Consumable"
        BUNDLE = "bundle", "Fabric bundle"
        KIT = "kit", "Kit"
        PATTERN = "pattern", "Pattern"
        GIFT_BOX = "gift", "Gift box set"
        MADE = "made", "Made goods"

    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=12, choices=Kind)
    design = models.ForeignKey(
        Design, null=True, blank=True, on_delete=models.PROTECT, related_name="items"
    )
    finished_size = InchesField(
        null=True, blank=True, help_text="Finished size of the block in inches."
    )
    other_words = models.CharField(max_length=160, blank=True)
    cost_mills = models.PositiveIntegerField(
        default=0, help_text="Material cost in thousandths of a pound."
    )
    grams = models.PositiveIntegerField(null=True, blank=True)
    packed_length_mm = models.PositiveIntegerField(null=True, blank=True)
    packed_width_mm = models.PositiveIntegerField(null=True, blank=True)
    packed_thickness_tenths_mm = models.PositiveIntegerField(null=True, blank=True)
    may_go_as_letter = models.BooleanField(default=False)
    out_of_print = models.BooleanField(
        default=False, help_text="It cannot be bought again."
    )
    home_place = models.ForeignKey(
        "inventory.Place", null=True, blank=True, on_delete=models.PROTECT
    )
    is_sold = models.BooleanField(
        default=False, help_text="It is sold as it is, so that it has a promise."
    )

    class Meta:
        ordering = ["code"]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"

    def get_absolute_url(self) -> str:
        return reverse("inventory:item_show", args=[self.code])

    def picture_svg(self) -> str:
        return pictures.picture_of(self)


class PieceShape(models.Model):
    """The cut outline of one acrylic piece, in exact inches."""

    class Outline(models.TextChoices):
        RECTANGLE = "rectangle", "Square or bar"
        TAPERED = "tapered", "Tapered"

    item = models.OneToOneField(Item, on_delete=models.CASCADE, related_name="shape")
    outline = models.CharField(
        max_length=10, choices=Outline, default=Outline.RECTANGLE
    )
    width_inches = InchesField(help_text="Width; of a tapered piece, its long side.")
    height_inches = InchesField()
    narrow_inches = InchesField(
        null=True, blank=True, help_text="Short side of a tapered piece."
    )
    engraving = models.CharField(max_length=60, blank=True)
    tint = models.CharField(max_length=30, default="clear")

    class Meta:
        ordering = ["item"]

    def __str__(self) -> str:
        return self.engraving or self.item.code


class BundleContents(models.Model):
    """What a fabric bundle holds: form, count, prints and usable size."""

    class Form(models.TextChoices):
        FAT_QUARTER = "fat-quarter", "Fat quarters"
        STRIP = "strip", "2½-inch strips"
        FIVE_INCH = "five-inch", "5-inch squares"
        TEN_INCH = "ten-inch", "10-inch squares"

    item = models.OneToOneField(Item, on_delete=models.CASCADE, related_name="contents")
    form = models.CharField(max_length=12, choices=Form)
    count = models.PositiveSmallIntegerField()
    prints = models.PositiveSmallIntegerField(default=1)
    range_name = models.CharField(max_length=80, blank=True)
    usable_width_inches = InchesField(null=True, blank=True)
    usable_length_inches = InchesField(null=True, blank=True)

    class Meta:
        ordering = ["item"]
        verbose_name_plural = "bundle contents"

    def __str__(self) -> str:
        return f"{self.get_form_display()} × {self.count}"


class PartsList(models.Model):
    """One way of making up an item; the lowest rank is the usual one."""

    item = models.ForeignKey(Item, on_delete=models.CASCADE, related_name="parts_lists")
    name = models.CharField(max_length=80, default="From pieces")
    rank = models.PositiveSmallIntegerField(default=1)
    minutes = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["item", "rank"]
        constraints = [
            models.UniqueConstraint(
                fields=["item", "rank"], name="one_parts_list_a_rank"
            )
        ]

    def __str__(self) -> str:
        return f"{self.item.code}: {self.name}"


class PartsLine(models.Model):
    """A part that making up one takes, or gives back to stock."""

    parts_list = models.ForeignKey(
        PartsList, on_delete=models.CASCADE, related_name="lines"
    )
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="part_of")
    count = models.PositiveIntegerField()
    gives_back = models.BooleanField(default=False)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(count__gt=0), name="parts_line_above_nought"
            ),
            models.UniqueConstraint(
                fields=["parts_list", "item", "gives_back"], name="one_line_a_part"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.item_id}"
