"""The form of the cutting plan: pieces, cloth and how it is cut, asked in the address.

It reads and writes nothing, so it carries no request id.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from inventory.models import BundleContents
from studio import bundles
from studio.errors import StudioError
from studio.forms import read_with
from studio.maths import cutting_plan
from studio.maths import cutting_plan_reading as reading
from studio.maths.cloth import PRE_CUTS, Bolt, Bundle, PreCut
from studio.maths.cutting_units import Wanted

MOST_SIGNS = 20_000
BOLT, SIZE, BUNDLE = "bolt", "size", "bundle-"
USUAL = {
    "cut_from": BOLT,
    "width": "42",
    "straighten": "1",
    "size": "18 x 21",
    "stages": "2N",
    "seconds": "1",
}
STAGES = (
    ("2N", "Two stages: strips, then cross-cuts"),
    ("3N", "Three stages: stacks in a strip, too"),
)
EXAMPLE = "centre, 4 1/2, 4 1/2, 12, ground"
PRE_CUT_WORDS = {
    "-".join(cloth.name.replace("½", "-1-2").split()): cloth for cloth in PRE_CUTS
}


class ClothForm(forms.Form):
    """What is to be cut, and from which cloth."""

    use_required_attribute = False

    title = forms.CharField(required=False, max_length=80, widget=forms.HiddenInput())
    pieces = forms.CharField(
        label="What is to be cut",
        max_length=MOST_SIGNS,
        help_text=(
            "A line for each piece: name, width, height, how many, then the cloth and "
            f"yes or no for turning if you like. Such as: {EXAMPLE}. "
            "Lines copied from a table will do, too. Write cut sizes."
        ),
        error_messages={
            "required": f"Write one piece or more, such as: {EXAMPLE}.",
            "max_length": (
                f"The list is longer than {MOST_SIGNS:,} signs. Part it, or plan it "
                "from the keyboard with the command cutting_plan."
            ),
        },
        widget=forms.Textarea(attrs={"rows": 8, "autocomplete": "off"}),
    )
    one_way = forms.BooleanField(
        label="The print runs one way, so no piece may be turned", required=False
    )
    cut_from = forms.ChoiceField(label="Cut from")
    width = forms.CharField(
        label="Usable width of the bolt",
        help_text=(
            "Between the selvedges. Usual is 40 in for strips and 42 in for squares; "
            "106 cm is much the same."
        ),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    straighten = forms.CharField(
        label="Straightening the end of a bolt takes",
        help_text="Usual is 1 in. Write 0 to leave it out.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    size = forms.CharField(
        label="Size of a piece of another size",
        help_text="Width x height, as in 18 x 21 or 50 cm x 55 cm.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    stages = forms.ChoiceField(
        label="Cut a bolt in",
        help_text="Each piece is trimmed after its last cut where it needs it.",
        choices=STAGES,
    )
    seconds = forms.CharField(required=False, widget=forms.HiddenInput())

    cloths: dict[str, list[Wanted]]
    bundle: Bundle | None = None
    cloth: Bolt | PreCut
    left_out: tuple[str, ...] = ()

    def __init__(self, asked: Mapping[str, str], **kwargs: Any) -> None:
        blank = {name for name in USUAL if not asked.get(name, "").strip()}
        filled = {**asked, **{name: USUAL[name] for name in blank}}
        super().__init__(filled, **kwargs)
        choices = [
            (BOLT, "A bolt, by the length"),
            *((word, str(cloth)) for word, cloth in PRE_CUT_WORDS.items()),
            (SIZE, "A piece of another size"),
            *((f"{BUNDLE}{one.item.code}", _named(one)) for one in bundles.kept()),
        ]
        self.fields["cut_from"] = forms.ChoiceField(
            label="Cut from",
            choices=choices,
            error_messages={"invalid_choice": "Choose a cloth from the list."},
        )
        self.order_fields(list(ClothForm.base_fields))

    def clean_pieces(self) -> str:
        typed = str(self.cleaned_data["pieces"])
        self.cloths = read_with(reading.read_pieces, typed)
        return typed

    def clean_seconds(self) -> float:
        return read_with(reading.read_seconds, str(self.cleaned_data["seconds"]))

    def clean(self) -> dict[str, Any]:
        if self.cleaned_data.get("one_way") and "pieces" in self.cleaned_data:
            self.cloths = cutting_plan.one_way(self.cloths)
        chosen = self.cleaned_data.get("cut_from", "")
        box = {BOLT: "width", SIZE: "size"}.get(chosen, "cut_from")
        if chosen and box in self.cleaned_data:
            try:
                self.cloth = self._cloth(chosen)
            except StudioError as error:
                self.add_error(box, str(error))
        return self.cleaned_data

    def _cloth(self, chosen: str) -> Bolt | PreCut:
        if chosen == BOLT:
            typed = self.cleaned_data
            return reading.read_bolt(typed["width"], typed.get("straighten", "0"))
        if chosen == SIZE:
            return reading.read_shape(self.cleaned_data["size"])
        if chosen in PRE_CUT_WORDS:
            return PRE_CUT_WORDS[chosen]
        self.bundle = bundles.bundle_of(chosen.removeprefix(BUNDLE))
        return self.bundle.shape


def _named(contents: BundleContents) -> str:
    return f"{contents.item.code} {contents.item.name}: {contents}"
