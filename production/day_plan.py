"""The whole answer for one selling day, as values with their reasons.

Screen, paper and the plan kept to look back on show the same value; `as_json` turns
it into plain data, and `fingerprint` tells whether two answers are the same one.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from datetime import date, datetime
from fractions import Fraction

from inventory.reorder import OrderBy
from inventory.slot_demand import ServiceQuantity

Json = str | int | bool | None | list["Json"] | dict[str, "Json"]


@dataclass(frozen=True)
class SumLine:
    """One step of a sum: what, how many with its sign, what is left, and why."""

    label: str
    count: int
    total: int
    why: str = ""


@dataclass(frozen=True)
class Proposal:
    """A number the record proposes, or the sentence that it cannot."""

    quantity: int | None
    more_than: int
    records: tuple[tuple[int, bool], ...]
    short_pence: int
    left_pence: int
    sentences: tuple[str, ...]
    costs: tuple[str, ...]


@dataclass(frozen=True)
class PlanLine:
    """One product of the day: what is wanted, there, to be made up, and why."""

    line_id: int
    code: str
    name: str
    wanted: int | None
    is_pinned: bool
    is_proposed: bool
    sent: int
    from_shelf: int
    to_make: int
    to_buy: int
    ready_now: int
    steps: tuple[SumLine, ...]
    sentence: str
    proposal: Proposal | None

    @property
    def number(self) -> int | None:
        """Return her number, or the one proposed where she has none."""
        if self.wanted is None and self.proposal:
            return self.proposal.quantity
        return self.wanted


@dataclass(frozen=True)
class PlanPiece:
    """One piece: needed, loose, good ones to cut, to cut with spoil, coming off."""

    code: str
    steps: tuple[SumLine, ...]
    good_wanted: int
    to_cut: int
    will_cut: int

    @property
    def words(self) -> str:
        """Say what the number counts, and what spoil makes of it."""
        if not self.good_wanted:
            return f"good {self.code} to cut: the loose ones are enough"
        return f"good {self.code}: cut {self.to_cut}, so that enough are good"

    @property
    def over(self) -> int:
        """Count what comes off beyond need."""
        return self.will_cut - self.to_cut


@dataclass(frozen=True)
class PlanRun:
    """So many sheets of one layout in one session."""

    layout: str
    sheets: int
    minutes: int


@dataclass(frozen=True)
class PlanSession:
    """One session of the plan, and what it cuts."""

    session_id: int
    day: date
    net_minutes: int
    taken_minutes: int
    runs: tuple[PlanRun, ...]

    @property
    def minutes(self) -> int:
        """Add up the minutes of its sheets."""
        return sum(run.minutes for run in self.runs)

    @property
    def sheets(self) -> int:
        """Add up its sheets."""
        return sum(run.sheets for run in self.runs)

    @property
    def free_minutes(self) -> int:
        """Return the minutes left for other work."""
        return self.net_minutes - self.taken_minutes - self.minutes


@dataclass(frozen=True)
class PlanOrder:
    """Something to order, from whom, how many, by when."""

    code: str
    name: str
    supplier: str
    short: int
    count: int
    needed_on: date | None
    last_day: date | None
    is_late: bool
    sentence: str


@dataclass(frozen=True)
class PlanDate:
    """One dated step on the way; late ones have no time left."""

    day: date
    words: str
    is_late: bool


@dataclass(frozen=True)
class SellingDayPlan:
    """Everything the page of a selling day says about getting there."""

    selling_day_id: int
    name: str
    kind: str
    made_on: date
    starts_on: date
    ready_by: date
    opening: str
    lines: tuple[PlanLine, ...]
    pieces: tuple[PlanPiece, ...]
    layouts: tuple[tuple[str, int, int, str], ...]
    sessions: tuple[PlanSession, ...]
    orders: tuple[PlanOrder, ...]
    dates: tuple[PlanDate, ...]
    left_out: tuple[PlanRun, ...]
    sheets: int
    minutes: int
    sheets_in_rack: int
    ends_on: date | None
    begin_by: date | None
    reasons: tuple[str, ...]

    @property
    def sheets_of(self) -> dict[str, int]:
        """Map layout to sheets."""
        return {code: sheets for code, sheets, _, _ in self.layouts}

    @property
    def cutting_sessions(self) -> tuple[PlanSession, ...]:
        """Return the sessions that cut something."""
        return tuple(session for session in self.sessions if session.runs)

    @property
    def sessions_until_done(self) -> tuple[PlanSession, ...]:
        """Return the sessions up to the last that cuts, or all where some are short."""
        if self.left_out or self.ends_on is None:
            return self.sessions
        last = self.ends_on
        return tuple(session for session in self.sessions if session.day <= last)

    @property
    def free_sentence(self) -> str:
        """Say how much time is left in the sessions after the last that cuts."""
        free = self.sessions[len(self.sessions_until_done) :]
        if not free:
            return ""
        minutes = sum(session.free_minutes for session in free)
        many = "One more session is" if len(free) == 1 else f"{len(free)} more are"
        return f"{many} free after that, {minutes} minutes in all."

    @property
    def why(self) -> tuple[str, ...]:
        """Return the reasons but for what each layout gives."""
        gives = {sentence for _, _, _, sentence in self.layouts}
        return tuple(words for words in self.reasons if words not in gives)

    @property
    def to_make(self) -> tuple[PlanLine, ...]:
        """Return the lines with sets to make up."""
        return tuple(line for line in self.lines if line.to_make)

    @property
    def unanswered(self) -> tuple[PlanLine, ...]:
        """Return the lines for which nobody has a number."""
        return tuple(line for line in self.lines if line.number is None)

    @property
    def minutes_missing(self) -> int:
        """Add up the minutes of sheets that found no room."""
        return sum(run.minutes for run in self.left_out)

    @property
    def missing_sentence(self) -> str:
        """Name the sheets that no session has room for, and what can be done."""
        runs = ", ".join(f"{run.sheets} {run.layout}" for run in self.left_out)
        return (
            f"{runs} find no session: {self.minutes_missing} minutes are missing. "
            "Ask the helper for another session, or want fewer of a line."
        )

    @property
    def has_batches(self) -> bool:
        """Say whether there is work to write down as batches."""
        return bool(self.cutting_sessions or self.to_make)

    def as_json(self) -> dict[str, Json]:
        """Return the whole answer as plain data."""
        return {key: to_json(value) for key, value in asdict(self).items()}

    @property
    def fingerprint(self) -> str:
        """Return a short mark that is the same for the same answer."""
        text = json.dumps(self.as_json(), sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()[:16]


def to_json(value: object) -> Json:
    """Turn a value of a plan into what JSON knows; days become ISO text."""
    if value is None or isinstance(value, str | int | bool):
        return value
    if isinstance(value, date | datetime):
        return value.isoformat()
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, dict):
        return {str(key): to_json(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [to_json(part) for part in value]
    message = f"A plan holds no {type(value).__name__}."
    raise TypeError(message)


def steps(parts: list[tuple[str, int, str]]) -> tuple[SumLine, ...]:
    """Add up the steps of a sum."""
    total, lines = 0, []
    for label, count, why in parts:
        total += count
        lines.append(SumLine(label, count, total, why))
    return tuple(lines)


def order_of(order: OrderBy, name: str, supplier: str) -> PlanOrder:
    return PlanOrder(
        code=order.item_code,
        name=name,
        supplier=supplier,
        short=order.short,
        count=order.count,
        needed_on=order.needed_on,
        last_day=order.last_day,
        is_late=order.late,
        sentence=order.sentence,
    )


def proposal_of(
    answer: ServiceQuantity,
    records: tuple[tuple[int, bool], ...],
    short_pence: int,
    left_pence: int,
    costs: tuple[str, ...],
) -> Proposal:
    return Proposal(
        quantity=answer.quantity,
        more_than=answer.more_than,
        records=records,
        short_pence=short_pence,
        left_pence=left_pence,
        sentences=answer.sentences,
        costs=costs,
    )
