"""The question of the mix as columns and rows.

By totals: sheets of each layout over all sessions, their minutes within what whole
sheets can fill. By sessions: sheets of each layout in each session. The totals gain at
least as much as any plan by sessions, and are the same wherever their sheets fit.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby, pairwise

from production.mix.plan import MixPlan
from production.mix.program import Program
from production.mix.question import MixLayout, MixLine, MixQuestion, Purchase
from production.mix.room import (
    fillable_minutes,
    most_in_one,
    most_of_length,
    most_sheets,
)

# One sheet fewer never weighs as much as one minute fewer.
MINUTE_WEIGHS = 1000


class MixModel:
    """Columns for sets, ways, sheets and purchases, and the rules between them."""

    def __init__(
        self,
        question: MixQuestion,
        *,
        by_session: bool = False,
        most_minutes: int | None = None,
    ) -> None:
        self.question = question
        self.program = Program()
        self.sets = {line.code: self._line(line) for line in question.lines}
        self.started = {line.code: self._started(line) for line in question.lines}
        self.ways = [self.program.column(0, 0) for _ in question.ways]
        self.purchases = [
            self.program.column(-purchase.cost_pence, 0, purchase.most)
            for purchase in question.purchases
        ]
        self.sheets = [self._sheets(layout) for layout in question.layouts]
        self.in_session: list[list[int]] = []
        if by_session:
            self._sessions()
        else:
            self._totals(most_minutes)
        self._things()
        self._limits()

    def prefer_short(self, gain: int) -> None:
        """Ask for the fewest minutes, then sheets, among plans that gain so much."""
        kept = {column: each for column, each in enumerate(self.program.gains) if each}
        self.program.row(kept, low=gain)
        self.program.gains = [0] * len(self.program.gains)
        for layout, column in zip(self.question.layouts, self.sheets, strict=True):
            self.program.gains[column] = -MINUTE_WEIGHS * layout.minutes - 1

    def keep_promises(self) -> None:
        """Ask for the fewest sets short of promises and pins, whatever is gained."""
        self.program.gains = [0] * len(self.program.gains)
        for line in self.question.lines:
            column = self.sets[line.code]
            self.program.lows[column] = 0
            if line.fewest:
                short = self.program.column(-1, 0, line.fewest)
                self.program.row({column: 1, short: 1}, low=line.fewest)

    def values_of(self, plan: MixPlan) -> dict[int, int]:
        """Return the columns that a plan settles."""
        found = {column: plan.quantities[code] for code, column in self.sets.items()}
        found |= dict(zip(self.ways, plan.made, strict=True))
        found |= dict(zip(self.purchases, plan.bought, strict=True))
        for layout, column in zip(self.question.layouts, self.sheets, strict=True):
            found[column] = plan.sheets_of.get(layout.code, 0)
        for sheets, columns in zip(plan.sheets, self.in_session, strict=False):
            for layout, column in zip(self.question.layouts, columns, strict=True):
                found[column] = sheets.get(layout.code, 0)
        return found

    def _line(self, line: MixLine) -> int:
        column = self.program.column(0, line.fewest, line.most)
        gains = [line.gain(k + 1) - line.gain(k) for k in range(line.most)]
        falls = all(later <= earlier for earlier, later in pairwise(gains))
        parts = self._falling(gains) if falls else self._in_turn(gains)
        self.program.row({column: -1} | dict.fromkeys(parts, 1), low=0, high=0)
        return column

    def _falling(self, gains: Sequence[int]) -> list[int]:
        # Gains that never rise fill up in order by themselves.
        runs = [(gain, len(list(run))) for gain, run in groupby(gains)]
        return [self.program.column(gain, 0, many, whole=False) for gain, many in runs]

    def _in_turn(self, gains: Sequence[int]) -> list[int]:
        parts = [self.program.column(gain, 0, 1) for gain in gains]
        for earlier, later in pairwise(parts):
            self.program.row({earlier: 1, later: -1}, low=0)
        return parts

    def _started(self, line: MixLine) -> int | None:
        if not line.set_up or not line.most:
            return None
        started = self.program.column(0, 0, 1)
        self.program.row({self.sets[line.code]: 1, started: -line.most}, high=0)
        return started

    def _sheets(self, layout: MixLayout) -> int:
        most = most_sheets(layout, self.question.sessions)
        return self.program.column(-layout.cost_pence, 0, most)

    def _totals(self, most_minutes: int | None) -> None:
        layouts, sessions = self.question.layouts, self.question.sessions
        room = sum(fillable_minutes(session, layouts) for session in sessions)
        if most_minutes is not None:
            room = max(0, min(room, most_minutes))
        uses = dict(zip(self.sheets, (each.minutes for each in layouts), strict=True))
        uses |= self._set_ups()
        self.program.row(uses, high=room)
        for length in sorted({layout.minutes for layout in layouts if layout.minutes}):
            long_ones = [
                column
                for layout, column in zip(layouts, self.sheets, strict=True)
                if layout.minutes >= length
            ]
            most = most_of_length(sessions, length)
            self.program.row(dict.fromkeys(long_ones, 1), high=most)

    def _set_ups(self) -> dict[int, int]:
        """Count the sessions that each layout takes at the least."""
        uses = {}
        for layout, sheets in zip(self.question.layouts, self.sheets, strict=True):
            if layout.set_up_minutes:
                sessions = self.program.column(0, 0, len(self.question.sessions))
                most = most_in_one(layout, self.question.sessions)
                self.program.row({sheets: 1, sessions: -most}, high=0)
                uses[sessions] = layout.set_up_minutes
        return uses

    def _sessions(self) -> None:
        for session in self.question.sessions:
            uses: dict[int, int] = {}
            columns = []
            for layout in self.question.layouts:
                most = most_in_one(layout, [session])
                columns.append(self.program.column(0, 0, most))
                uses[columns[-1]] = layout.minutes
                if layout.set_up_minutes:
                    begun = self.program.column(0, 0, 1)
                    self.program.row({columns[-1]: 1, begun: -most}, high=0)
                    uses[begun] = layout.set_up_minutes
            self.program.row(uses, high=session.net_minutes)
            self.in_session.append(columns)
        for place, total in enumerate(self.sheets):
            parts = dict.fromkeys((each[place] for each in self.in_session), 1)
            self.program.row({total: -1} | parts, low=0, high=0)
        self._early()

    def _early(self) -> None:
        for limit in self.question.limits:
            for sessions, amount in limit.early:
                uses = {
                    column: layout.uses.get(limit.code, 0)
                    for columns in self.in_session[:sessions]
                    for layout, column in zip(
                        self.question.layouts, columns, strict=True
                    )
                }
                self.program.row(uses, high=amount)

    def _things(self) -> None:
        taken = self._taken()
        for thing in self.question.things:
            cut = {
                column: layout.gives[thing]
                for layout, column in zip(
                    self.question.layouts, self.sheets, strict=True
                )
                if layout.gives.get(thing)
            }
            if cut:
                taken[thing][self._good(cut)] -= 1
            self.program.row(taken[thing], high=self.question.stock.get(thing, 0))

    def _good(self, cut: Mapping[int, int]) -> int:
        """Count the good pieces as whole ones: that makes the bounds much closer."""
        good, of = (1 - self.question.spoil).as_integer_ratio()
        column = self.program.column(0, 0)
        off_the_cutter = {sheets: -good * gives for sheets, gives in cut.items()}
        self.program.row({column: of} | off_the_cutter, high=0)
        return column

    def _taken(self) -> Mapping[str, Counter[int]]:
        taken: dict[str, Counter[int]] = {
            thing: Counter() for thing in self.question.things
        }
        for code, column in self.sets.items():
            taken[code][column] += 1
        for way, column in zip(self.question.ways, self.ways, strict=True):
            taken[way.product][column] -= 1
            for thing, count in way.needs.items():
                taken[thing][column] += count
        for purchase, column in self._bought():
            if purchase.thing in taken:
                taken[purchase.thing][column] -= purchase.adds
        return taken

    def _limits(self) -> None:
        for limit in self.question.limits:
            uses: Counter[int] = Counter()
            for line in self.question.lines:
                uses[self.sets[line.code]] += line.uses.get(limit.code, 0)
                started = self.started[line.code]
                if started is not None:
                    uses[started] += line.set_up.get(limit.code, 0)
            for way, column in zip(self.question.ways, self.ways, strict=True):
                uses[column] += way.uses.get(limit.code, 0)
            for layout, column in zip(self.question.layouts, self.sheets, strict=True):
                uses[column] += layout.uses.get(limit.code, 0)
            for purchase, column in self._bought():
                uses[column] += purchase.uses.get(limit.code, 0)
                uses[column] -= purchase.adds * (purchase.thing == limit.code)
            self.program.row(uses, high=limit.amount)

    def _bought(self) -> Iterable[tuple[Purchase, int]]:
        return zip(self.question.purchases, self.purchases, strict=True)
