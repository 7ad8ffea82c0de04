"""Money in the bank from day to day: where it stands lowest until a day to come.

What has moved is counted as it moved, what is expected on its day; a bill that is
overdue counts as paid today. Takings of which no line speaks are not counted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q, QuerySet, Sum

from studio.days import london_day
from studio.models import MoneyLine

OPENING = "opening"
# A line that was taken off: it stays in the book, counts nowhere, and can come back.
TAKEN_OFF = "taken off"


@dataclass(frozen=True)
class CashMove:
    """Money that comes or goes on a day; comes is above nought.

    `line` is its money line where one is written; where not `is_ours`, it
    cannot be moved on there: a refund is paid on its order.
    """

    day: date
    words: str
    pence: int
    line: int | None = None
    is_ours: bool = True


@dataclass(frozen=True)
class CashStep:
    """One move, and what is in the bank after it."""

    move: CashMove
    balance_pence: int


@dataclass(frozen=True)
class CashLine:
    """Every move until a day; `knows_bank` is false where no opening sum is written."""

    today: date
    until: date
    opening_pence: int
    knows_bank: bool
    steps: tuple[CashStep, ...]

    @property
    def low_pence(self) -> int:
        return min([self.opening_pence, *(s.balance_pence for s in self.steps)])

    @property
    def low_on(self) -> date:
        """Return the first day on which it stands lowest."""
        if self.low_pence == self.opening_pence:
            return self.today
        return next(s.move.day for s in self.steps if s.balance_pence == self.low_pence)

    @property
    def end_pence(self) -> int:
        return self.steps[-1].balance_pence if self.steps else self.opening_pence


def cash_to(day: date, *, now: datetime, more: Sequence[CashMove] = ()) -> CashLine:
    """Return the money from today to a day, with moves that are not written: 3 queries.

    On one day what goes counts before what comes, so that the low point is not hidden.
    """
    today = london_day(now)
    moved = moved_money(today)
    balance = opening = moved.aggregate(total=Sum("pence"))["total"] or 0
    knows = moved.filter(category=OPENING).exists()
    moves = [move for move in (*written_moves(day, today), *more) if move.day <= day]
    steps = []
    for move in sorted(moves, key=lambda move: (move.day, move.pence)):
        balance += move.pence
        steps.append(CashStep(move, balance))
    return CashLine(today, day, opening, knows, tuple(steps))


def moved_money(today: date) -> QuerySet[MoneyLine]:
    return MoneyLine.objects.filter(moved_on__lte=today).exclude(category=TAKEN_OFF)


def written_moves(until: date, today: date) -> list[CashMove]:
    """Return the money lines that have not moved yet, an overdue one as of today."""
    to_come = Q(moved_on=None, expected_on__lte=until)
    to_move = Q(moved_on__gt=today, moved_on__lte=until)
    moves = []
    lines = MoneyLine.objects.filter(to_come | to_move)
    for line in lines.exclude(category=TAKEN_OFF):
        day = line.moved_on or line.expected_on
        if day is not None:
            is_ours = line.category != "refund" and line.moved_on is None
            moves.append(
                CashMove(max(today, day), line.text, line.pence, line.pk, is_ours)
            )
    return moves
