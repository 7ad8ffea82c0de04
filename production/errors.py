"""What can go wrong with making and selling days, each with a sentence."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from studio.days import show_day, show_moment
from studio.errors import StudioError


@dataclass
class UnknownLayout(StudioError):
    """A layout that is not in the book."""

    code: str

    def __str__(self) -> str:
        if not self.code.strip():
            return "Choose the layout that was cut."
        return (
            f"There is no layout called {self.code}. "
            "Choose one from the list, or write the new layout down first."
        )


@dataclass
class LayoutCodeTaken(StudioError):
    """A new layout under the code of one that gives something else."""

    code: str

    def __str__(self) -> str:
        return (
            f"There is already a layout {self.code} and it gives something else. "
            "Give the new one another code."
        )


@dataclass
class LayoutCodeUsed(StudioError):
    """A code for a layout that another layout has."""

    code: str

    def __str__(self) -> str:
        return (
            f"There is already a layout {self.code}. Give this one another code, such "
            f"as {self.code}-2."
        )


@dataclass
class LayoutWasCut(StudioError):
    """Other counts for a layout from which sheets were cut already."""

    code: str

    def __str__(self) -> str:
        return (
            f"Sheets have been cut from {self.code}, so what it gives stays as it is. "
            "Lay it aside and write a new layout down for the new counts."
        )


@dataclass
class LayoutGivesNothing(StudioError):
    """A layout without pieces or without minutes."""

    code: str

    def __str__(self) -> str:
        return (
            f"Layout {self.code} needs at least one piece and its minutes a sheet. "
            "Write both, please."
        )


@dataclass
class NotASheetCount(StudioError):
    """Sheets that are not a whole number of sheets a session could cut."""

    typed: str

    def __str__(self) -> str:
        return (
            f"{self.typed} is not a number of sheets. "
            "Write how many came off the cutter, from 1 to 500."
        )


@dataclass
class PieceNotOnLayout(StudioError):
    """A spoiled piece that the layout does not give."""

    layout: str
    piece: str

    def __str__(self) -> str:
        return (
            f"Layout {self.layout} gives no {self.piece}, so none can be spoiled. "
            "Choose one of its pieces."
        )


@dataclass
class UnknownSpoilReason(StudioError):
    """A reason for spoil that is not on the list."""

    reason: str

    def __str__(self) -> str:
        return (
            f"“{self.reason}” is not one of the reasons for a spoiled piece. "
            "Choose cracked, scratched, wrong text, wrong size or something else."
        )


@dataclass
class BatchClosed(StudioError):
    """A batch that is done or dropped was to be worked on or dropped again."""

    what: str
    state: str

    def __str__(self) -> str:
        return (
            f"The batch of {self.what} is already {self.state.lower()}. "
            "Plan a new one if more is wanted."
        )


@dataclass
class DayRunsBackward(StudioError):
    """A selling day that ends before it starts, or fixed after it began."""

    first: str
    first_at: datetime
    second: str
    second_at: datetime

    def __str__(self) -> str:
        return (
            f"{self.second} ({show_moment(self.second_at)}) comes before "
            f"{self.first} ({show_moment(self.first_at)}). Check the two times."
        )


@dataclass
class SellingDayThere(StudioError):
    """A second selling day at the same outlet and minute under another name."""

    name: str
    starts_at: datetime

    def __str__(self) -> str:
        return (
            f"“{self.name}” already starts there at {show_moment(self.starts_at)}. "
            "Open that one, or change the time of this one."
        )


@dataclass
class LineAlreadySent(StudioError):
    """A line was to be taken off although its goods have gone."""

    item_code: str
    sent: int

    def __str__(self) -> str:
        return (
            f"{self.sent} of {self.item_code} have already gone, so the line stays. "
            "Take the sending back first."
        )


@dataclass
class NothingToSend(StudioError):
    """A sending without any goods."""

    name: str

    def __str__(self) -> str:
        return f"No number is written for {self.name}. Write how many of a line go."


@dataclass
class NowhereToSend(StudioError):
    """A selling day without a place for its goods."""

    name: str

    def __str__(self) -> str:
        return (
            f"The book does not know where the goods for {self.name} go. "
            "Choose the place of the selling day first."
        )


@dataclass
class SendShort(StudioError):
    """More was to go than is free on the shelf."""

    item_code: str
    asked: int
    free: int

    def __str__(self) -> str:
        what = "is" if self.free == 1 else "are"
        return (
            f"{self.asked} of {self.item_code} were to go and {self.free} {what} free: "
            "the rest is promised to others or not there. "
            "Send fewer, or give a reason to take them anyway."
        )


@dataclass
class MinuteOutsideDay(StudioError):
    """A tally at a minute that the selling day does not have."""

    minute: int
    lasts: int

    def __str__(self) -> str:
        return (
            f"Minute {self.minute} is outside the selling day, which lasts "
            f"{self.lasts} minutes. Write a minute from 0 to {self.lasts}."
        )


@dataclass
class TallyGoesBack(StudioError):
    """Fewer gone at a later minute than at an earlier one."""

    item_code: str
    minute: int
    gone: int
    other_minute: int
    other_gone: int

    def __str__(self) -> str:
        return (
            f"{self.other_gone} of {self.item_code} had gone by minute "
            f"{self.other_minute}, so {self.gone} by minute {self.minute} cannot be "
            "right. Correct the number, or take the last tap back."
        )


@dataclass
class SessionRunsBackward(StudioError):
    """A session that ends before it starts, or leaves nothing after setting up."""

    minutes: int
    setup_minutes: int

    def __str__(self) -> str:
        if self.minutes <= 0:
            return "The session ends before it starts. Check the two times."
        return (
            f"The session lasts {self.minutes} minutes and setting up takes "
            f"{self.setup_minutes}, so nothing is left to cut in. "
            "Give it longer, or write how many minutes are left."
        )


@dataclass
class NotMinutes(StudioError):
    """Minutes of a session that cannot be."""

    typed: str

    def __str__(self) -> str:
        return (
            f"{self.typed} is not a number of minutes for one session. "
            "Write a whole number from 0 to 960."
        )


@dataclass
class SessionThere(StudioError):
    """A second session of the same person at the same time with other minutes."""

    name: str
    day: date

    def __str__(self) -> str:
        return (
            f"{self.name} already has a session then on {show_day(self.day)}. "
            "Change that one instead."
        )


@dataclass
class PlanMoved(StudioError):
    """The plan that was pressed is not the plan of this moment any more."""

    name: str

    def __str__(self) -> str:
        return (
            f"The figures for {self.name} have changed since this page was opened. "
            "Look at the new plan below and press again if it suits."
        )


@dataclass
class NothingToPlan(StudioError):
    """A plan without any batch was to be turned into batches."""

    name: str

    def __str__(self) -> str:
        return (
            f"There is nothing to cut or to make up for {self.name}, "
            "so no batches were written."
        )


@dataclass
class NotAPress(StudioError):
    """Something sent to the cutting log that no button sends."""

    why: str

    def __str__(self) -> str:
        return (
            f"The book could not take this press: {self.why}. "
            "Write it on the card, and type it in at the bench later."
        )


@dataclass
class NoSheetYet(StudioError):
    """A spoiled piece before any sheet of its layout was logged in the session."""

    layout: str

    def __str__(self) -> str:
        return (
            f"No sheet of {self.layout} is logged in this session yet. "
            "Press “Sheet done” first, then say what was spoiled."
        )


@dataclass
class SpoilNeedsItsSheet(StudioError):
    """Sheets to be taken back whose spoiled pieces stay in the book."""

    layout: str
    piece: str
    spoiled: int

    def __str__(self) -> str:
        return (
            f"{self.spoiled} spoiled {self.piece} belong to these sheets of "
            f"{self.layout}. Take the spoiled pieces back first."
        )


class NothingToTakeBack(StudioError):
    """An undoing of a press that the book does not have."""

    def __str__(self) -> str:
        return "There is nothing to take back: the book has no such press."


@dataclass
class UnknownSession(StudioError):
    """A session that is not in the diary."""

    number: int

    def __str__(self) -> str:
        return (
            "That session is not in the diary any more. "
            "Open the bench and choose the session again."
        )


@dataclass
class DayHasHistory(StudioError):
    """A selling day that cannot be taken off the list any more."""

    name: str

    def __str__(self) -> str:
        return (
            f"Something hangs on {self.name} already: goods, sales or batches. "
            "It stays on the list; take those back first."
        )
