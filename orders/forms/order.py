"""The form of an order that is typed in, with its lines."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from inventory.models import Item, Outlet
from inventory.queries.search import items_like
from orders.actions import AskedLine, AskedOrder, Buyer
from orders.addresses import Address, parse_one_line
from orders.models import Order
from studio.days import at_clock
from studio.forms import (
    ClockField,
    CountField,
    DayField,
    PoundsField,
    StudioForm,
    read_with,
)

LINES_AT_FIRST = 4
MOST_LINES = 60
MOST_MEANT = 3
PAID_WORDS = [
    (Order.Paid.PAID, "It is paid."),
    (Order.Paid.AWAITED, "Payment is awaited; hold the goods for a week."),
    (Order.Paid.FREE, "It is sent without charge."),
]
LONGEST_PARTS = {"town": 60, "postcode": 12, "country": 60}


def text_box(rows: int) -> forms.Textarea:
    return forms.Textarea(attrs={"rows": rows})


class AddressField(forms.CharField):
    """An address in one box, on lines or with commas; read as its parts."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", text_box(4))
        kwargs.setdefault("max_length", 600)
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> Any:
        typed = super().to_python(value)
        return read_with(parse_one_line, typed) if typed else None

    def run_validators(self, value: Any) -> None:
        """Let every part find its room; the parts are already read."""
        if value is None:
            return
        for part, longest in LONGEST_PARTS.items():
            text = getattr(value, part)
            if len(text) > longest:
                raise ValidationError(
                    f"“{text[:30]}…” is too long for one line of an address. "
                    "Write it on two lines.",
                    code="too-long",
                )

    def validate(self, value: Any) -> None:
        if value is None and self.required:
            raise ValidationError(self.error_messages["required"], code="required")


def item_of(typed: str, items: Mapping[str, Item]) -> Item | None:
    """Find an item by its code, alone or before its name, or by its whole name."""
    tidy = " ".join(typed.split()).casefold()
    first = tidy.split(" ")[0] if tidy else ""
    by_name = {item.name.casefold(): item for item in items.values()}
    by_code = {code.casefold(): item for code, item in items.items()}
    return by_code.get(tidy) or by_name.get(tidy) or by_code.get(first)


def meant_words(typed: str, items: Mapping[str, Item]) -> str:
    """Offer what a scrap may mean; to guess could send the wrong goods."""
    among = Item.objects.filter(pk__in=[item.pk for item in items.values()])
    meant = items_like(typed, among).order_by("name", "code")[: MOST_MEANT + 1]
    if not 0 < len(meant) <= MOST_MEANT:
        return "Choose one from the list."
    return f"Did you mean {' or '.join(f'{one.code} ({one.name})' for one in meant)}?"


class OrderForm(StudioForm):
    """Everything about an order but its lines."""

    number = forms.CharField(label="Order number", max_length=40)
    outlet = forms.ModelChoiceField(
        Outlet.objects.none(), label="It came by", empty_label=None
    )
    placed_on = DayField(label="Placed on")
    placed_time = ClockField(label="At", required=False)
    buyer = forms.CharField(label="Name", max_length=120)
    address = AddressField(
        label="Address",
        help_text="On lines or with commas, the postcode last.",
    )
    email = forms.EmailField(label="E-mail", required=False)
    phone = forms.CharField(label="Telephone", max_length=40, required=False)
    paid = forms.ChoiceField(
        label="Is it paid?", choices=PAID_WORDS, widget=forms.RadioSelect
    )
    postage = PoundsField(label="Postage charged", required=False)
    discount = forms.IntegerField(
        label="Discount in a hundred",
        min_value=0,
        max_value=100,
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages={
            "invalid": "Write a whole number from 0 to 100.",
            "min_value": "Write a whole number from 0 to 100.",
            "max_value": "Write a whole number from 0 to 100.",
        },
    )
    need_by = DayField(label="Needed by", required=False)
    is_gift = forms.BooleanField(
        label="It is a gift: no prices on any paper.", required=False
    )
    recipient = forms.CharField(label="Sent to", max_length=120, required=False)
    recipient_address = AddressField(label="Their address", required=False)
    card_text = forms.CharField(
        label="Words for the card",
        max_length=300,
        required=False,
        widget=text_box(2),
    )
    note = forms.CharField(
        label="What the customer wrote",
        max_length=2000,
        required=False,
        widget=text_box(2),
    )
    overruled_because = forms.CharField(
        label="Promise them anyway, because",
        max_length=200,
        required=False,
        help_text="Only where more is asked for than can be promised.",
    )

    def __init__(self, *args: Any, now: datetime, **kwargs: Any) -> None:
        self.now = now
        super().__init__(*args, **kwargs)
        outlets: Any = self.fields["outlet"]
        outlets.queryset = Outlet.objects.filter(is_open=True)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("recipient") and not cleaned.get("recipient_address"):
            self.add_error(
                "recipient_address",
                ValidationError(
                    "It is sent to somebody else, but there is no address for them.",
                    code="no-address",
                ),
            )
        return cleaned

    def placed_at(self) -> datetime:
        day: date = self.cleaned_data["placed_on"]
        clock = self.cleaned_data.get("placed_time")
        if clock is None:
            return min(self.now, at_clock(day, self.now.timetz()))
        return at_clock(day, clock)

    def asked(self, lines: Iterable[AskedLine]) -> AskedOrder:
        """Put the order together as an action takes it."""
        said = self.cleaned_data
        address: Address = said["address"]
        free = said["paid"] == Order.Paid.FREE
        return AskedOrder(
            number=said["number"],
            outlet=said["outlet"],
            buyer=Buyer(said["buyer"], address, said["email"], said["phone"]),
            lines=tuple(lines),
            placed_at=self.placed_at(),
            paid=said["paid"],
            postage_charged_pence=said["postage"] or 0,
            discount_per_hundred=said["discount"] or 0,
            kind=Order.Kind.GOODWILL if free else Order.Kind.SALE,
            recipient_name=said["recipient"],
            recipient_address=said["recipient_address"],
            is_gift=said["is_gift"],
            card_text=said["card_text"],
            need_by=said["need_by"],
            customer_note=said["note"],
            overruled_because=said["overruled_because"],
        )


