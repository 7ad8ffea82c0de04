"""The form by which a block is laid out: a grid, one patch in hand, and the lines.

Nothing is kept between two presses but what the form carries. What is in hand belongs
to the place that is chosen, and every button puts it there, so that no change is lost.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms

from studio.errors import StudioError
from studio.forms import LinesField, StudioForm, WholeNumberField
from studio.maths import own_blocks, own_layouts, patches
from studio.maths.blocks import Block, Cell
from studio.maths.own_layouts import Layout, Place

CLOTHS = ("cloth_1", "cloth_2", "cloth_3")
TURNS = (
    ("0", "as it is"),
    ("1", "a quarter to the right"),
    ("2", "half round"),
    ("3", "a quarter to the left"),
)
USUAL_CLOTHS = ("ground", "point", "centre")
FIRST = {
    "across": "4",
    "down": "4",
    "patch": patches.SQUARE.name,
    "cloth_1": "ground",
    "cloth_2": "point",
    "cloth_3": "centre",
    "turn": "0",
    "wide": "1",
    "high": "1",
}
MOST = own_blocks.MOST_STEPS
PLACE = re.compile(r"([0-9]{1,2})-([0-9]{1,2})")


@dataclass(frozen=True)
class Spot:
    """One place of the grid as it is shown: a patch, or a bare step."""

    place: Place
    cell: Cell | None
    chosen: bool
    last: bool

    @property
    def value(self) -> str:
        return f"{self.place[0]}-{self.place[1]}"

    @property
    def across(self) -> int:
        return int(self.cell.width) if self.cell else 1

    @property
    def down(self) -> int:
        return int(self.cell.height) if self.cell else 1

    @property
    def words(self) -> str:
        where = f"Column {self.place[0]}, row {self.place[1]}"
        if self.cell is None:
            return f"{where}: bare."
        cloths = " and ".join(dict.fromkeys(self.cell.roles))
        turned = f", turned {self.cell.turn}" if self.cell.turn else ""
        return f"{where}: {self.cell.patch.name}, {cloths}{turned}."


class LayingForm(StudioForm):
    """What stands on the page while a block is laid out."""

    name = forms.CharField(
        label="Name",
        required=False,
        max_length=own_blocks.MOST_LETTERS,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    across = WholeNumberField(label="Steps across", lowest=1, highest=MOST)
    down = WholeNumberField(label="Steps down", lowest=1, highest=MOST)
    patch = forms.ChoiceField(
        label="Patch", choices=[(name, name) for name in patches.PATCHES]
    )
    cloth_1 = forms.CharField(label="First cloth", required=False, max_length=30)
    cloth_2 = forms.CharField(label="Second cloth", required=False, max_length=30)
    cloth_3 = forms.CharField(label="Third cloth", required=False, max_length=30)
    turn = forms.ChoiceField(label="Turned", choices=TURNS, widget=forms.RadioSelect)
    wide = WholeNumberField(label="Steps wide", lowest=1, highest=MOST)
    high = WholeNumberField(label="Steps high", lowest=1, highest=MOST)
    four = forms.BooleanField(
        label="In all four turns round the middle", required=False
    )
    lines = LinesField(
        label="The same as lines",
        required=False,
        help_text="A patch a line: flying geese: ground, point at 2 1, 2 by 1, turned 2.",
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false"}),
    )
    chosen = forms.CharField(required=False, widget=forms.HiddenInput)
    lines_were = forms.CharField(required=False, widget=forms.HiddenInput)
    number = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, typed: Mapping[str, str] | None, **kwargs: Any) -> None:
        super().__init__({**FIRST, **(typed or {})}, **kwargs)
        for cloth in CLOTHS:
            attrs = {"autocomplete": "off", "list": "cloths"}
            self.fields[cloth].widget.attrs.update(attrs)
        for box in ("name", *CLOTHS, "lines"):
            # Asked for by what is done with it, so that its label says nothing.
            self.fields[box].is_one_of_two = True  # type: ignore[attr-defined]
        self.layout: Layout | None = None
        self.last: Place | None = None

    # ------------------------------------------------------------ reading

    def read(self) -> None:
        """Read the lines into a layout. What is wrong is said at its box."""
        self.full_clean()
        if not {"lines", "across", "down"}.isdisjoint(self.errors):
            return
        try:
            lines = own_blocks.read_lines(self.cleaned_data["lines"])
            across = lines.across or self.cleaned_data["across"]
            down = lines.down or self.cleaned_data["down"]
            self.layout = own_layouts.checked(Layout(across, down, lines.cells))
            self.show(across=str(across), down=str(down))
            if lines.name != own_blocks.UNNAMED:
                self.show(name=lines.name)
        except StudioError as error:
            self.refuse(error, "lines")

    def show(self, **values: str) -> None:
        """Let boxes show something else than what was sent."""
        self.data = {**self.data, **values}

    @property
    def place(self) -> Place | None:
        """Give the chosen column and row, if one is chosen and stands on the grid."""
        found = PLACE.fullmatch(str(self.data.get("chosen", "")))
        return (int(found[1]), int(found[2])) if found else None

    @property
    def lines_are_new(self) -> bool:
        """Tell whether somebody typed into the lines."""
        were = self.data.get("lines_were")
        return bool(were) and were != mark_of(self.cleaned_data.get("lines", ""))

    def in_hand(self, place: Place) -> Cell | None:
        """Give the patch in hand for a place, or nothing if a box is wrong."""
        boxes = ("patch", "turn", "wide", "high", *CLOTHS)
        if any(box in self.errors for box in boxes):
            return None
        typed = self.cleaned_data
        patch = patches.patch_named(typed["patch"])
        cloths = [typed[cloth] for cloth in CLOTHS][: len(patch.slots)]
        size = hand_size(patch, typed["wide"], typed["high"], int(typed["turn"]))
        return own_blocks.cell_at(patch.name, cloths, place, size, int(typed["turn"]))

    # ------------------------------------------------------------ showing

    def keep_layout(self, layout: Layout) -> None:
        """Let the page show this layout, in the grid and as lines."""
        self.layout = layout
        self.show(lines=layout.lines, lines_were=mark_of(layout.lines))

    def take_up(self, placed: Cell) -> None:
        """Take what lies on the grid in hand, to be changed where it lies."""
        place = (int(placed.x) + 1, int(placed.y) + 1)
        self.last = place
        self.show(**hand_of(placed), chosen=f"{place[0]}-{place[1]}")
        self.data = {name: v for name, v in self.data.items() if name != "four"}

    def lay_down(self, place: Place) -> None:
        """Have nothing chosen any more; a place is where she was last."""
        self.last = place
        self.show(chosen="")

    @property
    def spots(self) -> list[list[Spot]]:
        """Give the grid row by row, each patch where it begins."""
        layout = self.layout
        if layout is None:
            return []
        begins = {(int(c.x) + 1, int(c.y) + 1): c for c in layout.cells}
        bare = set(layout.gaps)
        rows = range(1, layout.down + 1)
        columns = range(1, layout.across + 1)
        return [
            [
                Spot(
                    (x, y),
                    begins.get((x, y)),
                    (x, y) == self.place,
                    (x, y) == self.last,
                )
                for x in columns
                if (x, y) in begins or (x, y) in bare
            ]
            for y in rows
        ]

    @property
    def block(self) -> Block | None:
        name = str(self.data.get("name", "")) or own_blocks.UNNAMED
        return self.layout.block(name) if self.layout else None

    @property
    def hand(self) -> Cell | None:
        """Give the patch in hand, to be drawn."""
        try:
            return self.in_hand((1, 1))
        except StudioError:
            return None

    @property
    def cloths(self) -> list[str]:
        """Give the cloths to choose from: those in use, then the usual ones."""
        used = self.block.roles if self.block else ()
        return list(dict.fromkeys((*used, *USUAL_CLOTHS)))

    @property
    def is_begun(self) -> bool:
        return bool(self.layout and self.layout.cells)


def hand_size(patch: patches.Patch, wide: int, high: int, turn: int) -> tuple[int, int]:
    """Give the box in steps: the wanted shape where the two numbers leave it open.

    A patch of two by one that is asked for as one by one takes two steps.
    """
    if patch.box == "two by one" and wide == high:
        return (wide, 2 * high) if turn % 2 else (2 * wide, high)
    return wide, high


def hand_of(placed: Cell) -> dict[str, str]:
    """Give what the boxes say of a patch that lies on the grid."""
    cloths = dict(zip(CLOTHS, (*placed.roles, "", ""), strict=False))
    return {
        "patch": placed.patch.name,
        "turn": str(placed.turn),
        "wide": str(placed.width),
        "high": str(placed.height),
        **{name: cloth for name, cloth in cloths.items() if cloth},
    }


def mark_of(lines: str) -> str:
    """Mark lines, so that it is seen whether somebody typed into them."""
    plain = "\n".join(map(str.strip, lines.splitlines()))
    return hashlib.sha256(plain.encode()).hexdigest()[:16]


def of_block(block: Block) -> dict[str, str]:
    """Give the boxes for a block that is to be changed."""
    lines = "\n".join(map(own_blocks.line_of, block.cells))
    return {
        "name": block.name,
        "across": str(block.across),
        "down": str(block.down),
        "lines": lines,
        "lines_were": mark_of(lines),
    }
