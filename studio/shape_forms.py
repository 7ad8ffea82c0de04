"""The form of a template shape: its finished sizes and the seam; it writes nothing.

It is asked in the address, so that a size can be kept and sent on.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from django import forms

from studio.errors import StudioError
from studio.forms import read_with
from studio.lengths import parse_length
from studio.maths import block_asking, template_shapes
from studio.maths.block_asking import USUAL_SEAM
from studio.maths.finished_sizes import checked_finished
from studio.maths.metric import INCH, Ruler
from studio.maths.template_shapes import Template, TemplateShape


class ShapeForm(forms.Form):
    """One template at its finished sizes."""

    use_required_attribute = False

    seam = forms.CharField(
        label="Seam",
        help_text="Usual is ¼ in, or 7.5 mm in centimetres. Write another if you sew it.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    made: Template | None = None

    def __init__(
        self, asked: Mapping[str, str], *, shape: TemplateShape, **kwargs: Any
    ) -> None:
        self.shape = shape
        first = dict(zip(self.boxes, map(INCH.show, shape.first_inches), strict=True))
        blank = {} if asked.get("seam", "").strip() else {"seam": USUAL_SEAM}
        super().__init__({**first, **asked, **blank}, **kwargs)
        for box, asks in zip(self.boxes, shape.asks, strict=True):
            self.fields[box] = forms.CharField(
                label=f"{asks}, finished",
                help_text="As you write it: 3, 4 1/2, 2¼ in or 10 cm.",
                error_messages={"required": f"Write the {asks.lower()}, such as 3."},
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
            )
        self.order_fields([*self.boxes, "seam"])

    @property
    def boxes(self) -> list[str]:
        return [f"side-{n}" for n, _ in enumerate(self.shape.asks, 1)]

    @property
    def is_metric(self) -> bool:
        return any(
            block_asking.wants_metric(self.data.get(box, "")) for box in self.boxes
        )

    def clean_seam(self) -> str:
        typed = str(self.cleaned_data["seam"])
        read_with(self._ruler, typed)
        return typed

    def clean(self) -> dict[str, Any]:
        sizes = {box: self._size(box) for box in self.boxes if box not in self.errors}
        if not self.errors:
            ruler = self._ruler(self.cleaned_data["seam"])
            inches = [sizes[box] or Fraction(0) for box in self.boxes]
            try:
                self.made = template_shapes.template(self.shape, inches, ruler)
            except StudioError as error:
                self.add_error(self.boxes[0], str(error))
        return self.cleaned_data

    def _ruler(self, typed: str) -> Ruler:
        return block_asking.read_seam(typed, metric=self.is_metric)

    def _size(self, box: str) -> Fraction | None:
        """Read one size; what is wrong with it stands by its own box."""
        asks = self.shape.asks[self.boxes.index(box)].lower()
        ruler = self._ruler("")
        try:
            inches = parse_length(self.cleaned_data[box])
            return checked_finished(f"{asks} of the {self.shape.name}", inches, ruler)
        except StudioError as error:
            self.add_error(box, str(error))
            return None
