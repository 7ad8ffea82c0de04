"""Forms for outlets and block designs."""

from __future__ import annotations

from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError

from inventory.forms.catalogue import words_field
from inventory.forms.choosing import read_code
from inventory.models import Design, Outlet
from inventory.queries.blocks import block_called, block_choices
from studio.errors import StudioError
from studio.forms import StudioForm
from studio.maths import block_asking


class OutletForm(StudioForm):
    name = words_field("Name", 80)
    kind = forms.ChoiceField(
        label="Kind",
        choices=Outlet.Kind,
        help_text="For a television channel a place is made for goods still yours.",
    )

    def clean_name(self) -> str:
        name = str(self.cleaned_data["name"]).strip()
        if Outlet.objects.filter(name__iexact=name).exists():
            raise ValidationError(
                f"{name} is among the outlets already. Give this one another name.",
                code="name-taken",
            )
        return name


class OutletChangeForm(StudioForm):
    name = words_field("Name", 80)
    is_open = forms.BooleanField(label="It is open", required=False)


class DesignForm(StudioForm):
    name = words_field("Name", 80)
    code = words_field("Code", 20)
    other_words = words_field("Other words people use for it", 160, required=False)

    def clean_code(self) -> str:
        code = read_code(str(self.cleaned_data["code"]))
        other = Design.objects.filter(code__iexact=code).first()
        if other is not None:
            raise ValidationError(
                f"{code} is the code of {other.name}. Choose another code.",
                code="code-taken",
            )
        return code


class DesignChangeForm(StudioForm):
    """What a design is called, which block it is, and how its patches are made."""

    name = words_field("Name", 80)
    other_words = words_field("Other words people use for it", 160, required=False)
    block = forms.ChoiceField(
        label="Its block",
        required=False,
        error_messages={"invalid_choice": "Choose a block from the list, or none."},
    )
    block_ways = words_field(
        "How its patches are made",
        200,
        required=False,
        help_text=(
            "Empty is the usual way. Otherwise write it as on the page of the block, "
            "such as: flying geese = stitch and flip."
        ),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = cast("forms.ChoiceField", self.fields["block"])
        field.choices = [("", "None"), *block_choices()]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        known = block_called(cleaned.get("block", ""))
        ways = str(cleaned.get("block_ways") or "")
        try:
            if known is not None:
                block_asking.read_ways(known, ways)
        except StudioError as error:
            self.refuse(error, "block_ways")
        if known is None and ways and "block" not in self.errors:
            self.add_error("block", "Choose the block that is made in these ways.")
        return cleaned
