"""Forms of the bench: sessions, sheets to cut, sets made up, a card typed in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from django import forms
from django.forms import BoundField

from inventory.models import Item
from production.models import CuttingLog, Layout, SpoiledPieces
from production.presses import CLOSED_AFTER_DAYS, SpoiledLine
from studio import days
from studio.forms import ClockField, CountField, DayField, StudioForm, WholeNumberField
from studio.models import Person, WorkSession

PLACES = (
    ("", "Not said"),
    ("left edge", "Left edge"),
    ("right edge", "Right edge"),
    ("somewhere else", "Somewhere else"),
)
MOST_MINUTES = 960


if TYPE_CHECKING:
    SessionField = forms.ModelChoiceField[WorkSession]
    LayoutField = forms.ModelChoiceField[Layout]
else:
    SessionField = LayoutField = forms.ModelChoiceField


class SessionChoice(SessionField):
    def label_from_instance(self, session: WorkSession) -> str:
        hours = f", {session.starts:%H:%M}" if session.starts else ""
        minutes = f"{session.net_minutes} minutes"
        return (
            f"{days.show_day_short(session.day)}{hours}, "
            f"{session.person.first_name}, {minutes}"
        )


class LayoutChoice(LayoutField):
    def label_from_instance(self, layout: Layout) -> str:
        gives = ", ".join(f"{g.count} {g.piece.code}" for g in layout.gives.all())
        return f"{layout.code}: {gives}; {layout.minutes} minutes a sheet"


def session_choice(*, required: bool = True) -> SessionChoice:
    return SessionChoice(
        queryset=WorkSession.objects.none(),
        required=required,
        empty_label="No session yet",
        error_messages={
            "required": "Choose the session.",
            "invalid_choice": "That session is not in the diary. Choose another.",
        },
    )


def layout_choice() -> LayoutChoice:
    return LayoutChoice(
        queryset=Layout.objects.none(),
        empty_label="Choose a layout",
        error_messages={
            "required": "Choose the layout.",
            "invalid_choice": "That layout is not in use. Choose one from the list.",
        },
    )


def sheets_field() -> CountField:
    return CountField(label="Sheets", highest=500)


class SessionForm(StudioForm):
    """The helper's hours; the net minutes are worked out where they are left empty."""

    person = forms.ModelChoiceField(
        queryset=Person.objects.none(),
        label="Who comes",
        empty_label=None,
        error_messages={"invalid_choice": "Choose somebody from the list."},
    )
    day = DayField(label="Day", help_text="Like Sat 6 March.")
    starts = ClockField(label="From", required=False, help_text="Like 09:00.")
    ends = ClockField(label="Until", required=False, help_text="Like 12:00.")
    net_minutes = WholeNumberField(
        label="Minutes to cut in",
        highest=MOST_MINUTES,
        required=False,
        help_text="Leave it empty, and setting up and cleaning are taken off the hours.",
    )
    note = forms.CharField(label="Note", max_length=200, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = Person.objects.filter(is_active=True).exclude(role="packer")
        # The helper comes first, since it is mostly the helper's hours that change.
        field = self.fields["person"]
        if isinstance(field, forms.ModelChoiceField):
            field.queryset = people.order_by("-role", "pk")


class ChangeSessionForm(SessionForm):
    """Other hours for a session; whose and which day stay as they are."""

    person = None  # type: ignore[assignment]
    day = None  # type: ignore[assignment]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        StudioForm.__init__(self, *args, **kwargs)


class HoursForm(StudioForm):
    minutes_worked = WholeNumberField(label="Minutes worked", highest=MOST_MINUTES)


class TakeOverForm(StudioForm):
    """The minutes to take over, and what the layout said when they were offered."""

    minutes = WholeNumberField(label="Minutes a sheet", lowest=1, highest=MOST_MINUTES)
    said = WholeNumberField(label="Minutes before", lowest=1, highest=MOST_MINUTES)


class CalledForm(StudioForm):
    called = forms.ChoiceField(
        choices=CuttingLog.MinutesCalled.choices,
        required=False,
        error_messages={
            "invalid_choice": "Say whether the minutes are right or a wrong figure.",
        },
    )


class SheetsForm(StudioForm):
    """So many sheets of a layout, planned by hand."""

    layout = layout_choice()
    sheets = sheets_field()
    session = session_choice(required=False)

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, today=today, **kwargs)
        offer_layouts(self)
        offer_sessions(self, today)


