"""A whole-number program, built column by column and solved with HiGHS on one thread.

    maximise  sum gain x   where   low <= sum row x <= high   for each row

Every gain and every answer is a whole number, so the search may stop as soon as no
plan can gain one more. The figures in here are floating point: whoever asks checks
the plan again in whole numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor, inf

import highspy
import numpy as np

from studio.maths.cutting.programs import numbers, places, quiet_solver

# Below one, with room for what floating point adds up.
NEARLY_ONE = 0.999
_ROUNDING = 1e-4
# Every plan is held between ends, so none can gain without end.
_IMPOSSIBLE = (
    highspy.HighsModelStatus.kInfeasible,
    highspy.HighsModelStatus.kUnboundedOrInfeasible,
)


@dataclass(frozen=True)
class Outcome:
    """The best plan found, if any, and the most that any plan could gain."""

    values: tuple[int, ...] | None
    bound: int
    is_done: bool

    @property
    def is_impossible(self) -> bool:
        """Say whether it is sure that no plan keeps every rule."""
        return self.is_done and self.values is None


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
        solver = self._solver()
        solver.setOptionValue("time_limit", max(0.01, seconds))
        solver.setOptionValue("mip_rel_gap", 0.0)
        solver.setOptionValue("mip_abs_gap", NEARLY_ONE)
        self._make_whole(solver)
        if start is not None:
            values = numbers(list(start.values()))
            solver.setSolution(len(start), places(list(start)), values)
        solver.run()
        return self._outcome(solver)

    def most_in_fractions(self) -> int | None:
        """Return a figure that no whole plan can gain more than; None without a plan."""
        solver = self._solver()
        solver.run()
        if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        return floor(float(solver.getInfo().objective_function_value) + _ROUNDING)

    def never_more(self) -> int:
        """Add up every gain at its column's end: a bound that needs no search."""
        ends = (
            gain * (high if gain > 0 else low)
            for gain, low, high in zip(self.gains, self.lows, self.highs, strict=True)
            if gain
        )
        return int(sum(ends))

    def _solver(self) -> highspy.Highs:
        solver = quiet_solver()
        many = len(self.gains)
        solver.addVars(many, numbers(self.lows), _ends(self.highs))
        solver.changeColsCost(many, places(range(many)), numbers(self.gains))
        for row in self.rows:
            columns, values = list(row.uses), [float(use) for use in row.uses.values()]
            solver.addRow(
                _end(row.low),
                _end(row.high),
                len(columns),
                places(columns),
                numbers(values),
            )
        solver.changeObjectiveSense(highspy.ObjSense.kMaximize)
        return solver

    def _make_whole(self, solver: highspy.Highs) -> None:
        whole = [column for column, is_whole in enumerate(self.whole) if is_whole]
        kind = np.full(len(whole), highspy.HighsVarType.kInteger)
        solver.changeColsIntegrality(len(whole), places(whole), kind)

    def _outcome(self, solver: highspy.Highs) -> Outcome:
        status, info = solver.getModelStatus(), solver.getInfo()
        if status in _IMPOSSIBLE:
            return Outcome(None, 0, is_done=True)
        bound = float(info.mip_dual_bound)
        most = self.never_more()
        if abs(bound) < highspy.kHighsInf:
            most = min(most, floor(bound + _ROUNDING))
        values = None
        if (
            info.primal_solution_status
            == highspy.SolutionStatus.kSolutionStatusFeasible
        ):
            values = tuple(round(value) for value in solver.getSolution().col_value)
        is_done = status == highspy.HighsModelStatus.kOptimal
        return Outcome(values, most, is_done)


def _ends(values: Sequence[float]) -> np.ndarray:
    return numbers([_end(value) for value in values])


def _end(value: float) -> float:
    if value == inf:
        return float(highspy.kHighsInf)
    return -float(highspy.kHighsInf) if value == -inf else float(value)
