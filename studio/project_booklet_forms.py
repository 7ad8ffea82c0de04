"""The form of a project's booklet: its sizes and its paper; the project stands beside.

Everything that the project's page asks is handed on as it stands, and only the size of
its block changes from column to column.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from django import forms

from inventory.models import Design, Item
from studio.block_forms import NO_SIZES, PAPERS, sizes_sold, typed_sizes
from studio.errors import StudioError
from studio.maths.project_tables import Planned
from studio.maths.projects import OnPoint
from studio.project_forms import FIRST, ProjectForm

OWN_ROWS = "rows"


class ProjectBookletForm(forms.Form):
    """The sizes of a project's block: those a design is sold in, or those typed."""

    use_required_attribute = False

    design = forms.ModelChoiceField(
        label="A design and the sizes it is sold in",
        required=False,
        queryset=Design.objects.none(),
        empty_label="sizes as written below",
    )
    sizes = forms.CharField(
        label="Finished sizes of the block",
        required=False,
        help_text="With commas between: 6, 8, 9 1/2.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    paper = forms.ChoiceField(label="Paper", choices=PAPERS)

    def __init__(self, asked: Mapping[str, str]) -> None:
        self.asked = dict(asked)
        usual = {"sizes": asked.get("size") or FIRST["size"], "paper": "a5"}
        super().__init__({**usual, **asked})
        sized = Item.objects.filter(is_sold=True, finished_size__isnull=False)
        designs = Design.objects.filter(items__in=sized).distinct()
        cast(forms.ModelChoiceField, self.fields["design"]).queryset = designs  # type: ignore[type-arg]
        # One of the two is enough, so neither label says that it may be left out.
        self.fields["sizes"].is_one_of_two = True  # type: ignore[attr-defined]
        self.sized: list[tuple[str, Planned]] = []
        self.left_out: list[str] = []

    def clean(self) -> dict[str, Any]:
        if not self.errors:
            box = "design" if self.cleaned_data["design"] else "sizes"
            try:
                self._plan(self._sizes())
            except StudioError as error:
                self.add_error(box, str(error))
        return self.cleaned_data

    @property
    def project(self) -> list[tuple[str, str]]:
        """Give what the project's page asked, to be handed on."""
        return [
            (name, typed)
            for name, typed in self.asked.items()
            if name in ProjectForm.base_fields
        ]

    def _sizes(self) -> list[str]:
        if self.asked.get("layout") == OWN_ROWS:
            return [self.asked.get("size") or FIRST["size"]]
        if self.cleaned_data["design"]:
            return sizes_sold(self.cleaned_data["design"])
        return typed_sizes(self.cleaned_data["sizes"] or "")

    def _plan(self, sizes: list[str]) -> None:
        for size in sizes:
            form = ProjectForm({**self.asked, "size": size})
            if form.is_valid() and form.planned is not None:
                self.sized.append((self._heading(form.planned), form.planned))
            else:
                said = [str(e) for es in form.errors.values() for e in es]
                self.left_out += dict.fromkeys(said)
        if not self.sized:
            raise StudioError(" ".join(self.left_out) or NO_SIZES)

    def _heading(self, planned: Planned) -> str:
        if self.asked.get("layout") == OWN_ROWS:
            return "As laid out"
        panel = planned.panel
        sized = panel if isinstance(panel, OnPoint) else panel.rows[0]
        inches = sized.finished_inches
        return f"{planned.ruler.show(inches)} blocks"