class MoveForm(StudioForm):
    session = session_choice(required=False)

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, today=today, **kwargs)
        offer_sessions(self, today)


class MadeUpForm(StudioForm):
    count = CountField(label="Made up")
    overruled_because = forms.CharField(
        label="Why it goes on with parts that the book does not have",
        max_length=200,
        required=False,
        help_text="Only where the book is wrong and the sets are there.",
    )


@dataclass(frozen=True)
class TallyRow:
    """One piece of the card: its counts by reason, and where they lay."""

    piece: Item
    boxes: tuple[BoundField, ...]
    where: BoundField


class CardForm(StudioForm):
    """The paper card typed in: sheets of one layout, and tallies of spoiled pieces."""

    sheets = sheets_field()
    day = DayField(label="Day", required=False, help_text="Empty means today.")
    at = ClockField(label="At", required=False, help_text="Like 11:40.")
    minutes = WholeNumberField(
        label="Minutes it took", highest=MOST_MINUTES, required=False
    )
    note = forms.CharField(label="Note", max_length=200, required=False)
    counts_late = forms.BooleanField(
        label="It was that long ago: count it all the same", required=False
    )

    def __init__(self, *args: Any, layout: Layout, today: date, **kwargs: Any) -> None:
        super().__init__(*args, today=today, **kwargs)
        self.today = today
        self.asks_late = False
        self.pieces = [gives.piece for gives in layout.gives.all()]
        for piece in self.pieces:
            for reason, label in SpoiledPieces.Reason.choices:
                self.fields[f"spoiled-{piece.pk}-{reason}"] = CountField(
                    label=f"{piece.code} {str(label).lower()}",
                    lowest=0,
                    highest=10_000,
                    required=False,
                )
            self.fields[f"where-{piece.pk}"] = forms.ChoiceField(
                label=f"Where the spoiled {piece.code} lay",
                choices=PLACES,
                required=False,
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        day = cleaned.get("day")
        if day and day > self.today:
            self.add_error(
                "day",
                f"{days.show_day(day)} is still to come, so nothing was cut on it. "
                "Write the day of the card.",
            )
        self.asks_late = bool(day and self.is_late(day))
        if day and self.asks_late and not cleaned.get("counts_late"):
            self.add_error(
                "day",
                f"{days.show_day(day)} was {(self.today - day).days} days ago, and its "
                "session is long closed. Put the day right, or tick that it was so.",
            )
        return cleaned

    def is_late(self, day: date) -> bool:
        return (self.today - day).days > CLOSED_AFTER_DAYS

    @property
    def reasons(self) -> list[str]:
        return [str(label) for label in SpoiledPieces.Reason.labels]

    def tally_rows(self) -> Iterator[TallyRow]:
        for piece in self.pieces:
            boxes = tuple(
                self[f"spoiled-{piece.pk}-{reason}"]
                for reason in SpoiledPieces.Reason.values
            )
            yield TallyRow(piece, boxes, self[f"where-{piece.pk}"])

    def spoiled_lines(self) -> list[SpoiledLine]:
        return [
            SpoiledLine(
                piece.code, count, reason, self.cleaned_data[f"where-{piece.pk}"]
            )
            for piece in self.pieces
            for reason in SpoiledPieces.Reason.values
            if (count := self.cleaned_data[f"spoiled-{piece.pk}-{reason}"])
        ]

    def when(self, now: datetime) -> datetime:
        """Return the moment that was written, or now where none was."""
        day, at = self.cleaned_data["day"], self.cleaned_data["at"]
        if day is None and at is None:
            return now
        moment = days.london(now)
        return days.at_clock(day or moment.date(), at or moment.time())


def offer_layouts(form: StudioForm) -> None:
    field = form.fields["layout"]
    if isinstance(field, forms.ModelChoiceField):
        in_use = Layout.objects.filter(is_in_use=True).order_by("code")
        field.queryset = in_use.prefetch_related("gives__piece")


def offer_sessions(form: StudioForm, today: date) -> None:
    field = form.fields["session"]
    if isinstance(field, forms.ModelChoiceField):
        field.queryset = (
            WorkSession.objects.filter(day__gte=today)
            .select_related("person")
            .order_by("day", "starts")
        )
