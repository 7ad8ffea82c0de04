"""The form of the bundles' page: kits, and the rules she can switch, in the address.

It reads and writes nothing, so it carries no request id.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from studio import block_book
from studio.errors import StudioError
from studio.forms import WholeNumberField, read_with
from studio.maths import cutting_plan
from studio.maths import cutting_plan_reading as reading
from studio.maths.cloth import FromOnePrint
from studio.maths.cutting_kits_values import Project
from studio.maths.kit_lines import EXAMPLE, MOST_KITS, KitLine, read_kits

MOST_SIGNS = 6000
MOST_KITS_WANTED = 2000
USUAL = {
    "kits": f"{EXAMPLE}\ntable mat, pinwheel, 6, 6\ncoaster, Ohio star, 4 1/2, 4",
    "rule": FromOnePrint.NOTHING.name,
    "wanted": "40",
    "seconds": "1",
}


class BundlesForm(forms.Form):
    """Which kits, by which rules, and how many of them are wanted."""

    use_required_attribute = False

    kits = forms.CharField(
        label="Kits",
        max_length=MOST_SIGNS,
        help_text=(
            "A line for each: its name, block, finished size and how many blocks. "
            f"Such as: {EXAMPLE}. Up to {MOST_KITS} lines. The blocks are counted, "
            "not backing, binding or wadding."
        ),
        widget=forms.Textarea(attrs={"rows": 5, "autocomplete": "off"}),
    )
    rule = forms.ChoiceField(
        label="What has to be of one print",
        choices=[(rule.name, rule.value.capitalize()) for rule in FromOnePrint],
        error_messages={"invalid_choice": "Choose one of the rules on the list."},
    )
    one_way = forms.BooleanField(
        label="The prints run one way, so no piece may be turned", required=False
    )
    wanted = WholeNumberField(
        label="How many kits are wanted", lowest=1, highest=MOST_KITS_WANTED
    )
    pieces = forms.CharField(
        required=False, max_length=MOST_SIGNS, widget=forms.HiddenInput()
    )
    title = forms.CharField(required=False, max_length=80, widget=forms.HiddenInput())
    seconds = forms.CharField(required=False, widget=forms.HiddenInput())

    lines: tuple[KitLine, ...] = ()

    def __init__(self, asked: Mapping[str, str], **kwargs: Any) -> None:
        # A list that another page leads here with may stand alone.
        usual = {**USUAL, "kits": ""} if asked.get("pieces") else USUAL
        blank = {name for name in usual if not asked.get(name, "").strip()}
        super().__init__({**asked, **{name: usual[name] for name in blank}}, **kwargs)
        self.fields["kits"].required = not asked.get("pieces")
        # Beside a list from another page the box may stay empty, so its label is bare.
        self.fields["kits"].is_one_of_two = True  # type: ignore[attr-defined]

    def clean_kits(self) -> str:
        typed = str(self.cleaned_data["kits"])
        self.lines = read_with(lambda text: read_kits(text, block_book.find), typed)
        return typed

    def clean_rule(self) -> FromOnePrint:
        return FromOnePrint[self.cleaned_data["rule"]]

    def clean_seconds(self) -> float:
        return read_with(reading.read_seconds, str(self.cleaned_data["seconds"]))

    def clean(self) -> dict[str, Any]:
        if self.cleaned_data.get("pieces"):
            try:
                reading.read_pieces(self.cleaned_data["pieces"])
            except StudioError as error:
                self.add_error("kits", str(error))
        return self.cleaned_data

    def projects(self) -> tuple[Project, ...]:
        """Give the kits as they are cut by the rules that were chosen."""
        rule, turns = self.cleaned_data["rule"], not self.cleaned_data["one_way"]
        kits = tuple(line.project(rule, turns=turns) for line in self.lines)
        return (*self._listed(turns=turns), *kits)

    def _listed(self, *, turns: bool) -> tuple[Project, ...]:
        if not self.cleaned_data["pieces"]:
            return ()
        cloths = reading.read_pieces(self.cleaned_data["pieces"])
        if not turns:
            cloths = cutting_plan.one_way(cloths)
        wanted = tuple(one for cloth in cloths.values() for one in cloth)
        return (Project(self.cleaned_data["title"] or "your list", wanted),)
