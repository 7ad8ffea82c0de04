"""Sets with pieces that are no rectangles: the most on one sheet, and few sheets.

    sheets ≥ Σ grown area × count / grown room,  rounded up

The bound is plain area, every outline and the room grown by half the gap. Everything
is counted in whole thousandths of a millimetre; an outline in finer parts has been
rounded to them already. One piece alone is laid in interlocking rows, too (nesting).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil, floor
from random import Random
from time import monotonic, thread_time

from studio.maths import nesting
from studio.maths.cutting.kinds import Kind
from studio.maths.nesting_shapes import (
    MICRONS,
    Shape,
    all_apart,
    is_simple,
    shape_of,
    turns_of,
)
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import plainer
from studio.maths.sheets.mixing import Grid, Table, both_ways
from studio.maths.sheets.plan import FullSheet, Plan
from studio.maths.sheets.problem import (
    Outline,
    Pattern,
    Problem,
    SheetPiece,
    Spot,
    counts,
    refuse_unfit,
)
from studio.maths.sheets.refusals import TooManyKinds
from studio.maths.sheets.weighing import Weighing

USUAL_SECONDS = 3.0
MOST_KINDS = 30
_TRIES = 400
_FEWEST_TRIES = 6
# Rows of one shape are seldom beaten: so many fewer tries then.
_AFTER_ROWS = 8
_SEQUENCES = 12
_NOISES = (0.0, 0.1, 0.4)


class _Clock:
    """So many seconds of work; twice as many by the wall, where others work, too."""

    def __init__(self, seconds: float) -> None:
        self.work = thread_time() + seconds
        self.wall = monotonic() + 2 * seconds

    @property
    def is_over(self) -> bool:
        return thread_time() > self.work or monotonic() > self.wall

    @property
    def seconds_left(self) -> float:
        return max(0.1, self.work - thread_time())


class _Learnt:
    """Which weights of the kinds came farthest, so that others start from there."""

    def __init__(self, kinds: int) -> None:
        self.kinds = kinds
        self.best: tuple[float, ...] | None = None
        self.area = 0

    def weights(self, chance: Random) -> tuple[float, ...]:
        if self.best is None or chance.random() < 0.4:
            return tuple(chance.uniform(0.5, 1.5) for _ in range(self.kinds))
        return tuple(one * chance.uniform(0.85, 1.15) for one in self.best)

    def note(self, weights: tuple[float, ...], area: int) -> None:
        if area > self.area:
            self.best, self.area = weights, area

    def forget(self) -> None:
        """Keep the weights, but let any other do better: more is wanted now."""
        self.area = 0


class OutlinePlanner:
    """One sheet, its pieces as outlines, and what has been found of them so far."""

    def __init__(
        self,
        pieces: Sequence[SheetPiece],
        sheet: Sheet,
        *,
        seconds: float = USUAL_SECONDS,
        tries: int = _TRIES,
        seed: int = 1,
    ) -> None:
        refuse_unfit(pieces, sheet)
        if len(pieces) > MOST_KINDS:
            raise TooManyKinds(len(pieces), MOST_KINDS)
        self.started = monotonic()
        self.clock = _Clock(seconds)
        self.tries = tries
        # Chance in a search guards no secret.
        self.chance = Random(seed)  # noqa: S311
        self.pieces, self.sheet = tuple(pieces), sheet
        self.laying = Laying(self.pieces, sheet)
        self.problem = self.laying.problem
        self.one_set = tuple(0 if one.fills else one.count for one in pieces)
        self.proof = self.laying.by_area()
        self.learnt = _Learnt(len(self.pieces))
        self._full: FullSheet | None = None

    def full_sheet(self) -> FullSheet:
        """Put as many complete sets on one sheet as can be found, and keep them."""
        if self._full is None:
            bound = self.proof.sets(self.one_set) or 0
            rows = self._in_rows()
            self._full = self._most(rows, self._sets(rows), bound)
        return self._full

    def more_than(self, sets: int) -> int:
        """Give a larger number of sets that one sheet holds, or the number itself."""
        bound = self.proof.sets(self.one_set) or 0
        rows = self._sets(self._in_rows())
        return self._most((), max(sets, rows), bound).sets

    def plan(self, sets: int) -> Plan:
        """Lay out so many sets on few sheets."""
        wanted = [count * sets for count in self.one_set]
        bound = self.proof.sheets(wanted)
        best = self._with_full_sheets(sets)
        for n in range(_SEQUENCES):
            if (len(best) == bound and sets > 1) or (n > 3 and self.clock.is_over):
                break
            found = list(self._one_after_the_other(wanted))
            best = found if not best or len(found) <= len(best) else best
        seconds = round(monotonic() - self.started, 3)
        return Plan(tuple(best), bound, self.proof, seconds)

    def _with_full_sheets(self, sets: int) -> list[Pattern]:
        """Repeat the full sheet, and lay what is left over one sheet after another."""
        full = self.full_sheet()
        if not full.sets:
            return []
        sheets, rest = divmod(sets, full.sets)
        left = [count * rest for count in self.one_set]
        last = list(self._one_after_the_other(left))
        if len(last) > 1:
            last = [_only(full.pattern, left)]
        exactly = [count * full.sets for count in self.one_set]
        return [_only(full.pattern, exactly)] * sheets + last

    def _one_after_the_other(self, wanted: Sequence[int]) -> Iterator[Pattern]:
        left = list(wanted)
        while any(left):
            table = self.laying.table(self.chance)
            for kind in self._order(left, self.learnt.weights(self.chance)):
                if table.add(kind):
                    left[kind] -= 1
            yield table.pattern

    def _most(self, best: Pattern, sets: int, bound: int) -> FullSheet:
        """Try for one set more, again and again."""
        tried, tries = 0, self.tries // (_AFTER_ROWS if best else 1)
        while sets < bound and tried < tries:
            tried += 1
            found = self._laid([count * (sets + 1) for count in self.one_set])
            if found:
                best, sets = found, sets + 1
                self.learnt.forget()
            elif self.clock.is_over and tried >= _FEWEST_TRIES:
                break
        return FullSheet(best, sets, bound)

    def _laid(self, wanted: Sequence[int]) -> Pattern | None:
        """Lay all that is wanted or nothing; learn from how far it came."""
        weights = self.learnt.weights(self.chance)
        table = self.laying.table(self.chance)
        area = 0
        for kind in self._order(wanted, weights):
            if not table.add(kind):
                self.learnt.note(weights, area)
                return None
            area += self.laying.shapes[kind].doubled_area
        return table.pattern if self.laying.holds(table.pattern) else None

    def _in_rows(self) -> Pattern:
        kinds = [n for n, count in enumerate(self.one_set) if count]
        if len(kinds) > 1 or not self.pieces[kinds[0]].turns:
            return ()
        outline, sheet = self.laying.in_mm(kinds[0], self.sheet)
        nest = nesting.nested(outline, sheet, seconds=self.clock.seconds_left)
        return tuple(
            Spot(kinds[0], at.x, at.y, bool(at.quarters % 2), at.quarters > 1)
            for at in nest.places
        )

    def _order(self, wanted: Sequence[int], weights: Sequence[float]) -> list[int]:
        """Put larger pieces first, each kind as heavy as it is to be taken."""
        noise = self.chance.choice(_NOISES)
        pairs = zip(self.laying.shapes, weights, strict=True)
        sizes = [shape.doubled_area * weight for shape, weight in pairs]
        order = [kind for kind, count in enumerate(wanted) for _ in range(count)]

        def first(kind: int) -> float:
            return -sizes[kind] * self.chance.uniform(1 - noise, 1 + noise)

        return sorted(order, key=first)

    def _sets(self, pattern: Pattern) -> int:
        found = counts(pattern, len(self.one_set))
        pairs = zip(found, self.one_set, strict=True)
        return min(count // each for count, each in pairs if each)


class Laying:
    """Pieces and a sheet in whole thousandths, and the tables to lay them on."""

    def __init__(self, pieces: Sequence[SheetPiece], sheet: Sheet) -> None:
        self.shapes = [_shape(piece) for piece in pieces]
        self.gap = ceil(sheet.gap_mm * MICRONS) + _hidden(pieces)
        across, down = (floor(side * MICRONS) for side in sheet.room_mm)
        self.room = across, down
        self.turns = [turns_of(shape) for shape in self.shapes]
        allowed = [
            turns if piece.turns else turns[:1]
            for piece, turns in zip(pieces, self.turns, strict=True)
        ]
        self.grids = both_ways(allowed, self.gap, self.room)
        kinds = tuple(
            Kind(shape.width + self.gap, shape.height + self.gap, one.count, one.turns)
            for one, shape in zip(pieces, self.shapes, strict=True)
        )
        self.problem = Problem(
            across + self.gap, down + self.gap, kinds, per_mm=MICRONS
        )

    def table(self, chance: Random) -> Table:
        """Give an empty sheet that fills from its left or from its top."""
        return Table(chance.choice(self.grids), range(len(self.shapes)))

    def in_mm(self, kind: int, sheet: Sheet) -> tuple[Outline, Sheet]:
        """Give one outline and the sheet as they are laid here, in millimetres."""
        corners = tuple(
            (Fraction(x, MICRONS), Fraction(y, MICRONS))
            for x, y in self.shapes[kind].corners
        )
        return corners, replace(sheet, gap_mm=Fraction(self.gap, MICRONS))

    def holds(self, pattern: Pattern) -> bool:
        """Measure every distance again, in whole numbers."""
        shapes = [turn for turns in self.turns for turn in turns]
        places = [(4 * one.kind + one.quarters, (one.x, one.y)) for one in pattern]
        return all_apart(shapes, places, self.gap, self.room)

    def by_area(self) -> Weighing:
        weights = tuple(nesting.grown_area(one, self.gap) for one in self.shapes)
        room = 2 * self.problem.width * self.problem.height
        return Weighing(weights, room, "area with half the gap round it")

    def filled_up(self, there: Pattern, fillers: Sequence[int]) -> Pattern:
        """Find places for as many of some kinds as go, the first of them first."""
        return max(
            (self.filled_on(grid, there, fillers) for grid in self.grids), key=len
        )

    def filled_on(self, grid: Grid, there: Pattern, fillers: Sequence[int]) -> Pattern:
        table = Table(grid, fillers)
        for spot in there:
            table.keep_off(spot)
        for kind in fillers:
            while table.add(kind):
                pass
        return table.pattern


def _shape(piece: SheetPiece) -> Shape:
    if not piece.outline_mm:
        wide, high = (
            ceil(side * MICRONS) for side in (piece.width_mm, piece.height_mm)
        )
        return Shape(((0, 0), (wide, 0), (wide, high), (0, high)))
    shape = shape_of(piece.outline_mm)
    if not is_simple(shape.corners):
        raise nesting.OutlineUnfit
    return plainer.plainer(shape)


def _hidden(pieces: Sequence[SheetPiece]) -> int:
    """Give what rounding may hide between two outlines, where corners were left out."""
    most = max(len(piece.outline_mm) for piece in pieces)
    return plainer.ROUNDING if most > plainer.ENOUGH_CORNERS else 0


def _only(pattern: Pattern, wanted: Sequence[int]) -> Pattern:
    left = list(wanted)
    kept = []
    for spot in pattern:
        if left[spot.kind]:
            left[spot.kind] -= 1
            kept.append(spot)
    return tuple(kept)
