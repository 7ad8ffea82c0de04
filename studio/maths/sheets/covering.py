"""The least total of columns that together cover a demand: a small linear program.

    least Σ x_p  with  Σ a_ip x_p ≥ d_i,  x ≥ 0  (whole where asked for)

HiGHS works in floating point, so nothing here is a proof: the weights it finds are
made whole and weighed again exactly by whoever uses them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import highspy

Column = Sequence[int]


@dataclass(frozen=True)
class Cover:
    """How often each column is used, and what each demand weighs."""

    times: tuple[float, ...]
    weights: tuple[float, ...]


def least_cover(columns: Sequence[Column], demand: Sequence[int]) -> Cover:
    """Solve with parts of columns allowed."""
    solver = _loaded(columns, demand, whole=False)
    solver.run()
    solution = solver.getSolution()
    return Cover(tuple(solution.col_value), tuple(solution.row_dual))


def least_whole_cover(
    columns: Sequence[Column], demand: Sequence[int], *, seconds: float
) -> tuple[int, ...] | None:
    """Solve with whole columns; give None where none was found in time."""
    solver = _loaded(columns, demand, whole=True)
    solver.setOptionValue("time_limit", max(0.05, seconds))
    solver.setOptionValue("mip_rel_gap", 0.0)
    # The count is whole, so anything nearer than one sheet is the least.
    solver.setOptionValue("mip_abs_gap", 0.99)
    solver.run()
    times = tuple(round(value) for value in solver.getSolution().col_value)
    covers = all(
        sum(column[row] * n for column, n in zip(columns, times, strict=True)) >= wants
        for row, wants in enumerate(demand)
    )
    return times if times and covers else None


def _loaded(
    columns: Sequence[Column], demand: Sequence[int], *, whole: bool
) -> highspy.Highs:
    # Slow library: it takes a quarter of a second to import.
    import highspy  # noqa: PLC0415

    from studio.maths.cutting.programs import quiet_solver  # noqa: PLC0415

    solver = quiet_solver()
    solver.setOptionValue("threads", 1)
    endless = highspy.kHighsInf
    for wants in demand:
        solver.addRow(float(wants), endless, 0, [], [])
    for number, column in enumerate(columns):
        rows = [row for row, count in enumerate(column) if count]
        values = [float(column[row]) for row in rows]
        solver.addCol(1.0, 0.0, endless, len(rows), rows, values)
        if whole:
            solver.changeColIntegrality(number, highspy.HighsVarType.kInteger)
    return solver
