"""What else goes on a sheet, and how little is missing for more.

    more of a piece  the most n for which the sheet still holds everything else and n
    near miss        half a millimetre less between pieces at a time, down to the kerf,
                     then a millimetre less edge at a time: the first that gives more

Each count found has really been laid; a larger one may exist, and the bound says up
to where.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor
from random import Random

from studio.maths.sheet_layout import Sheet
from studio.maths.sheets.fillers import beside
from studio.maths.sheets.laid import goes_by_outline
from studio.maths.sheets.outlined import Laying, OutlinePlanner
from studio.maths.sheets.plan import Planner
from studio.maths.sheets.problem import (
    Pattern,
    SheetPiece,
    in_units,
    refuse_unfit,
)
from studio.maths.sheets.weighing import Weighing

HALF_MM = Fraction(1, 2)
USUAL_SECONDS = 0.3
_LEAST_GAP_MM = HALF_MM
_STEPS = 3
_FEW_STEPS = 2
_FOR_AN_OUTLINE = 0.7
_TRIES_OF_OUTLINES = 150
_TRIES_BESIDE = 20


@dataclass(frozen=True)
class Spare:
    """So many more of a piece on the sheet, and what none goes above."""

    name: str
    count: int
    bound: int
    pattern: Pattern


@dataclass(frozen=True)
class NearMiss:
    """More on a sheet by a little less gap or edge."""

    gap_mm: Fraction
    edge_mm: Fraction
    now: int
    then: int

    @property
    def more(self) -> int:
        return self.then - self.now


def what_else(
    pieces: Sequence[SheetPiece],
    extra: SheetPiece,
    sheet: Sheet,
    *,
    saw: bool = False,
    seconds: float = USUAL_SECONDS,
) -> Spare | None:
    """Find how many of an extra piece go on a sheet beside one set of the others.

    None where not even the set itself was laid on one sheet. Raises PieceTooLarge.
    """
    if goes_by_outline([*pieces, extra], saw=saw):
        return _else_by_outline([*pieces, extra], sheet)
    problem = in_units([*pieces, extra], sheet, saw=saw)
    fixed = [piece.count for piece in pieces]
    planner = Planner(problem, seconds=seconds)
    bound = min(
        most
        for weighing in planner.weighings
        for most in [_most_beside(weighing, fixed)]
        if most is not None
    )
    best: Pattern | None = None
    for pattern in beside(problem, [*fixed, 0], bound, seconds):
        if best is None or len(pattern) > len(best):
            best = pattern
        if len(best) == sum(fixed) + bound:
            break
    if best is None:
        return None
    return Spare(extra.name, len(best) - sum(fixed), bound, best)


def _else_by_outline(pieces: Sequence[SheetPiece], sheet: Sheet) -> Spare | None:
    """Lay one set of all but the last, and then as many of the last as go."""
    refuse_unfit(pieces, sheet)
    laying = Laying(pieces, sheet)
    # Chance in a search guards no secret.
    chance = Random(1)  # noqa: S311
    fixed = [piece.count for piece in pieces[:-1]]
    order = [kind for kind, count in enumerate(fixed) for _ in range(count)]
    best: Pattern | None = None
    for _ in range(_TRIES_BESIDE):
        table = laying.table(chance)
        chance.shuffle(order)
        if all(table.add(kind) for kind in order):
            while table.add(len(fixed)):
                pass
            if laying.holds(table.pattern):
                best = max(best or (), table.pattern, key=len)
    if best is None:
        return None
    bound = _most_beside(laying.by_area(), fixed) or 0
    return Spare(pieces[-1].name, len(best) - sum(fixed), bound, best)


def near_miss(
    pieces: Sequence[SheetPiece],
    sheet: Sheet,
    now: int,
    *,
    kerf_mm: Fraction = Fraction(0),
    saw: bool = False,
    seconds: float = USUAL_SECONDS,
) -> NearMiss | None:
    """Find the smallest change tried that puts more sets on a sheet than now.

    One kind alone is counted by the piece: what is found now is counted afresh.
    """
    if len(pieces) == 1:
        pieces = [replace(pieces[0], count=1)]
        now = _sets(pieces, sheet, saw=saw, seconds=seconds)
    by_outline = goes_by_outline(pieces, saw=saw)
    for other in _smaller(sheet, kerf_mm, _FEW_STEPS if by_outline else _STEPS):
        then = (
            _more_outlines(pieces, other, now)
            if by_outline
            else _sets(pieces, other, saw=saw, seconds=seconds)
        )
        if then > now:
            if by_outline and _more_outlines(pieces, sheet, now, seed=2) > now:
                break
            return NearMiss(other.gap_mm, other.edge_mm, now, then)
    return None


def _sets(
    pieces: Sequence[SheetPiece], sheet: Sheet, *, saw: bool, seconds: float
) -> int:
    if goes_by_outline(pieces, saw=saw):
        return OutlinePlanner(pieces, sheet).full_sheet().sets
    problem = in_units(pieces, sheet, saw=saw)
    return Planner(problem, seconds=seconds).full_sheet().sets


def _more_outlines(
    pieces: Sequence[SheetPiece], sheet: Sheet, now: int, *, seed: int = 1
) -> int:
    """Look for more than now; with another seed, for what was overlooked before."""
    seconds = _FOR_AN_OUTLINE * (1 if seed == 1 else 2)
    found = OutlinePlanner(
        pieces, sheet, seconds=seconds, tries=_TRIES_OF_OUTLINES, seed=seed
    )
    return found.more_than(now)


def _smaller(sheet: Sheet, kerf_mm: Fraction, steps: int) -> Iterator[Sheet]:
    least = max(kerf_mm, _LEAST_GAP_MM)
    halves = floor(sheet.gap_mm / HALF_MM)
    if halves * HALF_MM == sheet.gap_mm:
        halves -= 1
    for step in range(steps):
        gap = (halves - step) * HALF_MM
        if gap >= least:
            yield replace(sheet, gap_mm=gap)
    for less in range(1, steps):
        if sheet.edge_mm - less >= 0:
            yield replace(sheet, edge_mm=sheet.edge_mm - less)


def _most_beside(weighing: Weighing, fixed: Sequence[int]) -> int | None:
    *others, each = weighing.weights
    used = sum(weight * count for weight, count in zip(others, fixed, strict=True))
    return max(0, weighing.limit - used) // each if each else None
