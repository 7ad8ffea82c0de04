"""A small linear program, solved by HiGHS in floating point.

Nothing here is a proof: whoever uses the numbers makes them whole and counts again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Solved:
    """The unknowns, what each rule costs, and the most there is."""

    unknowns: tuple[float, ...]
    prices: tuple[float, ...]
    value: float


@dataclass
class Most:
    """Most of Σ worth × unknown under rules that each keep a sum at most so much."""

    worths: list[float] = field(default_factory=list)
    rules: list[tuple[Mapping[int, float], float]] = field(default_factory=list)

    def unknown(self, worth: float = 0.0) -> int:
        """Add an unknown of nought or more, and give its number."""
        self.worths.append(float(worth))
        return len(self.worths) - 1

    def at_most(self, terms: Mapping[int, float], limit: float) -> None:
        self.rules.append((terms, limit))

    def solved(self) -> Solved:
        # Slow library: it takes a quarter of a second to import.
        import highspy  # noqa: PLC0415

        from studio.maths.cutting.programs import quiet_solver  # noqa: PLC0415

        solver = quiet_solver()
        solver.setOptionValue("threads", 1)
        for worth in self.worths:
            solver.addCol(-worth, 0.0, highspy.kHighsInf, 0, [], [])
        for terms, limit in self.rules:
            numbers, values = list(terms), list(terms.values())
            solver.addRow(-highspy.kHighsInf, limit, len(numbers), numbers, values)
        solver.run()
        solution = solver.getSolution()
        return Solved(
            tuple(solution.col_value),
            tuple(-price for price in solution.row_dual),
            -solver.getInfo().objective_function_value,
        )
