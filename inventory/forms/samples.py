"""Forms of the register of samples."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError

from inventory.forms.catalogue import words_field
from inventory.forms.choosing import ItemField, PlaceField, read_code
from inventory.models import Sample
from studio.forms import PoundsField, StudioForm, WholeNumberField

MOST_USES = 4


class SampleForm(StudioForm):
    code = words_field("Code", 20)
    name = words_field("Name", 120)
    place = PlaceField(label="Where it is")
    sewing_hours = WholeNumberField(
        label="Hours of sewing", required=False, highest=999
    )
    use_1 = ItemField(label="Sewn with", required=False)
    use_2 = ItemField(label="And with", required=False)
    use_3 = ItemField(label="And with this", required=False)
    note = words_field("Note", 200, required=False)

    def clean_code(self) -> str:
        code = read_code(str(self.cleaned_data["code"]))
        other = Sample.objects.filter(code__iexact=code).first()
        if other is not None:
            raise ValidationError(
                f"{code} is the code of {other.name}. Choose another code.",
                code="code-taken",
            )
        return code

    def uses(self) -> list[Any]:
        found = (self.cleaned_data.get(f"use_{n}") for n in range(1, MOST_USES))
        return [item for item in found if item is not None]


class MoveSampleForm(StudioForm):
    place = PlaceField(label="Where it goes")


class ReleaseSampleForm(StudioForm):
    price_pence = PoundsField(
        label="Its own price",
        error_messages={
            "required": "Write its price: a sample is sold once, at a price of its own."
        },
    )
