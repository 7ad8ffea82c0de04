"""The joint question: several things at once, at most so many of each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from django import forms
from django.core.exceptions import ValidationError

from inventory.forms.choosing import ItemField
from inventory.queries.joint import Asked
from studio.forms import CountField


class AskLineForm(forms.Form):
    use_required_attribute = False

    item = ItemField(label="What", required=False)
    count = CountField(label="At most how many", required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("count") and not cleaned.get("item") and not self.errors:
            self.add_error("item", ValidationError("Write what that is.", code="left"))
        if cleaned.get("item") and not cleaned.get("count") and not self.errors:
            self.add_error(
                "count", ValidationError("Write at most how many.", code="left")
            )
        return cleaned


if TYPE_CHECKING:
    AskLineForms = forms.BaseFormSet[AskLineForm]
else:
    AskLineForms = forms.BaseFormSet


class AskLines(AskLineForms):
    def clean(self) -> None:
        if any(self.errors):
            return
        codes = [one.item.code for one in self.asked()]
        if not codes:
            raise ValidationError("Write at least one thing.", code="nothing")
        twice = next((code for code in codes if codes.count(code) > 1), None)
        if twice:
            raise ValidationError(
                f"{twice} stands there twice. Write it once, with the whole number.",
                code="twice",
            )

    def asked(self) -> list[Asked]:
        return [
            Asked(form.cleaned_data["item"], form.cleaned_data["count"])
            for form in self.forms
            if form.cleaned_data.get("item")
        ]


AskLinesFormSet = cast(
    "type[AskLines]",
    forms.formset_factory(
        AskLineForm, formset=AskLines, extra=6, max_num=12, absolute_max=12
    ),
)
