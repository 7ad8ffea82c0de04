"""Forms turn what was typed into exact values, and never write.

Every form carries a request id made with the page, so that what is sent twice is done
once.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, time
from fractions import Fraction
from typing import Any, TypeVar
from uuid import uuid4

from django import forms
from django.core.exceptions import ValidationError

from studio import clock, days, lengths, money
from studio.errors import StudioError

Typed = TypeVar("Typed")

LARGEST_COUNT = 99_999
# A form's own sentence takes the place of Django's general one.
_PLAIN_REQUIRED = forms.Field.default_error_messages["required"]

_WHOLE = re.compile(r"[0-9]{1,9}|[0-9]{1,3}(,[0-9]{3})+")
_CLOCK = re.compile(
    r"(?P<hour>[0-9]{1,2})([:.](?P<minute>[0-9]{2}))?\s*(?P<half>[ap])\.?m\.?"
    r"|(?P<hour24>[0-9]{1,2})[:.](?P<minute24>[0-9]{2})"
)
_STALE_PAGE = "This page cannot be sent as it is. Open it again and send it from there."


def read_with(read: Callable[[str], Typed], typed: str) -> Typed:
    """Read by a pure parser, turning its sentence into the form's own."""
    if "\0" in typed:
        # PostgreSQL cannot even look for it, so it must not reach a query.
        raise ValidationError(
            "There is a sign in this box that cannot be kept. Type it again, please.",
            code="nought_byte",
        )
    try:
        return read(typed)
    except StudioError as error:
        raise ValidationError(str(error), code=type(error).__name__) from error


class TypedField(forms.CharField):
    """A box of text that stands for an exact value; empty stands for none."""

    inputmode = "text"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.empty_value = None
        self.widget.attrs.setdefault("inputmode", self.inputmode)
        self.widget.attrs.setdefault("autocomplete", "off")

    def read(self, typed: str) -> Any:
        raise NotImplementedError

    def show(self, value: Any) -> str:
        raise NotImplementedError

    def to_python(self, value: Any) -> Any:
        typed = super().to_python(value)
        return None if typed is None else read_with(self.read, typed)

    def prepare_value(self, value: Any) -> Any:
        """Show a stored value as it would be typed, and typed text as it stands."""
        return value if value is None or isinstance(value, str) else self.show(value)

    def has_changed(self, initial: Any, data: Any) -> bool:
        return bool(self.prepare_value(initial) != data)


class WholeNumberField(TypedField):
    """A whole number in a range, such as minutes; the sentence names the range."""

    inputmode = "numeric"

    def __init__(
        self, *, lowest: int = 0, highest: int = LARGEST_COUNT, **kwargs: Any
    ) -> None:
        self.lowest, self.highest = lowest, highest
        super().__init__(**kwargs)

    def read(self, typed: str) -> int:
        plain = "".join(typed.split())
        if _WHOLE.fullmatch(plain):
            number = int(plain.replace(",", ""))
            if self.lowest <= number <= self.highest:
                return number
        raise ValidationError(self.sentence(typed), code="not-a-number-here")

    def sentence(self, typed: str) -> str:
        return f"{typed} does not fit here. {self.range_sentence}"

    @property
    def range_sentence(self) -> str:
        return f"Write a whole number from {self.lowest:,} to {self.highest:,}."

    def show(self, value: Any) -> str:
        return str(value)


class CountField(WholeNumberField):
    """A number of goods: whole, and above nought unless `lowest` says otherwise."""

    def __init__(self, *, lowest: int = 1, **kwargs: Any) -> None:
        super().__init__(lowest=lowest, **kwargs)

    def sentence(self, typed: str) -> str:
        return (
            f"{typed} is not a number of goods this book can take. "
            f"{self.range_sentence}"
        )


class BelowNought(StudioError):
    """An amount of money under nought where only nought or more makes sense."""

    def __init__(self, typed: str) -> None:
        self.typed = typed
        super().__init__(
            f"“{typed}” is below nought. Write an amount of nought or more."
        )


