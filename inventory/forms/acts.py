"""One small form for each thing that can be done with an item."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from inventory.actions import home_place
from inventory.forms.choosing import (
    OutletField,
    PieceField,
    PlaceField,
    StateField,
    WayField,
)
from inventory.models import Item, Place, State
from studio import days
from studio.forms import ClockField, CountField, DayField, StudioForm

FRIDAY = 4


def next_friday(today: date) -> date:
    """Return the first Friday after today: the usual end of a hold."""
    return today + timedelta(days=(FRIDAY - today.weekday() - 1) % 7 + 1)


def end_of(day: date) -> datetime:
    """Return the last second of a day: what holds until Friday holds all Friday."""
    return days.at_clock(day, time(23, 59, 59))


def reason_field(label: str, help_text: str = "") -> forms.CharField:
    return forms.CharField(
        label=label,
        help_text=help_text,
        required=False,
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"max_length": "That is too long. Keep it to 200 letters."},
    )


class ActForm(StudioForm):
    """A form about one item at one moment."""

    def __init__(
        self, *args: Any, item: Item, now: datetime, today: date, **kwargs: Any
    ) -> None:
        self.item, self.now = item, now
        super().__init__(*args, today=today, **kwargs)
        self.prefill(today)

    def prefill(self, today: date) -> None:
        """Fill in what is most often meant."""
        for name, field in self.fields.items():
            if isinstance(field, PlaceField) and name != "to_place":
                self.initial.setdefault(name, home_place(self.item).pk)

    def only_places(self, name: str, places: Iterable[Place]) -> None:
        field = self.fields[name]
        if isinstance(field, PlaceField):
            field.queryset = Place.objects.filter(pk__in=[one.pk for one in places])

    def coming_day(self, name: str) -> date | None:
        day = self.cleaned_data.get(name)
        if isinstance(day, date) and day < days.london_day(self.now):
            raise ValidationError(
                f"{days.show_day(day)} has gone by. Choose today or a later day.",
                code="day-gone",
            )
        return day


class MakeUpForm(ActForm):
    count = CountField(label="How many")
    way = WayField(label="Made up from")
    overruled_because = reason_field(
        "Do it although parts seem short, because",
        "Only when the parts are in your hand and the book has not counted them.",
    )

    def prefill(self, today: date) -> None:
        way = self.fields["way"]
        if not isinstance(way, WayField) or not way.offer_ways_of(self.item):
            del self.fields["way"]


class CountForm(ActForm):
    place = PlaceField(label="Place")
    state = StateField(label="In which state", initial=State.SELLABLE)
    found = CountField(label="Found", lowest=0)
    counted_day = DayField(label="Counted on")
    counted_clock = ClockField(
        label="Counted at",
        help_text="What happened after this moment is left as it is.",
    )
    reason = reason_field("Why it differs, if you know")

    def prefill(self, today: date) -> None:
        super().prefill(today)
        self.initial.setdefault("counted_day", today)
        self.initial.setdefault("counted_clock", days.london(self.now).time())

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        day, clock = cleaned.get("counted_day"), cleaned.get("counted_clock")
        if day is not None and clock is not None:
            cleaned["counted_at"] = self.counted_at(day, clock)
        return cleaned

    def counted_at(self, day: date, clock: time) -> datetime:
        """Take the end of the minute on the clock, so that its own acts are in it."""
        begun = days.at_clock(day, clock.replace(second=0, microsecond=0))
        if begun > self.now:
            self.add_error(
                "counted_clock",
                ValidationError(
                    f"{days.show_moment(begun)} has not come yet. "
                    "Write when it was counted.",
                    code="not-come-yet",
                ),
            )
        return min(begun + timedelta(seconds=59, microseconds=999_999), self.now)


class MoveForm(ActForm):
    count = CountField(label="How many")
    from_place = PlaceField(label="From")
    to_place = PlaceField(label="To")
    state = StateField(label="In which state", initial=State.SELLABLE)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        here, there = cleaned.get("from_place"), cleaned.get("to_place")
        if here is not None and here == there:
            self.add_error(
                "to_place",
                ValidationError(
                    "They are there already. Choose another place.", code="same-place"
                ),
            )
        return cleaned


class RegradeForm(ActForm):
    count = CountField(label="How many", initial=1)
    place = PlaceField(label="Place")
    from_state = StateField(
        label="They are now", initial=State.SELLABLE, leave_out=(State.INCOMPLETE,)
    )
    to_state = StateField(
        label="They become",
        initial=State.SHOW,
        leave_out=(State.INCOMPLETE,),
        help_text="A set that lacks a piece has a page of its own.",
    )
    reason = reason_field("Why")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("from_state") and cleaned["from_state"] == cleaned.get(
            "to_state"
        ):
            self.add_error(
                "to_state",
                ValidationError(
                    "They are that already. Choose another state.", code="same-state"
                ),
            )
        return cleaned


class IncompleteForm(ActForm):
    place = PlaceField(label="Place of the set")
    piece = PieceField(label="The piece it lacks")
    count = CountField(label="How many of that piece", initial=1)
    why = reason_field("What happened")

    def prefill(self, today: date) -> None:
        super().prefill(today)
        piece = self.fields["piece"]
        if isinstance(piece, PieceField):
            piece.ask_for_parts_of(self.item)


class GiveAwayForm(ActForm):
    count = CountField(label="How many", initial=1)
    place = PlaceField(label="From")
    reason = forms.CharField(
        label="For whom, or why",
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": "Write why, so that the goods can be explained."},
    )


class HoldForm(ActForm):
    count = CountField(label="How many", initial=1)
    who = forms.CharField(
        label="For whom",
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": "Write for whom they are held."},
    )
    until = DayField(
        label="Until", help_text="A hold always ends; you are told before."
    )
    overruled_because = reason_field(
        "Hold them although they are not there, because",
        "Leave it empty, and you are told when there are not enough.",
    )

    def prefill(self, today: date) -> None:
        self.initial.setdefault("until", next_friday(today))

    def clean_until(self) -> date | None:
        return self.coming_day("until")


class KeepForm(ActForm):
    count = CountField(label="How many")
    outlet = OutletField(label="Kept for")
    label = forms.CharField(
        label="Which day or event",
        max_length=120,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    until = DayField(
        label="Until", help_text="After this day they can be promised to anybody."
    )
    overruled_because = reason_field("Keep them although they are not there, because")

    def prefill(self, today: date) -> None:
        self.initial.setdefault("until", next_friday(today))

    def clean_until(self) -> date | None:
        return self.coming_day("until")


class BufferForm(ActForm):
    count = CountField(
        label="Leave so many unsold",
        lowest=0,
        help_text="In case the count is wrong. Nought leaves none.",
    )


class LookForm(ActForm):
    SPOILED = "spoiled"

    count = CountField(label="How many", initial=1)
    tray = PlaceField(label="From")
    verdict = forms.ChoiceField(
        label="What they are",
        choices=[
            (State.SELLABLE, "As good as new: back on the shelf"),
            (State.SECOND, "Marked but sound: a second"),
            (State.SHOW, "Opened: a show set"),
            (State.INCOMPLETE, "A piece is missing or cracked"),
            (SPOILED, "Spoiled: cannot be sold"),
        ],
        error_messages={"required": "Choose what they are."},
    )
    piece = PieceField(label="The piece it lacks", required=False)
    reason = reason_field("What was seen")

    def prefill(self, today: date) -> None:
        piece = self.fields["piece"]
        if isinstance(piece, PieceField):
            piece.ask_for_parts_of(self.item)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("verdict") != State.INCOMPLETE:
            return cleaned
        if not cleaned.get("piece"):
            self.add_error(
                "piece",
                ValidationError(
                    "Choose the piece that is missing, so that the set can be mended.",
                    code="no-piece",
                ),
            )
        if cleaned.get("count") not in (None, 1):
            self.add_error(
                "count",
                ValidationError(
                    "Take incomplete sets one at a time, since each may lack another "
                    "piece. Write 1.",
                    code="one-at-a-time",
                ),
            )
        return cleaned
