"""The bundles in the book as cloth: their shape, their prints, and how many are here."""

from __future__ import annotations

from django.db import DatabaseError
from django.db.models import QuerySet

from inventory.models import BundleContents
from studio.maths.cloth import (
    FAT_QUARTER,
    FIVE_INCH_SQUARE,
    STRIP,
    TEN_INCH_SQUARE,
    Bundle,
    PreCut,
)
from studio.maths.cutting_plan_reading import ClothUnreadable

SHAPES = {
    BundleContents.Form.FAT_QUARTER.value: FAT_QUARTER,
    BundleContents.Form.STRIP.value: STRIP,
    BundleContents.Form.FIVE_INCH.value: FIVE_INCH_SQUARE,
    BundleContents.Form.TEN_INCH.value: TEN_INCH_SQUARE,
}


def bundle_of(code: str) -> Bundle:
    """Find a bundle by its code. Raises ClothUnreadable, or BundleEmpty."""
    try:
        contents = BundleContents.objects.filter(item__code=code).first()
    except DatabaseError as failed:
        raise ClothUnreadable(
            "There is no book here yet to look the bundle up in. "
            "Start the studio once, or say the size of the cloth with --from."
        ) from failed
    if contents is None:
        raise ClothUnreadable(
            f"No bundle in the book has the code “{code}”. "
            "Look up its code on the page of the bundle."
        )
    return as_cloth(contents, code)


def kept() -> QuerySet[BundleContents]:
    """Give what every bundle in the book holds, with its item, by code."""
    return BundleContents.objects.select_related("item").order_by("item__code")


def as_cloth(contents: BundleContents, name: str) -> Bundle:
    """Give a bundle as cloth, at its own usable size. Raises BundleEmpty."""
    return Bundle(name, shape_of(contents), contents.count, contents.prints)


def shape_of(contents: BundleContents) -> PreCut:
    usual = SHAPES[contents.form]
    width, height = contents.usable_width_inches, contents.usable_length_inches
    return PreCut(usual.name, width, height) if width and height else usual
