"""Linear and integer programs over strips, solved with HiGHS on one thread.

    least  Σ price · slack   with  Σ a x + slack ≥ demand,  Σ x ≤ F for each height

Everything that is proven is checked again in whole numbers by whoever asked: the
figures in here are floating point and only ever suggestions.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from random import Random
from typing import Generic, Protocol, TypeVar

import highspy
import numpy as np


class Pattern(Protocol):
    """A strip or a pre-cut piece, what it costs, and what is cut from it."""

    @property
    def height(self) -> int: ...

    def counts(self, kinds: int) -> tuple[int, ...]: ...


P = TypeVar("P", bound=Pattern)
Filling = tuple[int, tuple[int, ...]]
EVER = highspy.kHighsInf
FEASIBLE = highspy.kSolutionStatusFeasible
SHAKEN = 0.01
ALMOST_WHOLE = 1e-4
# A choice is good enough when no other of the same strips is shorter by more.
NEAR = 0.005


class PatternProgram(Generic[P]):
    """The linear program over all patterns seen so far; heights are free or given."""

    def __init__(self, heights: Sequence[int], prices: Sequence[int]) -> None:
        self.heights = heights
        self.prices = prices
        self.kinds = len(prices)
        self.first_strip = self.kinds + len(heights)
        self.strips: list[P] = []
        self._row_of = {height: row for row, height in enumerate(heights)}
        self._known: set[tuple[int, tuple[int, ...]]] = set()
        self._solver = quiet_solver()
        self._solver.setOptionValue("presolve", "off")
        self._add_rows()

    def add(self, strip: P) -> bool:
        """Take in a strip; say whether it is a new one."""
        counts = strip.counts(self.kinds)
        if (strip.height, counts) in self._known:
            return False
        self._known.add((strip.height, counts))
        rows = [kind for kind, count in enumerate(counts) if count]
        values = [float(counts[kind]) for kind in rows]
        rows.append(self.kinds + self._row_of[strip.height])
        values.append(-1.0)
        self._add_column(0.0, rows, values)
        self.strips.append(strip)
        return True

    def want(self, demand: Sequence[int]) -> None:
        """Set how many of each kind are wanted."""
        for kind, count in enumerate(demand):
            self._solver.changeRowBounds(kind, float(count), EVER)

    def leave_heights_free(self) -> None:
        """Ask for the least length, with so many strips as that takes."""
        for kind in range(self.kinds):
            self._solver.changeColCost(kind, float(self.prices[kind] * 1000))
        for row, height in enumerate(self.heights):
            self._solver.changeColCost(self.kinds + row, float(height))
            self._solver.changeColBounds(self.kinds + row, 0.0, EVER)

    def fix_heights(self, strips: Sequence[float]) -> None:
        """Ask how much is missing when there are only so many strips of each height."""
        for kind in range(self.kinds):
            self._solver.changeColCost(kind, float(self.prices[kind]))
        for row, count in enumerate(strips):
            self._solver.changeColCost(self.kinds + row, 0.0)
            self._solver.changeColBounds(self.kinds + row, float(count), float(count))

    def shake(self, chance: Random) -> None:
        """Let some strips cost a little, so that another answer comes out."""
        self._price_strips([chance.random() * SHAKEN for _strip in self.strips])

    def calm(self) -> None:
        """Let strips cost nothing but their height again."""
        self._price_strips([0.0] * len(self.strips))

    def missing(self) -> float:
        """Give the price of what is missing from the last answer."""
        values = self._solver.getSolution().col_value
        return sum(
            price * value
            for price, value in zip(self.prices, values[: self.kinds], strict=True)
        )

    def _price_strips(self, costs: list[float]) -> None:
        first, many = self.first_strip, len(costs)
        columns = places(range(first, first + many))
        self._solver.changeColsCost(many, columns, numbers(costs))

    def solve(self, seconds: float) -> bool:
        """Solve it; say whether that was done in time."""
        self._solver.setOptionValue("time_limit", _clock(self._solver) + seconds)
        self._solver.run()
        return bool(self._solver.getModelStatus() == highspy.HighsModelStatus.kOptimal)

    @property
    def value(self) -> float:
        return float(self._solver.getInfo().objective_function_value)

    def weights(self) -> tuple[list[float], list[float]]:
        """Give what one more of each kind, and of each height, is worth."""
        duals = list(self._solver.getSolution().row_dual)
        return duals[: self.kinds], duals[self.kinds :]

    def amounts(self) -> list[float]:
        """Give how much of each strip is used, in order of ``strips``."""
        return list(self._solver.getSolution().col_value)[self.first_strip :]

    def _add_rows(self) -> None:
        for _kind in self.prices:
            self._solver.addRow(0.0, EVER, 0, NO_PLACES, NO_VALUES)
        for _height in self.heights:
            self._solver.addRow(0.0, EVER, 0, NO_PLACES, NO_VALUES)
        for kind in range(self.kinds):
            self._add_column(0.0, [kind], [1.0])
        for row in range(len(self.heights)):
            self._add_column(0.0, [self.kinds + row], [1.0])

    def _add_column(
        self, cost: float, rows: Sequence[int], values: Sequence[float]
    ) -> None:
        self._solver.addCol(cost, 0.0, EVER, len(rows), places(rows), numbers(values))


class HeightProgram:
    """The small program in fractions: strips of each height, under all cuts so far.

    Its first columns are F, the strips of each height; the others are C, the strips
    of that height or taller. Both may be held between bounds.
    """

    def __init__(self, heights: Sequence[int]) -> None:
        self.rows = len(heights)
        self._solver = quiet_solver()
        self._solver.setOptionValue("presolve", "off")
        for height in heights:
            self._solver.addCol(float(height), 0.0, EVER, 0, NO_PLACES, NO_VALUES)
        for row in range(self.rows):
            self._solver.addCol(0.0, 0.0, EVER, 0, NO_PLACES, NO_VALUES)
            taller = list(range(row, self.rows))
            columns, values = [*taller, self.rows + row], [1.0] * len(taller) + [-1.0]
            self._add_row(columns, values, 0.0, 0.0)
        self._every = places(range(2 * self.rows))

    def cut(self, values: Sequence[int], least: int) -> None:
        """Take in that Σ values · F is at least so much."""
        rows = [row for row, value in enumerate(values) if value]
        scale = max(1.0, least / 100)
        self._add_row(rows, [values[row] / scale for row in rows], least / scale, EVER)

    def hold(self, low: np.ndarray, high: np.ndarray) -> None:
        """Hold F and C between bounds."""
        self._solver.changeColsBounds(len(self._every), self._every, low, high)

    def solve(self) -> tuple[float, np.ndarray] | None:
        """Give the least length and F with C, or None if there is none."""
        self._solver.run()
        if self._solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        value = float(self._solver.getInfo().objective_function_value)
        return value, numbers(self._solver.getSolution().col_value)

    def _add_row(
        self, columns: Sequence[int], values: Sequence[float], low: float, high: float
    ) -> None:
        self._solver.addRow(
            float(low), float(high), len(columns), places(columns), numbers(values)
        )


def fewest_strips(
    heights: Sequence[int],
    cuts: Sequence[tuple[Sequence[int], int]],
    most: int,
    seconds: float,
) -> tuple[int, list[int]] | None:
    """Give the least length of whole strips under cuts, and these strips.

    None where there is nothing up to a length, or too little time. Each cut is what a
    strip of each height is worth, and what all together must be worth.
    """
    solver = quiet_solver()
    solver.setOptionValue("time_limit", max(seconds, 0.001))
    solver.setOptionValue("mip_abs_gap", 0.99)
    for height in heights:
        top, cost = float(most // height), float(height)
        solver.addCol(cost, 0.0, top, 0, NO_PLACES, NO_VALUES)
    for values, least in cuts:
        rows, scale = [row for row, v in enumerate(values) if v], max(1.0, least / 100)
        scaled = numbers([values[row] / scale for row in rows])
        solver.addRow(least / scale, EVER, len(rows), places(rows), scaled)
    _ask_for_wholes(solver, len(heights))
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    bound = ceil(float(solver.getInfo().mip_dual_bound) - ALMOST_WHOLE)
    return bound, [round(value) for value in solver.getSolution().col_value]


def choose_whole(
    among: Sequence[Filling],
    demand: Sequence[int],
    numbers_of: dict[int, int],
    seconds: float,
) -> tuple[str, list[int]]:
    """Cover the demand with whole strips, so many of each height.

    Gives "found" and how many of each, "none" when these cannot do it, or "late".
    """
    if not among:
        return "none", []
    solver = _covering(demand, seconds)
    row_of = {height: len(demand) + place for place, height in enumerate(numbers_of)}
    for most in numbers_of.values():
        solver.addRow(0.0, float(most), 0, NO_PLACES, NO_VALUES)
    for height, counts in among:
        rows, values = _wanted_of(counts, demand)
        rows.append(row_of[height])
        top = float(numbers_of[height])
        solver.addCol(0.0, 0.0, top, len(rows), places(rows), numbers([*values, 1.0]))
    _ask_for_wholes(solver, len(among))
    return _chosen(solver)


def shortest_whole(
    among: Sequence[Filling], demand: Sequence[int], below: int, seconds: float
) -> list[int]:
    """Cover the demand with the least length of whole strips that is found in time.

    Gives how many of each; none where nothing below a length is found.
    """
    solver = _covering(demand, seconds)
    for height, counts in among:
        rows, values = _wanted_of(counts, demand)
        top, cost = float(below // height), float(height)
        solver.addCol(cost, 0.0, top, len(rows), places(rows), numbers(values))
    solver.setOptionValue("mip_abs_gap", 0.99)
    solver.setOptionValue("mip_rel_gap", NEAR)
    _ask_for_wholes(solver, len(among))
    has_plan = solver.getInfo().primal_solution_status == FEASIBLE
    if not has_plan:
        return []
    return [round(value) for value in solver.getSolution().col_value]


def _covering(demand: Sequence[int], seconds: float) -> highspy.Highs:
    solver = quiet_solver()
    solver.setOptionValue("time_limit", max(seconds, 0.001))
    for count in demand:
        solver.addRow(float(count), EVER, 0, NO_PLACES, NO_VALUES)
    return solver


def _wanted_of(
    counts: Sequence[int], demand: Sequence[int]
) -> tuple[list[int], list[float]]:
    kinds = [kind for kind, count in enumerate(counts) if count]
    return kinds, [float(min(counts[kind], demand[kind])) for kind in kinds]


def _ask_for_wholes(solver: highspy.Highs, many: int) -> None:
    whole = np.full(many, highspy.HighsVarType.kInteger)
    solver.changeColsIntegrality(many, places(range(many)), whole)
    solver.run()


def _chosen(solver: highspy.Highs) -> tuple[str, list[int]]:
    status = solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return "none", []
    if status != highspy.HighsModelStatus.kOptimal:
        return "late", []
    return "found", [round(value) for value in solver.getSolution().col_value]


def most_of_each(
    ways: Sequence[Sequence[int]], times: Sequence[int], pieces: int
) -> int:
    """Give the most kits that so many pieces hold, with each demand so many times.

    A way says how many of each demand one piece gives.
    """
    solver = quiet_solver()
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.addRow(0.0, float(pieces), 0, NO_PLACES, NO_VALUES)
    for _demand in times:
        solver.addRow(0.0, EVER, 0, NO_PLACES, NO_VALUES)
    demands = list(range(1, len(times) + 1))
    asked = numbers([-float(time) for time in times])
    solver.addCol(-1.0, 0.0, EVER, len(demands), places(demands), asked)
    for way in ways:
        values = [1.0, *map(float, way)]
        rows = [0, *demands]
        solver.addCol(0.0, 0.0, float(pieces), len(rows), places(rows), numbers(values))
    every = places(range(len(ways) + 1))
    whole = np.full(len(ways) + 1, highspy.HighsVarType.kInteger)
    solver.changeColsIntegrality(len(every), every, whole)
    solver.run()
    return round(-float(solver.getInfo().objective_function_value))


def fewest_giving(ways: Sequence[Sequence[int]], needed: Sequence[int]) -> int:
    """Give the fewest pieces that hold so many of each demand; some way has each."""
    solver = quiet_solver()
    solver.setOptionValue("mip_rel_gap", 0.0)
    for count in needed:
        solver.addRow(float(count), EVER, 0, NO_PLACES, NO_VALUES)
    rows = places(range(len(needed)))
    for way in ways:
        solver.addCol(1.0, 0.0, EVER, len(needed), rows, numbers([*map(float, way)]))
    every = places(range(len(ways)))
    whole = np.full(len(ways), highspy.HighsVarType.kInteger)
    solver.changeColsIntegrality(len(every), every, whole)
    solver.run()
    return round(float(solver.getInfo().objective_function_value))


class _QuietSolver(highspy.Highs):  # type: ignore[misc, unused-ignore]
    """A solver that prints nothing: its banner would stand in the middle of an answer.

    Calling back is what makes it print, and nobody here is called back.
    """

    def enableCallbacks(self) -> None:  # noqa: N802 (HiGHS calls it so)
        self.setOptionValue("output_flag", False)


def quiet_solver() -> highspy.Highs:
    # The package's stub names no types for making one.
    solver = _QuietSolver()  # type: ignore[no-untyped-call]
    solver.setOptionValue("threads", 1)
    return solver


def places(values: Sequence[int]) -> np.ndarray:
    return np.array(values, dtype=np.int32)


def numbers(values: Sequence[float]) -> np.ndarray:
    return np.array(values, dtype=np.float64)


def _clock(solver: highspy.Highs) -> float:
    """Give the solver's own clock, which runs on over all its runs."""
    return float(solver.getRunTime())


NO_PLACES = places(())
NO_VALUES = numbers(())
