"""Forms of the blocks pages: they read what a maker asks, and write nothing.

They are asked in the address, so that a table can be kept and sent on, and carry no
request id.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from django import forms

from inventory.models import Design, Item
from studio.errors import StudioError
from studio.forms import WholeNumberField, read_with
from studio.maths import block_asking, blocks
from studio.maths.block_asking import USUAL_SEAM, Asked
from studio.maths.blocks import SizeUnkind
from studio.maths.known_blocks import KnownBlock
from studio.maths.metric import INCH
from studio.maths.patch.recipe import Cutting, Making

MOST_BLOCKS = 999
MOST_SIZES = 24
NO_SIZES = "Write one finished size or more, such as 6, 8, 9 1/2."
SYSTEMS = (("inch", "inches"), ("metric", "centimetres, redrafted"))
PAPERS = (("a5", "A5"), ("a4", "A4"))


class MakingForm(forms.Form):
    """How a block is made: system, mode, seam, and the way of each patch."""

    use_required_attribute = False

    system = forms.ChoiceField(label="Cut in", choices=SYSTEMS)
    mode = forms.ChoiceField(
        label="Sizes",
        choices=[(mode.value, words) for mode, words in block_asking.MODES.items()],
    )
    seam = forms.CharField(
        label="Seam",
        help_text="Usual is ¼ in, or 7.5 mm in centimetres. Write another if you sew it.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(
        self, asked: Mapping[str, str], *, known: KnownBlock, **kwargs: Any
    ) -> None:
        self.known = known
        usual = {"system": "inch", "mode": Cutting.TRADE.value}
        ways = {way_box(one.name): one.way_names[0] for one in known.choices}
        blank = {} if asked.get("seam", "").strip() else {"seam": USUAL_SEAM}
        filled = {**usual, **ways, **self.first(), **asked, **blank}
        super().__init__(filled, **kwargs)
        for patch in known.choices:
            self.fields[way_box(patch.name)] = forms.ChoiceField(
                label=f"{patch.name.capitalize()}, made",
                choices=[(way, way) for way in patch.way_names],
            )

    def first(self) -> dict[str, str]:
        """Give what stands in the boxes before anything is asked."""
        return {}

    def clean_seam(self) -> str:
        typed = str(self.cleaned_data["seam"])
        metric = self.is_metric
        read_with(lambda seam: block_asking.read_seam(seam, metric=metric), typed)
        return typed

    @property
    def is_metric(self) -> bool:
        sizes = self.data.get("size") or self.data.get("sizes") or ""
        return self.data.get("system") == "metric" or block_asking.wants_metric(sizes)

    @property
    def ways(self) -> dict[str, str]:
        boxes = {patch.name: way_box(patch.name) for patch in self.known.choices}
        return {name: self.cleaned_data[box] for name, box in boxes.items()}

    @property
    def making(self) -> Making:
        ruler = block_asking.read_seam(self.cleaned_data["seam"], metric=self.is_metric)
        return Making(Cutting(self.cleaned_data["mode"]), ruler)

    @property
    def ways_fields(self) -> list[forms.BoundField]:
        return [self[way_box(patch.name)] for patch in self.known.choices]


class BlockForm(MakingForm):
    """One block at one finished size."""

    size = forms.CharField(
        label="Finished size",
        help_text="As you write it: 9, 4 1/2, 11¼ in or 30 cm.",
        error_messages={"required": "Write how large the block ends up, such as 9."},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    number = WholeNumberField(label="How many blocks", lowest=1, highest=MOST_BLOCKS)

    asked: Asked | None = None
    unkind: SizeUnkind | None = None

    def first(self) -> dict[str, str]:
        return {"size": INCH.show(self.known.first_inches), "number": "1"}

    def clean(self) -> dict[str, Any]:
        if not self.errors:
            try:
                self.asked = self._asked()
            except StudioError as error:
                self.unkind = error if isinstance(error, SizeUnkind) else None
                self.add_error("size", str(error))
        return self.cleaned_data

    def _asked(self) -> Asked:
        asked = block_asking.read_asked(
            self.known, self.cleaned_data["size"], making=self.making, ways=self.ways
        )
        blocks.cut_list(
            self.known.block, asked.finished_inches, asked.making, self.ways
        )
        return asked


class BookletForm(MakingForm):
    """One block at several sizes: those that a design is sold in, or those typed."""

    design = forms.ModelChoiceField(
        label="A design and the sizes it is sold in",
        required=False,
        queryset=Design.objects.none(),
        empty_label="sizes as written below",
    )
    sizes = forms.CharField(
        label="Finished sizes",
        help_text="With commas between: 6, 8, 9 1/2.",
        error_messages={"required": NO_SIZES},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    blocks = WholeNumberField(
        label="Cloth for how many blocks", lowest=1, highest=MOST_BLOCKS
    )
    paper = forms.ChoiceField(label="Paper", choices=PAPERS)

    sized: tuple[Asked, ...] = ()

    def __init__(self, asked: Mapping[str, str], **kwargs: Any) -> None:
        number = asked.get("number", "")
        blocks = {"blocks": number} if number.isdigit() else {}
        super().__init__({**blocks, **asked}, **kwargs)
        sized = Item.objects.filter(is_sold=True, finished_size__isnull=False)
        self.fields["design"].queryset = Design.objects.filter(  # type: ignore[attr-defined]
            items__in=sized
        ).distinct()

    def first(self) -> dict[str, str]:
        first = self.known.first_inches
        shown = (INCH.show(first * n / 2).removesuffix(" in") for n in (2, 3, 4))
        return {"sizes": ", ".join(shown), "blocks": "1", "paper": "a5"}

    def clean(self) -> dict[str, Any]:
        if not self.errors:
            box = "design" if self.cleaned_data["design"] else "sizes"
            try:
                self.sized = tuple(self._asked(size) for size in self._sizes())
            except StudioError as error:
                self.add_error(box, str(error))
        return self.cleaned_data

    def _sizes(self) -> list[str]:
        design = self.cleaned_data["design"]
        if design:
            return sizes_sold(design)
        return typed_sizes(self.cleaned_data["sizes"])

    def _asked(self, size: str) -> Asked:
        return block_asking.read_asked(
            self.known, size, making=self.making, ways=self.ways
        )


def way_box(patch: str) -> str:
    """Give the name of the box that holds how a patch is made."""
    return f"way-{'-'.join(patch.split())}"


def typed_sizes(typed: str) -> list[str]:
    """Part sizes that are typed with commas, semicolons or "and" between them."""
    sizes = re.split(r"\s*[,;]\s*|\s+and\s+", typed.strip(" ,;"))
    if not sizes[0]:
        raise StudioError(NO_SIZES)
    if len(sizes) > MOST_SIZES:
        raise StudioError(f"A booklet holds up to {MOST_SIZES} sizes. Write fewer.")
    return sizes


def sizes_sold(design: Design) -> list[str]:
    """Give the finished sizes of what is sold of a design, smallest first."""
    found = design.items.filter(is_sold=True, finished_size__isnull=False)
    sizes = {item.finished_size for item in found if item.finished_size is not None}
    return [f"{size.numerator}/{size.denominator}" for size in sorted(sizes)]