class LineForm(forms.Form):
    """One line of a typed order; an empty one is left out."""

    use_required_attribute = False

    item = forms.CharField(
        label="Item",
        required=False,
        max_length=160,
        widget=forms.TextInput(attrs={"list": "items", "autocomplete": "off"}),
    )
    count = CountField(label="How many", required=False)
    price = PoundsField(label="Price each", required=False)

    def __init__(self, *args: Any, items: Mapping[str, Item], **kwargs: Any) -> None:
        self.items = items
        super().__init__(*args, **kwargs)

    def clean_item(self) -> Item | None:
        typed = self.cleaned_data["item"]
        if not typed:
            return None
        found = item_of(typed, self.items)
        if found is None:
            raise ValidationError(
                f"There is no item like “{typed[:60]}”. {meant_words(typed, self.items)}",
                code="no-item",
            )
        return found

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        has_count = cleaned.get("count") or cleaned.get("price") is not None
        if has_count and not cleaned.get("item") and "item" not in self.errors:
            self.add_error(
                "item",
                ValidationError(
                    "It does not say what of. Choose an item.", code="what"
                ),
            )
        return cleaned

    @property
    def is_used(self) -> bool:
        return bool(self.cleaned_data.get("item"))


def line_start(start: Mapping[str, Any], place: int) -> dict[str, Any]:
    """Pick what a line's boxes held before from all that was sent."""
    names = ("item", "count", "price")
    return {name: start.get(f"line{place}-{name}", "") for name in names}


@dataclass(frozen=True)
class LineForms:
    """The lines of one order form, as many as were sent."""

    forms: tuple[LineForm, ...]

    @classmethod
    def of(
        cls,
        sent: Mapping[str, Any] | None,
        items: Mapping[str, Item],
        *,
        start: Mapping[str, Any],
        more: int = 0,
    ) -> LineForms:
        """Read the lines that were sent, or show those to start with and some more."""
        told = str((start if sent is None else sent).get("lines", ""))
        known = int(told) if told.isdecimal() and len(told) < 4 else LINES_AT_FIRST
        count = max(1, min(known + more, MOST_LINES))
        return cls(
            tuple(
                LineForm(
                    sent,
                    items=items,
                    prefix=f"line{place}",
                    initial=line_start(start, place),
                )
                for place in range(count)
            )
        )

    def __iter__(self) -> Any:
        return iter(self.forms)

    def __len__(self) -> int:
        return len(self.forms)

    def are_valid(self) -> bool:
        # Each is asked, so that every line shows what is wrong with it.
        return False not in {form.is_valid() for form in self.forms}

    @property
    def errors(self) -> list[tuple[str, str, str]]:
        """Return what is wrong on each line: its box, its number and the sentence."""
        return [
            (form[name].id_for_label, f"Line {place}", str(sentence))
            for place, form in enumerate(self.forms, start=1)
            for name, sentences in form.errors.items()
            for sentence in sentences
        ]

    @property
    def used(self) -> list[LineForm]:
        return [form for form in self.forms if form.is_used]

    def asked(self, prices: Mapping[int, int], *, free: bool) -> list[AskedLine]:
        """Return the lines; one without a price takes the usual one, free none."""
        lines = []
        for form in self.used:
            said = form.cleaned_data
            item: Item = said["item"]
            usual = 0 if free else prices.get(item.pk)
            price = usual if said["price"] is None else said["price"]
            if price is None:
                form.add_error(
                    "price",
                    ValidationError(
                        f"{item.code} has no price here yet. Write one.", code="price"
                    ),
                )
                continue
            lines.append(AskedLine(item, said["count"] or 1, price))
        return lines
