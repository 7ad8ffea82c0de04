"""Write down what the post takes, and for how much from which day on."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from orders.models import PostFormat, PostPrice, PostService, Wrap

# Limits of letters and large letters: Ofcom, "Ask Ofcom", large letter page; of
# parcels: the same operator's size guide, from memory. What a wrap adds and how long
# packing takes: common practice. All of them are hers to change.
WRAPS = (
    ("envelope", "Letter envelope", 5, 6),
    ("mailer", "Card-backed mailer", 30, 45),
    ("box", "Box", 100, 120),
)
LARGE = (3530, 2500, 250)
FORMATS = (
    ("LTR", "Letter", "letter", (2400, 1650, 50), 100, "envelope", 2),
    ("LL100", "Large letter to 100 g", "large-letter", LARGE, 100, "mailer", 4),
    ("LL250", "Large letter to 250 g", "large-letter", LARGE, 250, "mailer", 4),
    ("LL500", "Large letter to 500 g", "large-letter", LARGE, 500, "mailer", 4),
    ("LL750", "Large letter to 750 g", "large-letter", LARGE, 750, "mailer", 4),
    ("SP", "Small parcel", "parcel", (4500, 3500, 1600), 2_000, "box", 6),
    ("MP", "Medium parcel", "parcel", (6100, 4600, 4600), 20_000, "box", 6),
)
SERVICES = (("standard", "Standard", 3), ("next-day", "Next-day", 1))


@transaction.atomic
def lay_out_formats() -> list[PostFormat]:
    """Write the usual sizes and services down where there are none; prices are hers."""
    wraps = {code: wrap_called(code, name, mm, g) for code, name, mm, g in WRAPS}
    for code, name, days in SERVICES:
        PostService.objects.get_or_create(
            code=code, defaults={"name": name, "delivery_days": days}
        )
    if not PostFormat.objects.exists():
        PostFormat.objects.bulk_create(
            PostFormat(
                code=code,
                name=name,
                kind=kind,
                rank=rank,
                longest_tenths_mm=limits[0],
                middle_tenths_mm=limits[1],
                shortest_tenths_mm=limits[2],
                max_grams=grams,
                wrap=wraps[wrap],
                packing_minutes=minutes,
            )
            for rank, (code, name, kind, limits, grams, wrap, minutes) in enumerate(
                FORMATS, start=1
            )
        )
    return list(PostFormat.objects.all())


def wrap_called(code: str, name: str, adds_tenths_mm: int, adds_grams: int) -> Wrap:
    wrap, _ = Wrap.objects.get_or_create(
        code=code,
        defaults={
            "name": name,
            "adds_tenths_mm": adds_tenths_mm,
            "adds_grams": adds_grams,
        },
    )
    return wrap


def set_post_price(
    fmt: PostFormat, *, service: PostService, pence: int, valid_from: date
) -> PostPrice:
    """Write a price that holds from a day on; the same day written again replaces it."""
    price, _ = PostPrice.objects.update_or_create(
        format=fmt,
        service=service,
        valid_from=valid_from,
        defaults={"pence": pence},
    )
    return price
