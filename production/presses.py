"""One press of a button at the bench, read from plain data.

A press carries its own number, made on the phone, so that it may be sent as often as
the signal needs. It says how many seconds ago it happened, never at what time: the
phone's clock need not be right. Nothing here knows of Django.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal
from uuid import UUID

from production.errors import NotAPress, NotASheetCount
from studio.days import show_day
from studio.errors import StudioError

Json = str | int | float | bool | None | Sequence["Json"] | Mapping[str, "Json"]
Kind = Literal["sheet", "spoiled", "take-back"]

KINDS: tuple[Kind, ...] = ("sheet", "spoiled", "take-back")
LONGEST_SECONDS = 14 * 24 * 60 * 60
LONGEST_LIST = 200
# As long as the bench asks for a session's minutes. A rule of the house.
CLOSED_AFTER_DAYS = 28


@dataclass
class SessionLongClosed(StudioError):
    """A press for a session that was over weeks ago."""

    day: date
    days_ago: int

    def __str__(self) -> str:
        return (
            f"The session of {show_day(self.day)} was {self.days_ago} days ago and is "
            "closed, so this was not counted by itself. Nothing is lost: if the sheets "
            "are there, type them in at the bench with the day on which they were cut."
        )


def check_still_open(day: date, *, today: date) -> None:
    """Raise SessionLongClosed for a session of this day; one to come is open."""
    days_ago = (today - day).days
    if days_ago > CLOSED_AFTER_DAYS:
        raise SessionLongClosed(day, days_ago)


@dataclass(frozen=True)
class SpoiledLine:
    """So many pieces of one code, why they are no good, and where they lay."""

    piece: str
    count: int
    reason: str
    where: str = ""


@dataclass(frozen=True)
class Press:
    """What was pressed: sheets done, pieces spoiled, or the undoing of a press."""

    request_id: UUID
    kind: Kind
    layout: str = ""
    session: int | None = None
    sheets: int = 0
    spoiled: tuple[SpoiledLine, ...] = ()
    takes_back: UUID | None = None
    seconds_ago: int = 0


def press_of_text(text: bytes) -> Press:
    """Read a press from JSON; raises NotAPress or NotASheetCount with a sentence."""
    try:
        sent: Json = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise NotAPress("it is not readable") from error
    if not isinstance(sent, Mapping):
        raise NotAPress("it is not a press")
    return press_of(sent)


def press_of(sent: Mapping[str, Json]) -> Press:
    """Read a press from plain data; raises NotAPress or NotASheetCount."""
    kind = kind_of(sent.get("what"))
    takes_back = sent.get("takes_back")
    return Press(
        request_id=id_of(sent.get("request_id"), "its number"),
        kind=kind,
        layout=text_of(sent.get("layout"), "the layout"),
        session=None if not sent.get("session") else whole(sent["session"], "session"),
        sheets=sheets_of(sent.get("sheets", 1)) if kind == "sheet" else 0,
        spoiled=spoiled_of(sent.get("spoiled", ())),
        takes_back=id_of(takes_back, "the press to undo") if takes_back else None,
        seconds_ago=min(
            max(0, whole(sent.get("seconds_ago") or 0, "how long ago")),
            LONGEST_SECONDS,
        ),
    )


def kind_of(said: Json) -> Kind:
    for kind in KINDS:
        if said == kind:
            return kind
    raise NotAPress("it does not say what was pressed")


def id_of(said: Json, what: str) -> UUID:
    try:
        return UUID(text_of(said, what))
    except ValueError as error:
        raise NotAPress(f"{what} is missing") from error


def text_of(said: Json, what: str) -> str:
    if said is None:
        return ""
    if not isinstance(said, str) or len(said) > 100 or not said.isprintable():
        raise NotAPress(f"{what} is not readable")
    return said.strip()


def whole(said: Json, what: str) -> int:
    """Read a whole number, or one written as text the way a form sends it."""
    if isinstance(said, str) and said.strip().isdecimal() and len(said) < 12:
        return int(said)
    if isinstance(said, bool) or not isinstance(said, int):
        raise NotAPress(f"{what} is not a whole number")
    return said


def sheets_of(said: Json) -> int:
    try:
        return whole(said, "sheets")
    except NotAPress as error:
        raise NotASheetCount(str(said)[:20]) from error


def spoiled_of(said: Json) -> tuple[SpoiledLine, ...]:
    if isinstance(said, str) or not isinstance(said, Sequence):
        raise NotAPress("the spoiled pieces are not a list")
    if len(said) > LONGEST_LIST:
        raise NotAPress("the list of spoiled pieces is too long")
    return tuple(line_of(line) for line in said)


def line_of(said: Json) -> SpoiledLine:
    if not isinstance(said, Mapping):
        raise NotAPress("a spoiled piece is not readable")
    return SpoiledLine(
        piece=text_of(said.get("piece"), "the piece"),
        count=whole(said.get("count", 1), "how many are spoiled"),
        reason=text_of(said.get("reason"), "the reason"),
        where=text_of(said.get("where"), "the place")[:60],
    )
