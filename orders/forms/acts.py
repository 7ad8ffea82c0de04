"""The small forms of what can be done with one order."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from inventory.models import Item
from orders.addresses import Address
from orders.forms.order import AddressField, item_of, text_box
from orders.models import Order, OrderLine
from orders.queries.order_page import sold_items
from studio.days import show_day
from studio.forms import CountField, DayField, PoundsField, StudioForm


class ActForm(StudioForm):
    """The base: knows its order and the moment, and starts from what is known."""

    def __init__(self, *args: Any, order: Order, now: datetime, **kwargs: Any) -> None:
        self.order, self.now = order, now
        super().__init__(*args, **kwargs)


class PayForm(ActForm):
    paid_on = DayField(label="Paid on")


class HoldForm(ActForm):
    until = DayField(label="Hold the goods until")


class NeedByForm(ActForm):
    need_by = DayField(
        label="Needed by",
        required=False,
        help_text="Empty: there is no day to be met.",
    )


class AddressForm(ActForm):
    address = AddressField(
        label="Address", help_text="On lines or with commas, the postcode last."
    )


class GiftForm(ActForm):
    recipient = forms.CharField(label="Sent to", max_length=120)
    address = AddressField(label="Their address")
    card_text = forms.CharField(
        label="Words for the card", max_length=300, required=False, widget=text_box(3)
    )


class CollectionForm(ActForm):
    on = DayField(
        label="Collected on",
        required=False,
        help_text="Empty: post it after all.",
    )
    at = forms.CharField(label="Where", max_length=120, required=False)


class AnswerForm(ActForm):
    answer = forms.CharField(label="The answer", max_length=200, widget=text_box(2))


class PostalClaimForm(ActForm):
    note = forms.CharField(label="What happened", max_length=200)


class CameBackForm(ActForm):
    line = forms.ModelChoiceField(
        OrderLine.objects.none(),
        label="What came back",
        empty_label=None,
        error_messages={"invalid_choice": "Choose a line of this order."},
    )
    count = CountField(label="How many", initial=1)
    refund = PoundsField(
        label="Refund",
        required=False,
        help_text="For all of them; empty: what was paid. Write 0 for none.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        lines: Any = self.fields["line"]
        lines.queryset = self.order.lines.filter(gone__gt=0).select_related("sends")
        lines.label_from_instance = gone_words


class SwapForm(ActForm):
    line = forms.ModelChoiceField(
        OrderLine.objects.none(), label="Instead of", empty_label=None
    )
    item = forms.CharField(
        label="Send",
        max_length=160,
        widget=forms.TextInput(attrs={"list": "items", "autocomplete": "off"}),
    )
    refund = PoundsField(
        label="Refund",
        required=False,
        help_text="For the whole line; empty: the difference to the usual price.",
    )
    overruled_because = forms.CharField(
        label="Promise it anyway, because",
        max_length=200,
        required=False,
        help_text="Only where it cannot be promised.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.items: Mapping[str, Item] = {item.code: item for item in sold_items()}
        lines: Any = self.fields["line"]
        lines.queryset = self.order.lines.select_related("item", "sends")
        lines.label_from_instance = line_words

    def clean_item(self) -> Item:
        typed = self.cleaned_data["item"]
        found = item_of(typed, self.items)
        if found is None:
            raise ValidationError(
                f"There is no item like “{typed[:60]}”. Choose one from the list.",
                code="no-item",
            )
        return found


def line_words(line: OrderLine) -> str:
    return f"{line.owed} × {line.sends.code} {line.sends.name}"


def gone_words(line: OrderLine) -> str:
    return f"{line.gone} × {line.sends.code} {line.sends.name}"


def typed_address(address: Address) -> str:
    """Write an address as she would type it into the box."""
    parts = [*address.lines, address.town, address.postcode, address.country_abroad]
    return "\n".join(part for part in parts if part)


def typed_day(day: Any) -> str:
    return "" if day is None else show_day(day)
