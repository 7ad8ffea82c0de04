"""Solve a whole-number program with HiGHS on one thread.

Every gain and every answer is a whole number, so the search may stop as soon as no
plan can gain one more. The figures in here are floating point: whoever asks checks the
plan again in whole numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import floor, inf

import highspy
import numpy as np

from production.mix.program import Outcome, Program
from studio.maths.cutting.programs import numbers, places, quiet_solver

# Below one, with room for what floating point adds up.
NEARLY_ONE = 0.999
SHORTEST_SECONDS = 0.01
_ROUNDING = 1e-4
# Every plan is held between ends, so none can gain without end.
_IMPOSSIBLE = (
    highspy.HighsModelStatus.kInfeasible,
    highspy.HighsModelStatus.kUnboundedOrInfeasible,
)
_FOUND = highspy.SolutionStatus.kSolutionStatusFeasible


def most(
    program: Program, seconds: float, start: Mapping[int, int] | None = None
) -> Outcome:
    """Return the best plan found in time, and the bound that was proven."""
    solver = _solver(program)
    solver.setOptionValue("time_limit", max(SHORTEST_SECONDS, seconds))
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", NEARLY_ONE)
    whole = [column for column, is_whole in enumerate(program.whole) if is_whole]
    kind = np.full(len(whole), highspy.HighsVarType.kInteger)
    solver.changeColsIntegrality(len(whole), places(whole), kind)
    if start is not None:
        values = numbers(list(start.values()))
        solver.setSolution(len(start), places(list(start)), values)
    solver.run()
    return _outcome(program, solver)


def most_in_fractions(program: Program) -> int | None:
    """Return what the program gains in fractions, rounded down; None without a plan."""
    solver = _solver(program)
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return floor(float(solver.getInfo().objective_function_value) + _ROUNDING)


def _solver(program: Program) -> highspy.Highs:
    solver = quiet_solver()
    many = len(program.gains)
    solver.addVars(many, _ends(program.lows), _ends(program.highs))
    solver.changeColsCost(many, places(range(many)), numbers(program.gains))
    for row in program.rows:
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


def _outcome(program: Program, solver: highspy.Highs) -> Outcome:
    status, info = solver.getModelStatus(), solver.getInfo()
    if status in _IMPOSSIBLE:
        return Outcome(None, 0, is_done=True)
    bound, top = float(info.mip_dual_bound), program.never_more()
    if abs(bound) < highspy.kHighsInf:
        top = min(top, floor(bound + _ROUNDING))
    values = None
    if info.primal_solution_status == _FOUND:
        values = tuple(round(value) for value in solver.getSolution().col_value)
    return Outcome(values, top, status == highspy.HighsModelStatus.kOptimal)


def _ends(values: Sequence[float]) -> np.ndarray:
    return numbers([_end(value) for value in values])


def _end(value: float) -> float:
    if value == inf:
        return float(highspy.kHighsInf)
    return -float(highspy.kHighsInf) if value == -inf else float(value)
