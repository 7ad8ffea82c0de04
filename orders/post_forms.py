"""What is typed or ticked in the post room."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError

from inventory.models import Item
from orders.models import Packet
from orders.prints.labels import LabelChoice
from studio.forms import StudioForm, WholeNumberField
from studio.label_sheets import KNOWN_SHEETS

NUDGE_STEP_TENTHS_MM = 5
MOST_NUDGE_TENTHS_MM = 30


class PostedForm(StudioForm):
    """The pile that was handed over: all of it, or what is ticked."""

    which = forms.ChoiceField(choices=[("all", "all"), ("ticked", "ticked")])
    packets = forms.ModelMultipleChoiceField(
        queryset=Packet.objects.none(),
        required=False,
        error_messages={
            "invalid_choice": "One of the ticked packets is not in this run. Tick "
            "them again, please.",
            "invalid_pk_value": "One of the ticked packets cannot be read. Tick them "
            "again, please.",
        },
    )
    proof = forms.CharField(
        required=False,
        max_length=60,
        label="Number of the counter’s receipt",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={
            "max_length": "That number is longer than 60 signs. Shorten it, please."
        },
    )

    def __init__(self, *args: Any, live: Iterable[Packet] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.live = list(live)
        keys = [packet.pk for packet in self.live]
        field = cast("forms.ModelMultipleChoiceField[Packet]", self.fields["packets"])
        field.queryset = Packet.objects.filter(pk__in=keys)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        ticked = cleaned.get("packets")
        if cleaned.get("which") == "ticked" and not self.errors and not ticked:
            raise ValidationError("No packet is ticked. Tick those that were posted.")
        return cleaned

    @property
    def chosen(self) -> list[Packet]:
        if self.cleaned_data["which"] == "all":
            return self.live
        return list(self.cleaned_data["packets"])


class LacksForm(StudioForm):
    """Which thing of a packet could not be found."""

    item = forms.ModelChoiceField(
        queryset=Item.objects.none(),
        error_messages={
            "required": "Say which thing could not be found.",
            "invalid_choice": "That thing is not in this packet. Choose again, please.",
        },
    )

    def __init__(self, *args: Any, packet: Packet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = cast("forms.ModelChoiceField[Item]", self.fields["item"])
        field.queryset = Item.objects.filter(
            pk__in=packet.lines.values("order_line__sends")
        )


class ToldForm(StudioForm):
    """What a customer was told."""

    about = forms.CharField(max_length=40, widget=forms.HiddenInput)
    text = forms.CharField(
        widget=forms.Textarea,
        error_messages={"required": "Keep the words that were sent, please."},
    )


def nudge_words(tenths_mm: int) -> str:
    whole, tenth = divmod(abs(tenths_mm), 10)
    sign = "−" if tenths_mm < 0 else "+"
    return f"{sign}{whole}.{tenth} mm" if tenths_mm else "as it is"


def nudges() -> list[tuple[int, str]]:
    most = MOST_NUDGE_TENTHS_MM
    return [(n, nudge_words(n)) for n in range(-most, most + 1, NUDGE_STEP_TENTHS_MM)]


class LabelsForm(forms.Form):
    """Which sheet of labels, from which label on, and how far the printer is off."""

    use_required_attribute = False

    sheet = forms.ChoiceField(
        choices=[(name, name.replace("x", " × ")) for name in KNOWN_SHEETS],
        label="Sheet, labels across × down",
    )
    first = WholeNumberField(lowest=1, highest=65, label="First free label")
    across = forms.TypedChoiceField(
        choices=nudges, coerce=int, label="Move everything to the right by"
    )
    down = forms.TypedChoiceField(
        choices=nudges, coerce=int, label="Move everything down by"
    )
    outline = forms.BooleanField(
        required=False, label="Print only numbered outlines, to test on plain paper"
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        sheet, first = cleaned.get("sheet"), cleaned.get("first")
        if sheet and first and first > KNOWN_SHEETS[sheet].count:
            count = KNOWN_SHEETS[sheet].count
            self.add_error(
                "first",
                f"This sheet has {count} labels, so there is no label {first}. "
                f"Choose a place from 1 to {count}.",
            )
        return cleaned

    @property
    def choice(self) -> LabelChoice:
        return LabelChoice(
            sheet=KNOWN_SHEETS[self.cleaned_data["sheet"]],
            first=self.cleaned_data["first"],
            nudge_x_tenths_mm=self.cleaned_data["across"],
            nudge_y_tenths_mm=self.cleaned_data["down"],
            is_test=self.cleaned_data["outline"],
        )


LABEL_DEFAULTS = {"sheet": "3x7", "first": 1, "across": 0, "down": 0}
