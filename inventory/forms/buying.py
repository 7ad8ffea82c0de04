"""Forms for suppliers, orders to them, and what arrived."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from django import forms
from django.core.exceptions import ValidationError

from inventory.forms.catalogue import words_field
from inventory.forms.choosing import ItemField, SupplierField
from inventory.models import PurchaseLine
from studio.forms import (
    CostField,
    CountField,
    DayField,
    PoundsField,
    StudioForm,
    WholeNumberField,
)


class SupplierForm(StudioForm):
    name = words_field("Name", 80)
    lead_working_days = WholeNumberField(
        label="Working days from order to delivery", initial=5, highest=250
    )
    carriage_pence = PoundsField(label="Usual carriage", initial=0)
    note = words_field("Note", 200, required=False)


class OrderForm(StudioForm):
    supplier = SupplierField(label="Supplier")
    ordered_on = DayField(label="Ordered on")
    expected_on = DayField(label="Expected on", required=False)
    carriage_pence = PoundsField(label="Carriage", initial=0)
    reference = words_field("Their reference", 60, required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        ordered, expected = cleaned.get("ordered_on"), cleaned.get("expected_on")
        if ordered and expected and expected < ordered:
            self.add_error(
                "expected_on",
                ValidationError(
                    "It cannot arrive before it was ordered. Check both days.",
                    code="before-ordered",
                ),
            )
        return cleaned


class OrderLineForm(forms.Form):
    """One line of an order; an empty line is none."""

    use_required_attribute = False

    item = ItemField(label="What", required=False)
    count = CountField(label="How many", required=False)
    price_mills = CostField(label="Price of one", required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not any(cleaned.values()) or self.errors:
            return cleaned
        for name, sentence in (
            ("item", "Write what that is."),
            ("count", "Write how many were ordered."),
            ("price_mills", "Write what one costs; 0 if nothing."),
        ):
            if cleaned.get(name) is None:
                self.add_error(name, ValidationError(sentence, code="left-out"))
        return cleaned


if TYPE_CHECKING:
    OrderLineForms = forms.BaseFormSet[OrderLineForm]
else:
    OrderLineForms = forms.BaseFormSet


class OrderLines(OrderLineForms):
    def clean(self) -> None:
        if not any(self.errors) and not self.lines():
            raise ValidationError("Write at least one line.", code="no-lines")

    def lines(self) -> list[tuple[Any, int, int]]:
        return [
            (found["item"], found["count"], found["price_mills"])
            for form in self.forms
            if (found := form.cleaned_data).get("item")
        ]


OrderLinesFormSet = cast(
    "type[OrderLines]",
    forms.formset_factory(
        OrderLineForm, formset=OrderLines, extra=6, max_num=40, absolute_max=60
    ),
)


class TakeInForm(StudioForm):
    """What came of each line, and how many of those are damaged."""

    def __init__(self, *args: Any, lines: list[PurchaseLine], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lines = lines
        for line in lines:
            self.fields[f"received_{line.pk}"] = CountField(
                label=f"{line.item.name}: came in all", lowest=0, initial=line.ordered
            )
            self.fields[f"damaged_{line.pk}"] = CountField(
                label=f"{line.item.name}: of those, damaged", lowest=0, initial=0
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for line in self.lines:
            received = cleaned.get(f"received_{line.pk}")
            damaged = cleaned.get(f"damaged_{line.pk}")
            if received is not None and damaged is not None and damaged > received:
                self.add_error(
                    f"damaged_{line.pk}",
                    ValidationError(
                        f"{damaged} damaged of {received} received cannot be. "
                        "Count them again, please.",
                        code="more-damaged",
                    ),
                )
        return cleaned

    def received(self) -> dict[int, tuple[int, int]]:
        return {
            line.pk: (
                self.cleaned_data[f"received_{line.pk}"],
                self.cleaned_data[f"damaged_{line.pk}"],
            )
            for line in self.lines
        }
