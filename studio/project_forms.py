"""The form of a project: asked in the address, like the blocks, and kept nowhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, cast

from django import forms

from studio import block_book
from studio.errors import StudioError
from studio.forms import WholeNumberField, read_with
from studio.maths import block_asking, finishing, project_asking, projects
from studio.maths.block_asking import USUAL_SEAM
from studio.maths.blocks import SizeUnkind
from studio.maths.finishing import BEDS, Bed
from studio.maths.known_blocks import KNOWN, KnownBlock
from studio.maths.patch.recipe import Cutting, Making
from studio.maths.project_asking import Reach, StripUnkind
from studio.maths.project_kinds import KINDS, Kind
from studio.maths.project_strips import Border, Sashing
from studio.maths.project_tables import Planned
from studio.maths.projects import OnPoint, Project

LAYOUTS = (
    ("straight", "straight"),
    ("on point", "on point, each block on its tip"),
    ("rows", "rows of my own, written below"),
)
LARGE = (
    ("count", "by so many blocks"),
    ("cover", "to cover a size"),
    ("bed", "to cover a bed"),
)
BORDERS = ("border_1", "border_2", "border_3")
MOST_BLOCKS_A_SIDE = 100
FIRST = {
    "kind": "cushion",
    "layout": "straight",
    "block": "sawtooth-star",
    "size": "8 in",
    "large": "count",
    "across": "2",
    "down": "2",
    "cover": "16 × 48 in",
    "bed": "single",
    "drop": "10 in",
    "rows": "4 × sawtooth star at 4\n5 rows of 2 × star in a star at 8\n"
    "4 × sawtooth star at 4",
    "system": "inch",
    "mode": Cutting.TRADE.value,
    "seam": USUAL_SEAM,
}
_BOX = {"autocomplete": "off"}


def _length(label: str, **kwargs: Any) -> forms.CharField:
    field = forms.CharField(label=label, widget=forms.TextInput(attrs=_BOX), **kwargs)
    # An empty width means none, so that its label says nothing.
    field.is_one_of_two = True  # type: ignore[attr-defined]
    return field


class ProjectForm(forms.Form):
    """A kind of project, its blocks and layout, and how large it becomes."""

    use_required_attribute = False

    kind = forms.ChoiceField(label="Make a", choices=[(kind, kind) for kind in KINDS])
    layout = forms.ChoiceField(label="Set", choices=LAYOUTS)
    block = forms.ChoiceField(label="Block")
    size = _length("Finished size of a block", help_text="As you write it: 8, 4 1/2.")
    alternate = forms.ChoiceField(
        label="Second block",
        required=False,
        help_text="By turns with the first; on point it lies between them.",
    )
    rows = forms.CharField(
        label="Rows, from the top",
        required=False,
        help_text="How many, a block or a unit, and its size: 4 × sawtooth star at 4.",
        widget=forms.Textarea(attrs={"rows": 5, "spellcheck": "false"}),
    )
    large = forms.ChoiceField(label="How large", choices=LARGE)
    across = WholeNumberField(
        label="Blocks across", lowest=1, highest=MOST_BLOCKS_A_SIDE
    )
    down = WholeNumberField(label="Blocks down", lowest=1, highest=MOST_BLOCKS_A_SIDE)
    cover = _length("Size to cover", help_text="Across and down: 16 × 48.")
    bed = forms.ChoiceField(label="Bed", choices=[(bed.name, bed.name) for bed in BEDS])
    drop = _length("Hanging down", help_text="At both sides and at the foot.")
    sash = _length("Sashing", required=False, help_text="Its width, or nothing.")
    stones = forms.BooleanField(label="With cornerstones", required=False)
    border_1 = _length("First border", required=False, help_text="The inmost.")
    border_2 = _length("Second border", required=False)
    border_3 = _length("Third border", required=False)
    corners = forms.BooleanField(label="With squares at the corners", required=False)
    system = forms.ChoiceField(
        label="Cut in",
        choices=(("inch", "inches"), ("metric", "centimetres, redrafted")),
    )
    mode = forms.ChoiceField(
        label="Sizes",
        choices=[(mode.value, words) for mode, words in block_asking.MODES.items()],
    )
    seam = _length("Seam", help_text="Usual is ¼ in, or 7.5 mm in centimetres.")

    planned: Planned | None = None
    unkind: SizeUnkind | StripUnkind | None = None
    unkind_box = "size"

    def __init__(self, asked: Mapping[str, str]) -> None:
        shown = {**FIRST, **asked}
        idle = {box: FIRST[box] for box in idle_boxes(shown) if not shown[box].strip()}
        super().__init__({**shown, **idle})
        self.own = block_book.own_listed()
        self.known = (*self.own, *KNOWN)
        self._also(shown["block"])
        listed = [(one.slug, one.name) for one in self.known]
        self._choices("block", listed)
        self._choices("alternate", [("", "none"), *listed])
        for name, field in self.fields.items():
            field.error_messages["required"] = f"{field.label} is empty. Fill it in."
            if name in ("rows", "alternate"):
                field.is_one_of_two = True  # type: ignore[attr-defined]

    def _also(self, word: str) -> None:
        """Let a block be chosen that is not on the list, such as a star 5 deep."""
        try:
            asked = self._find(word)
        except StudioError:
            return
        if asked not in self.known:
            self.known = (asked, *self.known)

    def _find(self, name: str) -> KnownBlock:
        return block_book.find_among(self.own, name)

    def _choices(self, box: str, choices: Sequence[tuple[str, str]]) -> None:
        field = self.fields[box]
        cast(forms.ChoiceField, field).choices = choices

    # ------------------------------------------------------------ reading

    def clean_seam(self) -> str:
        typed = str(self.cleaned_data["seam"])
        metric = self.is_metric
        read_with(lambda seam: block_asking.read_seam(seam, metric=metric), typed)
        return typed

    @property
    def is_metric(self) -> bool:
        sized = str(self.data.get("size", ""))
        return self.data.get("system") == "metric" or block_asking.wants_metric(sized)

    @property
    def making(self) -> Making:
        ruler = block_asking.read_seam(self.cleaned_data["seam"], metric=self.is_metric)
        return Making(Cutting(self.cleaned_data["mode"]), ruler)

    def clean(self) -> dict[str, Any]:
        if not self.errors:
            self._plan()
        return self.cleaned_data

    def _plan(self) -> None:
        """Work the panel out, each mistake named at the box that it was made in."""
        making = self.making
        panel = self._panel(making)
        if panel is None:
            return
        planned = Planned(cast(Kind, self.cleaned_data["kind"]), panel, making)
        box = "rows" if self.cleaned_data["layout"] == "rows" else "size"
        try:
            planned.cloth_list()
            self.planned = planned
        except SizeUnkind as unkind:
            self._refuse(unkind, box)
        except StudioError as error:
            self.add_error(box if box == "rows" else None, str(error))

    def _panel(self, making: Making) -> Project | OnPoint | None:
        widths = {box: self._width(box, making) for box in ("sash", *BORDERS)}
        if self.errors:
            return None
        borders = tuple(
            self._border(n, widths[box]) for n, box in enumerate(BORDERS, 1)
        )
        borders = tuple(border for border in borders if border.width_inches)
        if self.cleaned_data["layout"] == "rows":
            return self._of_rows(making, widths["sash"], borders)
        block = self._block("block")
        size = self._read("size", lambda typed: self._size(block, typed, making))
        reach = self._reach(making)
        if self.errors:
            return None
        return self._of_blocks(making, block, size, widths["sash"], borders, reach)

    def _of_rows(
        self, making: Making, sash: Fraction, borders: tuple[Border, ...]
    ) -> Project | None:
        rows = self._read(
            "rows",
            lambda typed: project_asking.read_rows(
                typed, block_book.find, making.ruler
            ),
        )
        if rows is None:
            return None
        name = self.cleaned_data["kind"]
        return Project(name, rows, self._sashing(sash), borders, making.ruler)

    def _of_blocks(
        self,
        making: Making,
        known: KnownBlock,
        size: Fraction,
        sash: Fraction,
        borders: tuple[Border, ...],
        reach: Reach | None,
    ) -> Project | OnPoint:
        block, kind = known.block, self.cleaned_data["kind"]
        edge = sum((border.width_inches for border in borders), Fraction(0))
        across, down = self.cleaned_data["across"], self.cleaned_data["down"]
        second = self.cleaned_data["alternate"]
        other = self._block("alternate").block if second else None
        if self.cleaned_data["layout"] == "on point":
            if reach:
                across, down = reach.on_point(size + sash, edge)
            return OnPoint(
                kind,
                block,
                size,
                across,
                down,
                other,
                sash_inches=sash,
                ruler=making.ruler,
                cornerstone_role=self._stones("stones", "cornerstone"),
                borders=borders,
            )
        if reach:
            sides = (size, block.height_inches(size))
            across, down = reach.straight(sides, sash, edge)
        panel = projects.of_blocks(kind, block, size, across, down, other)
        return replace(
            panel, sashing=self._sashing(sash), borders=borders, ruler=making.ruler
        )

    def _reach(self, making: Making) -> Reach | None:
        """Give the size that the blocks are to cover, if it is asked so."""
        ruler = making.ruler
        if self.cleaned_data["large"] == "cover":
            reach: Reach | None = self._read(
                "cover",
                lambda typed: project_asking.read_reach("Size to cover", typed, ruler),
            )
            return reach
        if self.cleaned_data["large"] != "bed":
            return None
        drop = self._read(
            "drop",
            lambda typed: project_asking.read_length("Hanging down", typed, ruler),
        )
        if drop is None:
            return None
        return Reach(*finishing.bed_quilt(bed_named(self.cleaned_data["bed"]), drop))

    # ------------------------------------------------------------ single boxes

    def _read(self, box: str, read: Any) -> Any:
        try:
            return read_with(read, str(self.cleaned_data[box]))
        except forms.ValidationError as wrong:
            self._refuse(wrong.__cause__, box, wrong.messages[0])
            return None

    def _refuse(self, error: Any, box: str, words: str = "") -> None:
        if isinstance(error, (SizeUnkind, StripUnkind)):
            self.unkind, self.unkind_box = error, box
        # The page writes the name of the box before the sentence.
        label = f"{self.fields[box].label}: "
        self.add_error(box, (words or str(error)).removeprefix(label))

    def _width(self, box: str, making: Making) -> Fraction:
        name = str(self.fields[box].label)
        ruler = making.ruler
        read = self._read(
            box, lambda typed: project_asking.read_width(name, typed, ruler)
        )
        return read or Fraction(0)

    def _size(self, known: KnownBlock, typed: str, making: Making) -> Fraction:
        return block_asking.read_size(known, typed, making.ruler)[0]

    def _block(self, box: str) -> KnownBlock:
        wanted = self.cleaned_data[box]
        return next(one for one in self.known if one.slug == wanted)

    def _stones(self, box: str, role: str) -> str:
        return role if self.cleaned_data[box] else ""

    def _sashing(self, width: Fraction) -> Sashing | None:
        role = self._stones("stones", "cornerstone")
        return Sashing(width, cornerstone_role=role) if width else None

    def _border(self, number: int, width: Fraction) -> Border:
        role = "border" if number == 1 else f"{ORDINALS[number]} border"
        return Border(width, role, self._stones("corners", "corner square"))


def idle_boxes(shown: Mapping[str, str]) -> tuple[str, ...]:
    """Give the boxes that are not asked for as the others stand."""
    large = "" if shown["layout"] == "rows" else shown["large"]
    asked_for = {"count": ("across", "down"), "cover": ("cover",), "bed": ("drop",)}
    boxes = [box for one, own in asked_for.items() if one != large for box in own]
    return (*boxes, "size") if shown["layout"] == "rows" else tuple(boxes)


ORDINALS = {2: "second", 3: "third"}


def bed_named(name: str) -> Bed:
    return next(bed for bed in BEDS if bed.name == name)
