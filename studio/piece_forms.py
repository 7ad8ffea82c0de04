"""The form that looks for a piece; it is asked in the address, and writes nothing."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from django import forms

from studio.errors import StudioError
from studio.maths import piece_asking
from studio.maths.piece_asking import PieceUnreadable
from studio.maths.piece_finding import TOLERANCE_INCHES, KnownPiece

_NEAR = {"in": "1/64", "mm": "0.4"}


def words_box(label: str, **more: Any) -> forms.CharField:
    return forms.CharField(
        label=label, widget=forms.TextInput(attrs={"autocomplete": "off"}), **more
    )


class PieceFindForm(forms.Form):
    """A shape and its measures, and how far off a piece may be."""

    use_required_attribute = False

    shape = forms.ChoiceField(
        label="What is it?",
        choices=list(piece_asking.SHAPE_WORDS.items()),
        error_messages={"invalid_choice": "Choose one from the list."},
    )
    size = words_box(
        "Size",
        max_length=60,
        help_text="One side of a square, or two: 4 1/4 × 2 3/8, or 60.3 × 108 mm.",
        error_messages={
            "required": "Write how large the piece is, such as 4 1/4 × 2 3/8."
        },
    )
    narrow = words_box("Short side, if it is tapered", max_length=30, required=False)
    unit = forms.ChoiceField(
        label="A number alone is in", choices=list(piece_asking.UNITS.items())
    )
    tolerance = words_box(
        "How far off it may be",
        max_length=30,
        required=False,
        help_text="Each side by so much, at the most.",
    )
    engraving = words_box(
        "What is to be engraved on it",
        max_length=60,
        required=False,
        help_text="Empty if nothing is, or if it is not settled yet.",
    )
    tint = words_box("Its tint", max_length=30, required=False)

    wanted: KnownPiece | None = None
    tolerance_inches: Fraction = TOLERANCE_INCHES

    def __init__(self, asked: Mapping[str, str], **kwargs: Any) -> None:
        unit = asked.get("unit", "in")
        usual = {
            "shape": piece_asking.CUT,
            "unit": "in",
            "tolerance": _NEAR.get(unit, _NEAR["in"]),
            "tint": "clear",
        }
        super().__init__({**usual, **asked}, **kwargs)
        for name in ("narrow", "tolerance", "tint", "engraving"):
            self.fields[name].is_one_of_two = True  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        if self.errors:
            return self.cleaned_data
        try:
            self.wanted = self._wanted()
            self.tolerance_inches = self._tolerance()
        except PieceUnreadable as error:
            boxes = {"short side": "narrow", "tolerance": "tolerance"}
            self.add_error(boxes.get(error.measure, "size"), str(error))
        except StudioError as error:
            self.add_error("size", str(error))
        return self.cleaned_data

    def _wanted(self) -> KnownPiece:
        said = self.cleaned_data
        return piece_asking.read_piece(
            said["shape"],
            said["size"],
            said["narrow"],
            unit=said["unit"],
            engraving=said["engraving"].strip(),
            tint=said["tint"].strip().lower() or "clear",
        )

    def _tolerance(self) -> Fraction:
        typed, unit = self.cleaned_data["tolerance"], self.cleaned_data["unit"]
        return piece_asking.read_tolerance(typed or _NEAR[unit], unit)
