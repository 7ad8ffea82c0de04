"""Forms of the sheet page: what is to be laid on which sheet, and what is kept of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError

from inventory.forms.choosing import ItemField
from inventory.models import Item
from production.layout_forms import LayoutForm
from production.queries.loose_shapes import KnownPiece, item_for
from studio.errors import StudioError
from studio.forms import LinesField, WholeNumberField
from studio.lengths import show_millimetres
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import asking, laid, piece_file, sizes
from studio.maths.sheets.keeping import KeptSheet
from studio.maths.sheets.problem import SheetPiece
from studio.maths.sheets.refusals import LARGEST_SHEET_MM

LONGEST_LIST = 6000
MOST_SETS = 5000
EXAMPLE = "A388, 3 7/8, 3 7/8, 2"
LASER, SAW = "laser", "saw"


@dataclass(frozen=True)
class SheetAsked:
    """What was asked for, read."""

    pieces: tuple[SheetPiece, ...]
    sheet: Sheet
    sets: int
    kerf_mm: Fraction
    kerf_in: bool
    saw: bool
    tries_goods: bool


def _measure(label: str, help_text: str) -> forms.CharField:
    return forms.CharField(
        label=label,
        help_text=help_text,
        max_length=40,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": f"{label} is empty. Write it, nought if none."},
    )


class SheetForm(forms.Form):
    """The pieces and the sheet, as they stand in the address."""

    use_required_attribute = False

    pieces = LinesField(
        label="Pieces",
        max_length=LONGEST_LIST,
        widget=forms.Textarea(
            attrs={"rows": 7, "autocomplete": "off", "spellcheck": "false"}
        ),
        help_text=(
            "One a line: name, width, height, how many make a set; inches unless you "
            f"write a unit. Such as {EXAMPLE}."
        ),
        error_messages={
            "required": f"No piece is written yet. Write one a line, such as {EXAMPLE}.",
            "max_length": "This list is too long. Keep it to 6,000 letters.",
        },
    )
    sheet = _measure("Sheet", "Its two sides in millimetres, such as 600x400.")
    gap = _measure("Gap between pieces", "In millimetres.")
    edge = _measure("Edge left all round", "In millimetres.")
    kerf = _measure("Kerf", "What the beam or the blade takes, in millimetres.")
    takes_kerf = forms.ChoiceField(
        label="The kerf is allowed for",
        choices=[("lines", "in the lines drawn"), ("machine", "at the machine")],
        error_messages={"invalid_choice": "Choose where the kerf is allowed for."},
    )
    cutter = forms.ChoiceField(
        label="Cut with",
        choices=[(LASER, "a laser"), (SAW, "a saw, from side to side")],
        error_messages={"invalid_choice": "Choose the laser or the saw."},
    )
    sets = WholeNumberField(
        label="Sets wanted",
        lowest=1,
        highest=MOST_SETS,
        required=False,
        help_text="Empty for as many as one sheet holds.",
    )
    goods = forms.BooleanField(
        label="Try the loose pieces of the goods in what is left", required=False
    )

    USUAL = {
        "sheet": "600x400",
        "gap": "2",
        "edge": "5",
        "kerf": "0.2",
        "takes_kerf": "lines",
        "cutter": LASER,
    }

    asked: SheetAsked | None = None

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # Its help says what an empty box means.
        self.fields["sets"].is_one_of_two = True  # type: ignore[attr-defined]

    def clean_pieces(self) -> tuple[SheetPiece, ...]:
        try:
            return piece_file.read_typed(str(self.cleaned_data["pieces"]))
        except StudioError as error:
            raise ValidationError(str(error), code=type(error).__name__) from error

    def clean(self) -> dict[str, Any]:
        said = super().clean() or self.cleaned_data
        if self.errors:
            return said
        try:
            kerf_mm = asking.read_kerf(said["kerf"])
            sheet = asking.read_sheet(said["sheet"], edge=said["edge"], gap=said["gap"])
            sets = said["sets"] or 0
            piece_file.checked_total(said["pieces"], sets or 1)
        except StudioError as error:
            self.add_error(None, ValidationError(str(error)))
            return said
        self.asked = SheetAsked(
            said["pieces"],
            laid.kept_apart(sheet, kerf_mm),
            sets,
            kerf_mm,
            said["takes_kerf"] == "lines",
            said["cutter"] == SAW,
            said["goods"],
        )
        return said


class KeepForm(LayoutForm):
    """Everything about the layout that a laid sheet becomes, its pieces by their items."""

    def __init__(
        self, *args: Any, kept: KeptSheet, known: list[KnownPiece], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.kept = kept
        for number, (piece, count) in enumerate(kept.counts):
            self.fields[f"piece-{number}"] = ItemField(
                label=f"{piece.name}, {count} on the sheet",
                initial=item_for(piece, known),
                error_messages={
                    "required": f"Which loose piece is {piece.name}? Write its code."
                },
            )

    @property
    def chosen(self) -> list[tuple[SheetPiece, int, Item]]:
        return [
            (piece, count, self.cleaned_data[f"piece-{number}"])
            for number, (piece, count) in enumerate(self.kept.counts)
        ]

    @property
    def gives(self) -> dict[Item, int]:
        """Add up what the sheet gives of each item."""
        found: dict[Item, int] = {}
        for _, count, item in self.chosen:
            found[item] = found.get(item, 0) + count
        return found

    @property
    def by_products(self) -> list[Item]:
        wanted = {item for piece, _, item in self.chosen if not piece.fills}
        return [
            item for piece, _, item in self.chosen if piece.fills and item not in wanted
        ]


class MeasureForm(forms.Form):
    """One side of one piece as it was measured, and how warm it was."""

    use_required_attribute = False

    side = forms.ChoiceField(
        label="Side",
        error_messages={
            "required": "Choose the side that was measured.",
            "invalid_choice": "Choose one of the sides of this layout.",
        },
    )
    measured = forms.CharField(
        label="Measured",
        max_length=40,
        help_text="In millimetres.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "inputmode": "decimal"}),
        error_messages={"required": "Write what it measures, in millimetres."},
    )
    degrees = WholeNumberField(
        label="Degrees", lowest=0, highest=45, initial=sizes.USUAL_DEGREES
    )

    def __init__(self, *args: Any, kept: KeptSheet | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sides = list(_sides(kept)) if kept else []
        field = cast("forms.ChoiceField", self.fields["side"])
        field.choices = [
            (str(number), words) for number, (words, _) in enumerate(self.sides)
        ]

    def clean_measured(self) -> Fraction:
        try:
            typed = str(self.cleaned_data["measured"])
            return asking.read_mm("A size", typed, LARGEST_SHEET_MM)
        except StudioError as error:
            raise ValidationError(str(error)) from error

    @property
    def verdict(self) -> str:
        """Say whether it is in order; nothing where something is wrong with the form."""
        if not self.is_valid():
            return ""
        said = self.cleaned_data
        words, nominal = self.sides[int(said["side"])]
        found = sizes.Measured(nominal, said["measured"], said["degrees"])
        return f"{words}. {found.sentence}"


def _sides(kept: KeptSheet) -> Iterator[tuple[str, Fraction]]:
    for piece, _ in kept.counts:
        yield f"{piece.name}, {show_millimetres(piece.width_mm)} wide", piece.width_mm
        if piece.height_mm != piece.width_mm:
            high = show_millimetres(piece.height_mm)
            yield f"{piece.name}, {high} high", piece.height_mm
