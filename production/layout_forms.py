"""Forms in which a cutting layout is written down: its sheet, its minutes, its pieces."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any, cast

from django import forms
from django.core.exceptions import ValidationError

from inventory.forms.choosing import ItemField, read_code
from inventory.models import Item
from production.bench_forms import MOST_MINUTES
from production.models import Layout
from studio.forms import CountField, StudioForm, WholeNumberField

LINES_AT_FIRST = 6
MOST_A_SHEET = 500

if TYPE_CHECKING:
    SheetField = forms.ModelChoiceField[Item]
    GivesForms = forms.BaseFormSet["GivesForm"]
else:
    SheetField = forms.ModelChoiceField
    GivesForms = forms.BaseFormSet


class SheetChoice(SheetField):
    def label_from_instance(self, obj: Item) -> str:
        return f"{obj.name} ({obj.code})"


class LayoutForm(StudioForm):
    """Everything about a layout but the pieces that it gives."""

    code = forms.CharField(
        label="Code",
        max_length=20,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        help_text="Short, as it stands on the cutting file: LG, or HEX-1.",
        error_messages={
            "required": "A code is missing. Write a short one, such as LG.",
            "max_length": "This code is too long. Keep it to 20 letters.",
        },
    )
    name = forms.CharField(
        label="Name",
        max_length=120,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"max_length": "This name is too long. Keep it to 120 letters."},
    )
    sheet = SheetChoice(
        Item.objects.none(),
        label="Cut from",
        empty_label="Choose a sheet",
        error_messages={
            "required": "Choose the sheet it is cut from.",
            "invalid_choice": "That sheet is not in the goods. Choose another.",
        },
    )
    minutes = WholeNumberField(
        label="Minutes a sheet",
        lowest=1,
        highest=MOST_MINUTES,
        help_text="From laying the sheet in to taking the pieces out.",
        error_messages={"required": "How long does a sheet take? Write whole minutes."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = cast("SheetChoice", self.fields["sheet"])
        field.queryset = Item.objects.filter(kind=Item.Kind.SHEET).order_by("code")
        if field.queryset.count() == 1:
            field.initial = field.queryset.first()

    def clean_code(self) -> str:
        return read_code(str(self.cleaned_data["code"]))


class GivesForm(forms.Form):
    """One kind of piece that a sheet gives."""

    use_required_attribute = False

    piece = ItemField(label="Piece", required=False)
    count = CountField(label="How many a sheet", highest=MOST_A_SHEET, required=False)
    is_by_product = forms.BooleanField(label="It only fills the rest", required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        piece, count = cleaned.get("piece"), cleaned.get("count")
        if piece and not count and "count" not in self.errors:
            self.add_error("count", "How many does one sheet give? Write it here.")
        if count and not piece and "piece" not in self.errors:
            self.add_error("piece", "Which piece? Write its code or its whole name.")
        return cleaned


class GivesLines(GivesForms):
    """All pieces of a layout: at least one, and none twice."""

    def clean(self) -> None:
        if any(form.errors for form in self.forms):
            return
        if not self.used:
            raise ValidationError(
                "No piece is written yet. Write at least one that a sheet gives.",
                code="nothing",
            )
        seen: Counter[Item] = Counter()
        for form in self.used:
            piece = form.cleaned_data["piece"]
            seen[piece] += 1
            if seen[piece] > 1:
                form.add_error(
                    "piece", f"{piece.code} stands here twice. Put it on one line."
                )

    @property
    def used(self) -> list[GivesForm]:
        return [form for form in self.forms if form.cleaned_data.get("piece")]

    @property
    def counts(self) -> dict[Item, int]:
        return {
            form.cleaned_data["piece"]: form.cleaned_data["count"] for form in self.used
        }

    @property
    def by_products(self) -> list[Item]:
        return [
            form.cleaned_data["piece"]
            for form in self.used
            if form.cleaned_data["is_by_product"]
        ]


GivesFormSet = cast(
    "type[GivesLines]",
    forms.formset_factory(GivesForm, formset=GivesLines, extra=LINES_AT_FIRST),
)


def gives_initial(layout: Layout) -> list[dict[str, object]]:
    """Give the lines of a layout as they would be typed."""
    return [
        {"piece": line.piece, "count": line.count, "is_by_product": line.is_by_product}
        for line in layout.gives.all()
    ]