class PoundsField(TypedField):
    """Pounds and pence as typed; whole pence as cleaned."""

    inputmode = "decimal"

    def __init__(self, *, may_be_below_nought: bool = False, **kwargs: Any) -> None:
        self.may_be_below_nought = may_be_below_nought
        super().__init__(**kwargs)

    def read(self, typed: str) -> int:
        pence = self.parse(typed)
        if pence < 0 and not self.may_be_below_nought:
            raise BelowNought(typed)
        return pence

    def parse(self, typed: str) -> int:
        return money.parse_pounds(typed)

    def show(self, value: Any) -> str:
        return money.show_pounds(value).replace("£", "")


class CostField(PoundsField):
    """A unit cost of up to three places as typed; thousandths of a pound as cleaned."""

    def parse(self, typed: str) -> int:
        return money.parse_cost(typed)

    def show(self, value: Any) -> str:
        return money.show_cost(value).replace("£", "")


class InchesFormField(TypedField):
    """A length as typed, in inches unless it says a unit; exact inches as cleaned."""

    def read(self, typed: str) -> Fraction:
        return lengths.parse_length(typed)

    def show(self, value: Any) -> str:
        shown = lengths.show_inches(value)
        whole, rest = divmod(value, 1)
        return f"{whole} {rest}" if shown.startswith("about") else shown


class DayField(TypedField):
    """A day as typed, the day before the month. The form is told what day it is."""

    today: date | None = None

    def read(self, typed: str) -> date:
        today = self.today or clock.today(clock.now())
        return days.parse_day(typed, today=today)

    def show(self, value: Any) -> str:
        return days.show_day(value)


class ClockUnreadable(StudioError):
    """A time of day that no clock shows."""

    def __init__(self, typed: str) -> None:
        self.typed = typed
        super().__init__(f"“{typed}” is not a time of day. Write it like 16:45.")


def hour_of(found: re.Match[str]) -> int:
    """Return the hour; `time` refuses one that no clock shows."""
    if not found["half"]:
        return int(found["hour24"])
    hour = int(found["hour"])
    if not 1 <= hour <= 12:
        return -1
    return hour % 12 + (12 if found["half"] == "p" else 0)


class ClockField(TypedField):
    """A time of day as typed: on the clock of twenty-four hours, or with am and pm."""

    def read(self, typed: str) -> time:
        found = _CLOCK.fullmatch(typed.strip().lower())
        if found is None:
            raise ClockUnreadable(typed)
        try:
            return time(hour_of(found), int(found["minute"] or found["minute24"] or 0))
        except ValueError:
            raise ClockUnreadable(typed) from None

    def show(self, value: Any) -> str:
        return str(value.isoformat("minutes"))


class LinesField(forms.CharField):
    """Lines of text, such as an address; browsers' line ends become plain ones."""

    widget = forms.Textarea

    def to_python(self, value: Any) -> str:
        lines = str(super().to_python(value)).splitlines()
        return "\n".join(line.strip() for line in lines)


class StudioForm(forms.Form):
    """The base of every form that writes.

    Pass `today=request.today` where a field is a day. `request_id` keeps its plain
    name beside any prefix, and a form sent back with errors keeps the same id.
    """

    use_required_attribute = False

    request_id = forms.UUIDField(
        widget=forms.HiddenInput(attrs={"id": False}),
        initial=uuid4,
        error_messages={"required": _STALE_PAGE, "invalid": _STALE_PAGE},
    )

    def __init__(self, *args: Any, today: date | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            if isinstance(field, DayField):
                field.today = today
            if field.error_messages.get("required") == _PLAIN_REQUIRED:
                label = field.label or name.replace("_", " ").capitalize()
                field.error_messages["required"] = (
                    f"{label} is empty. Fill it in, please."
                )

    def add_prefix(self, field_name: str) -> str:
        if field_name == "request_id":
            return field_name
        return super().add_prefix(field_name)

    def refuse(self, error: StudioError, field: str | None = None) -> None:
        """Show an action's sentence where the form's own errors stand."""
        self.add_error(field, ValidationError(str(error), code=type(error).__name__))


class RequestIdForm(StudioForm):
    """A form of one button: nothing but the request id."""
