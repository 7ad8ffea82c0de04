"""A whole-number program, built column by column and row by row.

    maximise  sum gain x   where   low <= sum row x <= high   for each row

It holds figures only; ``production.mix.highs`` solves it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf


@dataclass(frozen=True)
class Outcome:
    """The best plan found, if any, and the most that any plan could gain."""

    values: tuple[int, ...] | None
    bound: int
    is_done: bool


@dataclass(frozen=True)
class Row:
    """One rule: the sum of its columns stays between two figures."""

    uses: Mapping[int, int]
    low: float
    high: float


class Program:
    """Columns and rows to be solved, as often as wanted with other ends."""

    def __init__(self) -> None:
        self.gains: list[int] = []
        self.lows: list[float] = []
        self.highs: list[float] = []
        self.whole: list[bool] = []
        self.rows: list[Row] = []

    def column(
        self, gain: int, low: int, high: float = inf, *, whole: bool = True
    ) -> int:
        """Add a column and return its place."""
        self.gains.append(gain)
        self.lows.append(low)
        self.highs.append(high)
        self.whole.append(whole)
        return len(self.gains) - 1

    def row(
        self, uses: Mapping[int, int], low: float = -inf, high: float = inf
    ) -> None:
        """Add a rule; columns that are used nought times are left out."""
        kept = {column: use for column, use in uses.items() if use}
        self.rows.append(Row(kept, low, high))

    def most(self, seconds: float, start: Mapping[int, int] | None = None) -> Outcome:
        """Return the plan that gains the most, found within so many seconds.

        ``start`` may give the values of some columns in a plan that is known.
        """
        # HiGHS and numpy are slow to load: only whoever plans waits for them.
        from production.mix import highs  # noqa: PLC0415

        return highs.most(self, seconds, start)

    def most_in_fractions(self) -> int | None:
        """Return a figure that no whole plan can gain more than; None without a plan."""
        # HiGHS and numpy are slow to load: only whoever plans waits for them.
        from production.mix import highs  # noqa: PLC0415

        return highs.most_in_fractions(self)

    def never_more(self) -> int:
        """Add up every gain at its column's end: a bound that needs no search."""
        ends = (
            gain * (high if gain > 0 else low)
            for gain, low, high in zip(self.gains, self.lows, self.highs, strict=True)
            if gain
        )
        return int(sum(ends))
