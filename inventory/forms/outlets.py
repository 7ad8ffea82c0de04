"""Forms for outlets and block designs."""

from __future__ import annotations

from django import forms
from django.core.exceptions import ValidationError

from inventory.forms.catalogue import words_field
from inventory.forms.choosing import read_code
from inventory.models import Design, Outlet
from studio.forms import StudioForm


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
