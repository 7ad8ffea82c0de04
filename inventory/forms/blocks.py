"""Forms that make a parts list from a block: one for each piece, one for the whole."""

from __future__ import annotations

from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError

from inventory.actions import Chosen, NewPiece
from inventory.forms.catalogue import PartLineForm, PartLines, words_field
from inventory.forms.choosing import read_code
from inventory.models import Item
from inventory.queries.blocks import block_choices
from studio.forms import CountField, InchesFormField, StudioForm, WholeNumberField
from studio.maths.template_sets import SetPiece

NEW = "new"
LEFT_OUT = "none"
MOST_IN_A_SET = 50


class WhichBlockForm(forms.Form):
    """Which block, and how large it ends up; asked in the address."""

    use_required_attribute = False

    block = forms.ChoiceField(
        label="Block",
        error_messages={
            "required": "Choose the block that the set is for.",
            "invalid_choice": "Choose a block from the list.",
        },
    )
    size = InchesFormField(
        label="Finished size",
        help_text="In inches, such as 11 1/4, or with a unit, such as 30 cm.",
        error_messages={"required": "Write how large the block ends up, such as 9."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = cast("forms.ChoiceField", self.fields["block"])
        field.choices = [("", "Choose a block"), *block_choices()]


class FromBlockForm(StudioForm):
    """The parts list as a whole."""

    name = words_field("Name of this way", 80, initial="From pieces")
    minutes = WholeNumberField(
        label="Minutes to make up one", initial=0, highest=600, required=False
    )


class PieceForm(forms.Form):
    """One piece of the block: an item that is there, a new one, or left out."""

    use_required_attribute = False

    use = forms.ChoiceField(
        label="Which piece is it?",
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose a piece that is there, a new one, or leave it out.",
            "invalid_choice": "That piece is not offered. Choose one of the list.",
        },
    )
    count = CountField(label="How many in a set", highest=MOST_IN_A_SET, required=False)
    code = words_field("Code of a new piece", 20, required=False)
    name = words_field("Name of a new piece", 120, required=False)
    engraving = words_field("Engraved on a new piece", 60, required=False)
    tint = words_field("Tint of a new piece", 30, required=False)

    def __init__(
        self,
        *args: Any,
        piece: SetPiece,
        matches: list[tuple[Item, str]],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        # Which of these is wanted hangs on what is chosen above them.
        for name in ("count", "code", "name", "engraving", "tint"):
            self.fields[name].is_one_of_two = True  # type: ignore[attr-defined]
        self.piece = piece
        self.items = {item.code: item for item, _ in matches}
        field = cast("forms.ChoiceField", self.fields["use"])
        field.choices = [
            *(
                (item.code, f"{item.name} ({item.code}). {said}")
                for item, said in matches
            ),
            (NEW, "A new piece, as written below."),
            (LEFT_OUT, "Leave it out of the set."),
        ]

    def clean_code(self) -> str:
        typed = str(self.cleaned_data["code"])
        return read_code(typed) if typed.strip() else ""

    def clean_tint(self) -> str:
        return str(self.cleaned_data["tint"]).strip().lower() or "clear"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        use = cleaned.get("use")
        if use == NEW:
            self.check_new(cleaned)
        if use in (NEW, *self.items) and not cleaned.get("count"):
            self.say("count", f"How many of the {self.piece.name} has a set?")
        return cleaned

    def check_new(self, cleaned: dict[str, Any]) -> None:
        called = self.piece.name
        if not cleaned.get("code"):
            self.say("code", f"Write a code for the new {called}.")
        if not cleaned.get("name"):
            self.say("name", f"Write a name for the new {called}.")
        taken = Item.objects.filter(code__iexact=cleaned.get("code") or "").first()
        if taken is not None:
            self.say("code", f"{taken.code} is the code of {taken.name}.")

    def say(self, field: str, words: str) -> None:
        if field not in self.errors:
            self.add_error(field, ValidationError(words, code="unfit"))

    def chosen(self) -> Chosen | None:
        """Return what was chosen, or None where the piece is left out."""
        said = self.cleaned_data
        if said["use"] == LEFT_OUT:
            return None
        if said["use"] != NEW:
            return Chosen(self.items[said["use"]], said["count"])
        width, height = self.piece.size
        new = NewPiece(
            said["code"], said["name"], width, height, said["engraving"], said["tint"]
        )
        return Chosen(new, said["count"])


class OtherLines(PartLines):
    """Paper and what else is in a set; there may be none of it."""

    wants_a_part = False


OtherLinesFormSet = cast(
    "type[OtherLines]",
    forms.formset_factory(
        PartLineForm, formset=OtherLines, extra=2, max_num=14, absolute_max=40
    ),
)
