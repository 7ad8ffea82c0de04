"""Forms of selling days: words become days, moments, pence and whole numbers."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any

from django import forms

from inventory.models import Item, Outlet
from production.models import Line, SellingDay
from studio import days
from studio.errors import StudioError
from studio.forms import (
    ClockField,
    CountField,
    DayField,
    PoundsField,
    StudioForm,
    WholeNumberField,
)

CHOOSE = "Choose one from the list."
ORDINARY_HUNDREDTHS = 100
# The boxes that are a moment together.
CLOCKS = (
    ("day", "starts"),
    ("day", "ends"),
    ("fixed_day", "fixed_clock"),
    ("goods_in_day", "goods_in_clock"),
)


class MomentHalfWritten(StudioError):
    """A day without its time, or a time without its day."""

    def __init__(self, what: str) -> None:
        self.what = what
        super().__init__(
            f"{what} has a day or a time but not both. Write both, or neither."
        )


class DayIsOver(StudioError):
    """A selling day written down after it was over; perhaps on purpose."""

    def __init__(self, ended_at: datetime) -> None:
        self.ended_at = ended_at
        super().__init__(
            f"It is over: it ended on {days.show_moment(ended_at)}, "
            f"{days.london_day(ended_at).year}. Write what was sold instead? Then tick "
            "so below. Or write the day that is meant."
        )


class SellingDayForm(StudioForm):
    """When and where goods are offered, and by when they must be there."""

    name = forms.CharField(max_length=120, label="What is it called?")
    kind = forms.ChoiceField(
        choices=SellingDay.Kind,
        label="What kind of day?",
        error_messages={"invalid_choice": CHOOSE},
    )
    outlet = forms.ModelChoiceField(
        queryset=Outlet.objects.all(),
        empty_label=None,
        label="Who sells?",
        error_messages={"invalid_choice": CHOOSE},
    )
    day = DayField(label="Day")
    starts = ClockField(label="Begins at", help_text="Like 15:00.")
    ends = ClockField(label="Ends at")
    fixed_day = DayField(required=False, label="Numbers are fixed on")
    fixed_clock = ClockField(required=False, label="Fixed at")
    goods_in_day = DayField(required=False, label="Goods-in on")
    goods_in_clock = ClockField(required=False, label="Goods-in at")
    repeat_of = forms.ModelChoiceField(
        queryset=SellingDay.objects.none(),
        required=False,
        empty_label="No, it stands alone",
        label="Does it repeat another?",
        error_messages={"invalid_choice": CHOOSE},
    )
    pitch = PoundsField(required=False, label="The pitch costs")
    crates = WholeNumberField(
        required=False, highest=200, label="Crates there is room for"
    )
    draws = WholeNumberField(
        required=False,
        lowest=1,
        highest=1000,
        label="This hour draws, in 100",
        help_text="100 is an ordinary hour. Write 80 for one that draws less.",
    )
    note = forms.CharField(required=False, max_length=200, label="Note")
    is_over = forms.BooleanField(
        required=False, label="It is over: I write what was sold."
    )

    def __init__(
        self,
        *args: Any,
        selling_day: SellingDay | None = None,
        now: datetime,
        **kwargs: Any,
    ) -> None:
        self.now = now
        self.was_over = selling_day is not None and selling_day.ends_at < now
        self.asks_whether_over = False
        kwargs.setdefault("initial", typed_day(selling_day))
        super().__init__(*args, **kwargs)
        others = SellingDay.objects.order_by("-starts_at")
        if selling_day is not None:
            others = others.exclude(pk=selling_day.pk)
        self.fields["repeat_of"].queryset = others  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        self.asks_whether_over = bool(found.get("is_over"))
        for name, what in (("fixed", "The fixing"), ("goods_in", "Goods-in")):
            if bool(found.get(f"{name}_day")) != bool(found.get(f"{name}_clock")):
                self.refuse(MomentHalfWritten(what), f"{name}_day")
        for day, clock in CLOCKS:
            self.check_clock(found.get(day), found.get(clock), clock)
        if not self.errors:
            self.ask_whether_over(found)
        return found

    def check_clock(self, day: date | None, clock: time | None, name: str) -> None:
        """Refuse a time that no clock shows on that day."""
        try:
            moment(day, clock)
        except StudioError as skipped:
            self.refuse(skipped, name)

    def ask_whether_over(self, found: dict[str, Any]) -> None:
        """Ask once about a day in the past; a day that was past already is known."""
        ends_at = days.at_clock(found["day"], found["ends"])
        if ends_at >= self.now or self.was_over:
            return
        self.asks_whether_over = True
        if not found["is_over"]:
            self.refuse(DayIsOver(ends_at), "day")

    def as_day(self) -> dict[str, Any]:
        """Return what `add_selling_day` and `change_selling_day` take."""
        found = self.cleaned_data
        return {
            "name": found["name"],
            "kind": found["kind"],
            "outlet": found["outlet"],
            "place": found["outlet"].place,
            "starts_at": days.at_clock(found["day"], found["starts"]),
            "ends_at": days.at_clock(found["day"], found["ends"]),
            "fixed_by": moment(found["fixed_day"], found["fixed_clock"]),
            "goods_in_at": moment(found["goods_in_day"], found["goods_in_clock"]),
            "repeat_of": found["repeat_of"],
            "pitch_pence": found["pitch"] or 0,
            "crates": found["crates"],
            "draws_hundredths": found["draws"] or ORDINARY_HUNDREDTHS,
            "note": found["note"],
        }


def moment(day: date | None, clock: time | None) -> datetime | None:
    return days.shown_moment(day, clock) if day and clock else None


def typed_day(selling_day: SellingDay | None) -> dict[str, Any]:
    """Return a selling day as its form would have been filled in.

    A new one is a slot, so it begins with the channel.
    """
    if selling_day is None:
        return {"outlet": Outlet.objects.filter(kind=Outlet.Kind.TELEVISION).first()}
    starts, ends = days.london(selling_day.starts_at), days.london(selling_day.ends_at)
    return {
        "name": selling_day.name,
        "kind": selling_day.kind,
        "outlet": selling_day.outlet_id,
        "day": starts.date(),
        "starts": starts.time(),
        "ends": ends.time(),
        **typed_moment("fixed", selling_day.fixed_by),
        **typed_moment("goods_in", selling_day.goods_in_at),
        "repeat_of": selling_day.repeat_of_id,
        "pitch": selling_day.pitch_pence or None,
        "crates": selling_day.crates,
        "draws": selling_day.draws_hundredths,
        "note": selling_day.note,
    }


def typed_moment(name: str, written: datetime | None) -> dict[str, Any]:
    if written is None:
        return {}
    local = days.london(written)
    return {f"{name}_day": local.date(), f"{name}_clock": local.time()}


class LineAddForm(StudioForm):
    """One more product on a selling day."""

    item = forms.ModelChoiceField(
        queryset=Item.objects.filter(is_sold=True).order_by("name"),
        empty_label="Choose",
        label="What is offered?",
        error_messages={
            "required": "Choose what is offered.",
            "invalid_choice": "That is not sold here. Choose one from the list.",
        },
    )
    wanted = CountField(
        required=False,
        lowest=0,
        label="How many?",
        help_text="Leave it empty to have a number proposed from the record.",
    )
    price = PoundsField(required=False, label="Price each")


class NumberForm(StudioForm):
    """The numbers of one line, as she writes them in the table."""

    wanted = CountField(required=False, lowest=0, label="Wanted")
    price = PoundsField(required=False, label="Price each")
    reason = forms.CharField(required=False, max_length=200, label="Why")

    def __init__(self, *args: Any, line: Line, **kwargs: Any) -> None:
        self.line = line
        kwargs["initial"] = {
            "wanted": line.wanted,
            "price": line.price_pence,
            "reason": line.reason,
        }
        super().__init__(*args, prefix=f"line-{line.pk}", **kwargs)
        for field in self.fields.values():
            if not field.widget.is_hidden:
                field.widget.attrs["aria-label"] = f"{line.item.name}: {field.label}"


class SoldForm(StudioForm):
    """What one line sold, written afterwards."""

    sold = CountField(required=False, lowest=0, label="Sold")
    sold_out_minute = WholeNumberField(
        required=False, highest=1440, label="Sold out at minute"
    )

    def __init__(self, *args: Any, line: Line, **kwargs: Any) -> None:
        self.line = line
        kwargs["initial"] = {
            "sold": line.sold,
            "sold_out_minute": line.sold_out_minute,
        }
        super().__init__(*args, prefix=f"line-{line.pk}", **kwargs)
        for field in self.fields.values():
            if not field.widget.is_hidden:
                field.widget.attrs["aria-label"] = f"{line.item.name}: {field.label}"


class SendNumberForm(StudioForm):
    """How many of one line go."""

    going = CountField(required=False, lowest=0, label="Going")

    def __init__(self, *args: Any, line: Line, going: int = 0, **kwargs: Any) -> None:
        self.line = line
        kwargs["initial"] = {"going": going}
        super().__init__(*args, prefix=f"line-{line.pk}", **kwargs)
        self.fields["going"].widget.attrs["aria-label"] = f"{line.item.name}: going"


class SendForm(StudioForm):
    """What stands under the numbers of a sending."""

    because = forms.CharField(
        required=False,
        max_length=200,
        label="Reason to take more than is free",
        help_text="Only needed when goods promised to somebody are to go.",
    )


class TapForm(StudioForm):
    """One tap on air: so many had gone in all, by this minute."""

    gone = CountField(lowest=0, required=False)
    minute = WholeNumberField(required=False, highest=1440)
