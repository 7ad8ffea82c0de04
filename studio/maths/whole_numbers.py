"""The best whole-number plan under limits, exactly.

    maximise  sum gain[j] x[j]   where   sum row[j] x[j] <= limit   and   0 <= x <= most

Limits are never negative, so that doing nothing is always allowed. Method: the
linear bound by the simplex method with whole-number pivots (Edmonds; no rounding
anywhere), then branch and bound (Land and Doig 1960), each part of the problem
that shares no limit with another on its own. Sources from memory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

MOST_BRANCHES = 4_000


@dataclass(frozen=True)
class Limit:
    """At most ``at_most`` of a thing; ``uses`` says how much each choice takes."""

    uses: Mapping[int, int]
    at_most: int


@dataclass(frozen=True)
class Best:
    """The best plan found; ``proven`` when nothing better can exist."""

    values: tuple[int, ...]
    total: int
    proven: bool


def maximise(
    gains: Sequence[int],
    limits: Sequence[Limit],
    most: Sequence[int],
    most_branches: int = MOST_BRANCHES,
) -> Best:
    """Return the whole numbers with the largest gain inside all limits.

    A search cut off after ``most_branches`` gives the best found, not proven.
    """
    values = [0] * len(gains)
    proven = True
    for part in _parts_apart(len(gains), limits):
        index = {choice: place for place, choice in enumerate(part)}
        part_limits = [
            Limit({index[j]: use for j, use in limit.uses.items()}, limit.at_most)
            for limit in limits
            if limit.uses and next(iter(limit.uses)) in index
        ]
        search = _Search([gains[j] for j in part], part_limits, [most[j] for j in part])
        search.run(most_branches)
        proven = proven and search.proven
        for place, choice in enumerate(part):
            values[choice] = search.best_values[place]
    total = sum(gain * value for gain, value in zip(gains, values, strict=True))
    return Best(tuple(values), total, proven)


def _parts_apart(count: int, limits: Sequence[Limit]) -> list[list[int]]:
    parent = list(range(count))

    def root(choice: int) -> int:
        while parent[choice] != choice:
            parent[choice] = parent[parent[choice]]
            choice = parent[choice]
        return choice

    for limit in limits:
        joined = list(limit.uses)
        for other in joined[1:]:
            parent[root(other)] = root(joined[0])
    parts: dict[int, list[int]] = {}
    for choice in range(count):
        parts.setdefault(root(choice), []).append(choice)
    return list(parts.values())


class _Tableau:
    """A simplex table in whole numbers over one common denominator."""

    def __init__(
        self, gains: Sequence[int], limits: Sequence[Limit], most: Sequence[int]
    ) -> None:
        count = len(gains)
        self.choices = count
        self.denominator = 1
        self.columns = list(range(count))
        self.goal = [-gain for gain in gains] + [0]
        self.rows = [
            [limit.uses.get(j, 0) for j in range(count)] + [limit.at_most]
            for limit in limits
        ]
        self.rows += [
            [int(i == j) for j in range(count)] + [most[i]] for i in range(count)
        ]
        self.basis = list(range(count, count + len(self.rows)))
        self.next_label = count + len(self.rows)

    def copy(self) -> _Tableau:
        twin = object.__new__(_Tableau)
        twin.choices = self.choices
        twin.denominator = self.denominator
        twin.columns = self.columns[:]
        twin.goal = self.goal[:]
        twin.rows = [row[:] for row in self.rows]
        twin.basis = self.basis[:]
        twin.next_label = self.next_label
        return twin

    def pivot(self, r: int, q: int) -> None:
        pivot_row = self.rows[r]
        p, d = pivot_row[q], self.denominator
        for row in (self.goal, *self.rows):
            if row is not pivot_row:
                _eliminate(row, pivot_row, q, d)
        pivot_row[q] = d
        self.denominator = p
        if p < 0:
            self._turn_signs()
        self.basis[r], self.columns[q] = self.columns[q], self.basis[r]

    def _turn_signs(self) -> None:
        self.denominator = -self.denominator
        for row in (self.goal, *self.rows):
            row[:] = [-value for value in row]

    def climb(self) -> None:
        """Go to the best corner from an allowed one (smallest-label rule)."""
        while True:
            entering = [
                (self.columns[j], j)
                for j, value in enumerate(self.goal[:-1])
                if value < 0
            ]
            if not entering:
                return
            q = min(entering)[1]
            self.pivot(self._first_to_bind(q), q)

    def _first_to_bind(self, q: int) -> int:
        best = -1
        for i, row in enumerate(self.rows):
            if row[q] > 0 and (best < 0 or self._binds_before(i, best, q)):
                best = i
        return best

    def _binds_before(self, i: int, best: int, q: int) -> bool:
        mine = self.rows[i][-1] * self.rows[best][q]
        its = self.rows[best][-1] * self.rows[i][q]
        return mine < its or (mine == its and self.basis[i] < self.basis[best])

    def repair(self) -> bool:
        """Return to an allowed corner, or say that there is none."""
        while True:
            broken = [
                (self.basis[i], i) for i, row in enumerate(self.rows) if row[-1] < 0
            ]
            if not broken:
                return True
            r = min(broken)[1]
            q = self._cheapest_way_in(r)
            if q < 0:
                return False
            self.pivot(r, q)

    def _cheapest_way_in(self, r: int) -> int:
        row, best = self.rows[r], -1
        for j in range(len(self.columns)):
            if row[j] < 0 and (best < 0 or self._cheaper(row, j, best)):
                best = j
        return best

    def _cheaper(self, row: list[int], j: int, best: int) -> bool:
        mine = self.goal[j] * -row[best]
        its = self.goal[best] * -row[j]
        return mine < its or (mine == its and self.columns[j] < self.columns[best])

    def broken_choice(self, weights: Sequence[int]) -> int:
        """Return the row of the heaviest choice that is not whole, or -1."""
        best, heaviest = -1, (-1, -1)
        for i, label in enumerate(self.basis):
            if label < self.choices:
                part = self.rows[i][-1] % self.denominator
                rank = (weights[label], min(part, self.denominator - part))
                if part and rank > heaviest:
                    best, heaviest = i, rank
        return best

    def cut_below(self, r: int) -> _Tableau:
        """Return the half of the problem with this choice rounded down or less."""
        twin = self.copy()
        floor = self.rows[r][-1] // self.denominator
        row = [-value for value in self.rows[r]]
        row[-1] += floor * self.denominator
        twin._add(row)
        return twin

    def cut_above(self, r: int) -> _Tableau:
        """Return the half of the problem with this choice rounded up or more."""
        twin = self.copy()
        ceiling = self.rows[r][-1] // self.denominator + 1
        row = self.rows[r][:]
        row[-1] -= ceiling * self.denominator
        twin._add(row)
        return twin

    def _add(self, row: list[int]) -> None:
        self.rows.append(row)
        self.basis.append(self.next_label)
        self.next_label += 1

    def bound(self) -> int:
        """Return the most any whole-number plan in here can gain."""
        return self.goal[-1] // self.denominator

    def values(self) -> list[int]:
        found = [0] * self.choices
        for label, row in zip(self.basis, self.rows, strict=True):
            if label < self.choices:
                found[label] = row[-1] // self.denominator
        return found


def _eliminate(row: list[int], pivot_row: list[int], q: int, d: int) -> None:
    p, factor = pivot_row[q], row[q]
    if factor:
        row[:] = [
            (value * p - factor * other) // d
            for value, other in zip(row, pivot_row, strict=True)
        ]
        row[q] = -factor
    elif p != d:
        row[:] = [value * p // d for value in row]


class _Search:
    """Branch and bound over one part of the problem, deepest first."""

    def __init__(
        self, gains: Sequence[int], limits: Sequence[Limit], most: Sequence[int]
    ) -> None:
        self.root = _Tableau(gains, limits, most)
        self.weights = [abs(gain) for gain in gains]
        self.best_values = [0] * len(gains)
        self.best_total = 0
        self.proven = True

    def run(self, most_branches: int) -> None:
        self.root.climb()
        waiting = [self.root]
        branches = 0
        while waiting:
            branches += 1
            if branches > most_branches:
                self.proven = False
                return
            waiting += self._branch(waiting.pop())

    def _branch(self, node: _Tableau) -> list[_Tableau]:
        if not node.repair() or node.bound() <= self.best_total:
            return []
        r = node.broken_choice(self.weights)
        if r < 0:
            self.best_total, self.best_values = node.bound(), node.values()
            return []
        part = node.rows[r][-1] % node.denominator
        halves = [node.cut_below(r), node.cut_above(r)]
        return halves if 2 * part >= node.denominator else halves[::-1]
