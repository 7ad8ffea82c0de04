"""Forms that describe an item: particulars, price, parts, outline, contents."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any, cast

from django import forms
from django.core.exceptions import ValidationError

from inventory.forms.choosing import (
    ItemField,
    OutletField,
    PlaceField,
    read_code,
)
from inventory.models import BundleContents, Design, Item, PieceShape, Place
from studio.forms import (
    CostField,
    CountField,
    DayField,
    InchesFormField,
    PoundsField,
    StudioForm,
    TypedField,
    WholeNumberField,
)

MOST_PARTS = 14


def words_field(label: str, longest: int, **more: Any) -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=longest,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={
            "max_length": f"That is too long. Keep it to {longest} letters."
        },
        **more,
    )


class ThicknessField(TypedField):
    """Millimetres as typed, to a tenth; whole tenths of a millimetre as cleaned."""

    inputmode = "decimal"

    def read(self, typed: str) -> int:
        plain = typed.lower().removesuffix("mm").strip()
        whole, _, tenth = plain.partition(".")
        if whole.isdecimal() and len(whole) <= 4 and (tenth or "0") in "0123456789":
            return int(whole) * 10 + int(tenth or "0")
        raise ValidationError(
            f"“{typed}” is not a thickness. Write millimetres, such as 8 or 1.5.",
            code="not-a-thickness",
        )

    def show(self, value: Any) -> str:
        tenths = Decimal(value) / 10
        return f"{tenths.normalize():f}"


class ItemForm(StudioForm):
    name = words_field("Name", 120, help_text="As you would say it to a caller.")
    code = words_field("Code", 20)
    kind = forms.ChoiceField(
        label="Kind",
        choices=Item.Kind,
        error_messages={"required": "Choose a kind from the list."},
    )
    design = forms.ModelChoiceField(
        Design.objects.all(),
        label="Block design",
        required=False,
        empty_label="None",
        error_messages={"invalid_choice": "Choose a design from the list, or none."},
    )
    finished_size = InchesFormField(
        label="Finished size of the block",
        help_text="In inches, such as 4 1/2.",
        required=False,
    )
    other_words = words_field("Other words people use for it", 160, required=False)
    is_sold = forms.BooleanField(label="It is sold as it is", required=False)
    cost_mills = CostField(
        label="Material cost of one",
        help_text="In pounds, with up to three places, such as 0.015.",
        required=False,
    )
    packed_length_mm = WholeNumberField(label="Packed length in mm", required=False)
    packed_width_mm = WholeNumberField(label="Packed width in mm", required=False)
    packed_thickness_tenths_mm = ThicknessField(
        label="Packed thickness in mm", required=False
    )
    grams = WholeNumberField(label="Weight in grams", required=False)
    may_go_as_letter = forms.BooleanField(label="It may go as a letter", required=False)
    out_of_print = forms.BooleanField(
        label="It is out of print: it cannot be bought again", required=False
    )
    home_place = PlaceField(label="Where it lives", required=False)

    def __init__(self, *args: Any, item: Item | None = None, **kwargs: Any) -> None:
        self.item = item
        super().__init__(*args, **kwargs)
        if item is not None:
            for name in self.fields:
                if name != "request_id":
                    self.initial.setdefault(name, getattr(item, name))

    def clean_cost_mills(self) -> int:
        return self.cleaned_data["cost_mills"] or 0

    def clean_code(self) -> str:
        code = read_code(str(self.cleaned_data["code"]))
        others = Item.objects.filter(code__iexact=code)
        if self.item is not None:
            others = others.exclude(pk=self.item.pk)
        if others.exists():
            raise ValidationError(
                f"{code} is the code of {others[0].name}. Choose another code.",
                code="code-taken",
            )
        return code

    def particulars(self) -> dict[str, Any]:
        return {
            name: value
            for name, value in self.cleaned_data.items()
            if name != "request_id"
        }


class PriceForm(StudioForm):
    outlet = OutletField(label="Outlet")
    price_pence = PoundsField(label="Price")
    valid_from = DayField(label="From", initial="today")
    their_number = words_field("Their number for it", 40, required=False)


class PartsListForm(StudioForm):
    name = words_field("Name of this way", 80, initial="From pieces")
    minutes = WholeNumberField(
        label="Minutes to make up one", initial=0, highest=600, required=False
    )


class PartLineForm(forms.Form):
    """One part of a list; an empty line is no part."""

    use_required_attribute = False

    part = ItemField(label="Part", required=False)
    count = CountField(label="How many", required=False)
    gives_back = forms.BooleanField(label="It is given back", required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("part") and not cleaned.get("count") and not self.errors:
            self.add_error(
                "count",
                ValidationError("Write how many of it one takes.", code="no-count"),
            )
        if cleaned.get("count") and not cleaned.get("part") and not self.errors:
            self.add_error(
                "part", ValidationError("Write which part that is.", code="no-part")
            )
        return cleaned


if TYPE_CHECKING:
    PartLineForms = forms.BaseFormSet[PartLineForm]
else:
    PartLineForms = forms.BaseFormSet


class PartLines(PartLineForms):
    """The lines of a parts list; a part stands in it once."""

    wants_a_part = True

    def clean(self) -> None:
        if any(self.errors):
            return
        seen: set[tuple[int, bool]] = set()
        for form in self.forms:
            part = form.cleaned_data.get("part")
            if part is None:
                continue
            line = (part.pk, form.cleaned_data["gives_back"])
            if line in seen:
                raise ValidationError(
                    f"{part.code} stands there twice. Write it once, with the "
                    "whole number.",
                    code="twice",
                )
            seen.add(line)
        if self.wants_a_part and not any(not back for _, back in seen):
            raise ValidationError(
                "Write at least one part that it takes.", code="no-parts"
            )

    def counts(self, *, gives_back: bool) -> dict[Item, int]:
        return {
            form.cleaned_data["part"]: form.cleaned_data["count"]
            for form in self.forms
            if form.cleaned_data.get("part")
            and form.cleaned_data["gives_back"] == gives_back
        }


PartLinesFormSet = cast(
    "type[PartLines]",
    forms.formset_factory(
        PartLineForm, formset=PartLines, extra=4, max_num=MOST_PARTS, absolute_max=40
    ),
)


class ShapeForm(StudioForm):
    outline = forms.ChoiceField(label="Outline", choices=PieceShape.Outline)
    width_inches = InchesFormField(
        label="Width",
        help_text="In inches, such as 4 1/4. The longer side, if tapered.",
    )
    height_inches = InchesFormField(label="Height", help_text="In inches.")
    narrow_inches = InchesFormField(
        label="Short side of a tapered piece", required=False
    )
    engraving = words_field("What is engraved on it", 60, required=False)
    tint = words_field("Tint", 30, initial="clear", required=False)

    def clean_tint(self) -> str:
        return str(self.cleaned_data["tint"]).strip().lower() or "clear"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name in ("width_inches", "height_inches"):
            if cleaned.get(name) == 0:
                self.add_error(
                    name, ValidationError("A piece has a size above 0.", code="nought")
                )
        self.check_taper(cleaned)
        return cleaned

    def check_taper(self, cleaned: dict[str, Any]) -> None:
        if cleaned.get("outline") != PieceShape.Outline.TAPERED:
            cleaned["narrow_inches"] = None
            return
        width, narrow = cleaned.get("width_inches"), cleaned.get("narrow_inches")
        if "narrow_inches" in self.errors or width is None:
            return
        if not narrow or narrow >= width:
            self.add_error(
                "narrow_inches",
                ValidationError(
                    "The short side of a tapered piece is shorter than its width, and "
                    "above 0. Write both.",
                    code="not-tapered",
                ),
            )


class ContentsForm(StudioForm):
    form = forms.ChoiceField(label="Form", choices=BundleContents.Form)
    count = CountField(label="How many in the bundle", highest=1000)
    prints = CountField(label="How many prints", highest=1000)
    range_name = words_field("Range", 80, required=False)
    usable_width_inches = InchesFormField(label="Usable width", required=False)
    usable_length_inches = InchesFormField(label="Usable length", required=False)


class PlaceForm(StudioForm):
    name = words_field("Name", 80)
    kind = forms.ChoiceField(
        label="Kind",
        choices=[
            (value, label)
            for value, label in Place.Kind.choices
            if value != Place.Kind.OUTSIDE
        ],
    )
    counts_as_shelf = forms.BooleanField(
        label="Goods here are at home and can be promised",
        required=False,
        initial=True,
    )
    walk_order = WholeNumberField(
        label="Place in the walk",
        help_text="Lower numbers are passed first when goods are fetched.",
        initial=100,
        highest=9999,
    )
