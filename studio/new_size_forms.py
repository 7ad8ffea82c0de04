"""The form of a new size and its test block; it is asked in the address."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, cast

from django import forms

from inventory.models import Design
from inventory.queries.blocks import block_called, block_choices
from studio.errors import StudioError
from studio.forms import WholeNumberField
from studio.lengths import LengthUnreadable, parse_length
from studio.maths import block_asking, seam_by_seam, sewn_tests
from studio.maths.block_asking import USUAL_SEAM, Asked
from studio.maths.known_blocks import KnownBlock
from studio.maths.patch.recipe import Making
from studio.maths.seam_by_seam import EdgeFound
from studio.maths.sewn_tests import BlocksUnmeasured, SewnTest
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import asking as sheet_asking
from studio.piece_forms import words_box

MOST_BLOCKS = 999
MOST_MEASURED = 24
MOST_JOINS = 60
MOST_ALLOWED_INCHES = Fraction(1)


@dataclass(frozen=True)
class Figures:
    """What the sheet and the cutter are, in millimetres."""

    sheet: Sheet
    kerf_mm: Fraction


class NewSizeForm(forms.Form):
    """A block at a size, what the cutter has, and what the sewn blocks measure."""

    use_required_attribute = False

    design = forms.ModelChoiceField(
        Design.objects.all(),
        label="Design",
        required=False,
        empty_label="None, only a block",
        error_messages={"invalid_choice": "Choose a design from the list, or none."},
    )
    block = forms.ChoiceField(
        label="Block, if it is no design’s",
        required=False,
        error_messages={"invalid_choice": "Choose a block from the list."},
    )
    size = words_box(
        "Finished size",
        max_length=40,
        help_text="As you write it: 11 1/4, 9 or 30 cm.",
        error_messages={"required": "Write how large the block ends up, such as 9."},
    )
    number = WholeNumberField(
        label="How many blocks will be sewn", lowest=1, highest=MOST_BLOCKS
    )
    measured = words_box(
        "What the sewn blocks measure",
        required=False,
        max_length=400,
        help_text=(
            "Raw edge to raw edge, with commas between: 11 11/16, 11 3/4. "
            "Empty until they are sewn."
        ),
    )
    joins = WholeNumberField(
        label="Joins across a block",
        lowest=1,
        highest=MOST_JOINS,
        required=False,
        help_text="Seams that the tape crosses. Empty takes them from the block.",
    )
    allowed = words_box("How far off a block may be", max_length=30)
    units = words_box(
        "One block’s units along its upper edge",
        required=False,
        max_length=400,
        help_text=(
            "From left to right, seam to seam, the first and the last from the raw "
            "edge. This tells which seam is out. Empty if they are not measured."
        ),
    )
    seam = words_box("Seam", max_length=30, required=False)
    sheet = words_box("Acrylic sheet in mm", max_length=40)
    edge = words_box("Edge left in mm", max_length=20)
    gap = words_box("Gap between pieces in mm", max_length=20)
    kerf = words_box("Kerf in mm", max_length=20)

    asked: Asked | None = None
    test: SewnTest | None = None
    edge_found: EdgeFound | None = None
    figures: Figures | None = None

    def __init__(self, asked: Mapping[str, str], **kwargs: Any) -> None:
        usual = {
            **{"number": "1", "allowed": "1/16", "seam": USUAL_SEAM},
            **{"sheet": "600x400", "edge": "5", "gap": "2", "kerf": "0.2"},
        }
        super().__init__({**usual, **asked}, **kwargs)
        # An empty box is told of in its help, or takes the usual.
        for name in ("design", "block", "seam", "measured", "joins", "units"):
            self.fields[name].is_one_of_two = True  # type: ignore[attr-defined]
        field = cast("forms.ChoiceField", self.fields["block"])
        field.choices = [("", "The design’s own"), *block_choices()]

    def clean(self) -> dict[str, Any]:
        if self.errors:
            return self.cleaned_data
        steps = (
            ("sheet", self._read_figures),
            ("size", self._read_size),
            ("measured", self._read_test),
            ("units", self._read_units),
        )
        for box, read in steps:
            try:
                read()
            except BoxWrong as wrong:
                self.add_error(wrong.box, str(wrong))
            except StudioError as error:
                self.add_error(box, str(error))
            if self.errors:
                break
        return self.cleaned_data

    def _read_figures(self) -> None:
        said = self.cleaned_data
        self.figures = Figures(
            sheet_asking.read_sheet(said["sheet"], edge=said["edge"], gap=said["gap"]),
            sheet_asking.read_kerf(said["kerf"]),
        )

    def _read_size(self) -> None:
        known, ways = self._known()
        metric = block_asking.wants_metric(self.cleaned_data["size"])
        try:
            ruler = block_asking.read_seam(self.cleaned_data["seam"], metric=metric)
        except StudioError as error:
            raise BoxWrong("seam", str(error)) from error
        self.asked = block_asking.read_asked(
            known,
            self.cleaned_data["size"],
            making=Making(ruler=ruler),
            ways=block_asking.read_ways(known, ways),
        )
        self.asked.cut_list()

    def _known(self) -> tuple[KnownBlock, str]:
        """Give the block asked for and the ways it is made in."""
        design: Design | None = self.cleaned_data["design"]
        word = self.cleaned_data["block"] or (design.block if design else "")
        known = block_called(word)
        if known is None and design:
            raise BoxWrong("design", f"{design} has no block yet. Choose one below it.")
        if known is None:
            raise BoxWrong("block", "Choose a design that has its block, or a block.")
        own = design is not None and design.block == known.slug
        return known, design.block_ways if design and own else ""

    def _read_test(self) -> None:
        sizes = self._lengths("measured", "block")
        if not sizes or self.asked is None:
            return
        self.test = sewn_tests.judge(
            self.asked.finished_inches,
            sizes,
            joins=self._joins(self.asked),
            allowed_inches=self._allowed(),
            ruler=self.asked.ruler,
        )

    def _joins(self, asked: Asked) -> int:
        typed: int | None = self.cleaned_data["joins"]
        if typed:
            return typed
        counted = sewn_tests.joins_along_the_edge(asked.known.block)
        if counted < 1:
            words = f"The {asked.known.name} is one unit: write the joins you crossed."
            raise BoxWrong("joins", words)
        return counted

    def _allowed(self) -> Fraction:
        allowed = self._length("allowed", self.cleaned_data["allowed"], "allowance")
        if allowed > MOST_ALLOWED_INCHES:
            raise BoxWrong("allowed", "A block may be up to 1 in off here. Write less.")
        return allowed

    def _read_units(self) -> None:
        sizes = self._lengths("units", "unit")
        if not sizes or self.asked is None:
            return
        units = seam_by_seam.units_along_the_edge(
            self.asked.known.block, self.asked.finished_inches
        )
        self.edge_found = seam_by_seam.find_seams(units, sizes, self.asked.ruler)

    def _lengths(self, box: str, what: str) -> list[Fraction]:
        parts = re.split(r"\s*[,;]\s*|\s+and\s+", self.cleaned_data[box].strip(" ,;"))
        typed = [part for part in parts if part]
        if len(typed) > MOST_MEASURED:
            raise BoxWrong(box, f"Up to {MOST_MEASURED} sizes go here. Write fewer.")
        return [
            self._length(box, one, f"{what} {number}")
            for number, one in enumerate(typed, 1)
        ]

    def _length(self, box: str, typed: str, what: str) -> Fraction:
        try:
            return parse_length(typed)
        except LengthUnreadable as unread:
            words = f"The size of the {what} cannot be read. {unread}"
            raise BoxWrong(box, words) from unread


class BoxWrong(BlocksUnmeasured):
    """Something wrong that belongs to one box of the form."""

    def __init__(self, box: str, reason: str) -> None:
        self.box = box
        super().__init__(reason)
