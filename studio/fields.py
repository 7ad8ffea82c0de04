"""Model fields that keep exact values."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from django.db import models

if TYPE_CHECKING:
    Text = models.CharField[Fraction | str | None, Fraction | None]
else:
    Text = models.CharField


class InchesField(Text):
    """Keep an exact length in inches as text such as `17/4`."""

    description = "Exact inches"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 24)
        super().__init__(*args, **kwargs)

    def from_db_value(
        self, value: str | None, expression: object, connection: object
    ) -> Fraction | None:
        return None if value in (None, "") else Fraction(value)

    def to_python(self, value: Any) -> Fraction | None:
        return None if value in (None, "") else Fraction(value)

    def get_prep_value(self, value: Any) -> str | None:
        return None if value in (None, "") else str(Fraction(value))

    def value_to_string(self, obj: models.Model) -> str:
        return self.get_prep_value(self.value_from_object(obj)) or ""
