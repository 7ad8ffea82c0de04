"""Samples: kept apart from stock, released once, sold once."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import transaction

from inventory.errors import CodeTaken, SampleHasNoPrice, SampleIsKept
from inventory.models import Item, Place, Sample


@transaction.atomic
def add_sample(
    *,
    code: str,
    name: str,
    place: Place,
    uses: Iterable[Item] = (),
    uses_words: str = "",
    sewing_minutes: int = 0,
    note: str = "",
) -> Sample:
    """Put a finished sample into the register; said twice it is there once."""
    sample, is_new = Sample.objects.get_or_create(
        code=code,
        defaults={
            "name": name,
            "place": place,
            "uses_words": uses_words,
            "sewing_minutes": sewing_minutes,
            "note": note,
        },
    )
    if is_new:
        sample.uses.set(uses)
    elif sample.name != name:
        raise CodeTaken(code, sample.name)
    return sample


def move_sample(sample: Sample, *, place: Place) -> Sample:
    sample.place = place
    sample.save(update_fields=["place"])
    return sample


@transaction.atomic
def release_sample(sample: Sample, *, price_pence: int | None) -> Sample:
    """Let a sample be sold, once, at its own price; it is never counted as stock."""
    sample = Sample.objects.select_for_update().get(pk=sample.pk)
    if not price_pence:
        raise SampleHasNoPrice(sample.code)
    if sample.state not in (Sample.State.KEPT, Sample.State.RELEASED):
        raise SampleIsKept(sample.code)
    sample.state = Sample.State.RELEASED
    sample.price_pence = price_pence
    sample.save(update_fields=["state", "price_pence"])
    return sample


@transaction.atomic
def keep_sample(sample: Sample) -> Sample:
    """Take a released, or mistakenly sold, sample back for showing."""
    sample = Sample.objects.select_for_update().get(pk=sample.pk)
    sample.state = Sample.State.KEPT
    sample.save(update_fields=["state"])
    return sample


@transaction.atomic
def sell_sample(sample: Sample) -> Sample:
    """Sell a released sample; selling it twice changes nothing."""
    sample = Sample.objects.select_for_update().get(pk=sample.pk)
    if sample.state == Sample.State.SOLD:
        return sample
    if sample.state != Sample.State.RELEASED:
        raise SampleIsKept(sample.code)
    sample.state = Sample.State.SOLD
    sample.save(update_fields=["state"])
    return sample
