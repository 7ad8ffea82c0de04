"""One sheet filled piece by piece, by a rule of thumb with some chance in it.

Larger pieces come first, each into the free rectangle it fills best. With the laser,
free rectangles may overlap (the largest ones that hold nothing); with the saw, each
piece parts its rectangle in two, so that every cut goes from side to side.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from random import Random

from studio.maths.sheets.problem import Pattern, Problem, Spot

Free = tuple[int, int, int, int]  # x, y, width, height


def filled(
    problem: Problem,
    limits: Sequence[int],
    chance: Random,
    *,
    last: Collection[int] = (),
) -> Pattern:
    """Fill one sheet with at most so many of each kind; some kinds may wait till last."""
    sheet = _Filling(problem, chance)
    order = _order(problem, limits, chance)
    order.sort(key=lambda number: number in last)
    for number in order:
        for _ in range(limits[number]):
            if not sheet.put(number):
                break
    return tuple(sheet.spots)


def _order(problem: Problem, limits: Sequence[int], chance: Random) -> list[int]:
    kinds = problem.kinds
    longest = chance.random() < 0.5

    def first(number: int) -> float:
        kind = kinds[number]
        size = max(kind.width, kind.height) ** 2 if longest else kind.area
        return -size * chance.uniform(0.6, 1.4)

    return sorted((n for n, limit in enumerate(limits) if limit), key=first)


class _Filling:
    def __init__(self, problem: Problem, chance: Random) -> None:
        self.problem = problem
        self.free: list[Free] = [(0, 0, problem.width, problem.height)]
        self.spots: list[Spot] = []
        self.score = chance.choice([_short_side, _low, _by_area])
        self.splits_level = chance.choice([True, False, None])

    def put(self, number: int) -> bool:
        """Put one piece where it leaves least; say whether it found a place."""
        choices = [
            (self.score(free, width, height), free, width, height, turned)
            for width, height, turned in self.problem.kinds[number].ways
            for free in self.free
            if width <= free[2] and height <= free[3]
        ]
        if not choices:
            return False
        _, free, width, height, turned = min(choices)
        self.spots.append(Spot(number, free[0], free[1], turned))
        if self.problem.saw:
            self._part(free, width, height)
        else:
            self._carve(free[0], free[1], width, height)
        return True

    def _part(self, free: Free, width: int, height: int) -> None:
        x, y, wide, high = free
        self.free.remove(free)
        level = self.splits_level
        if level is None:
            level = wide - width < high - height
        if level:
            beside = (x + width, y, wide - width, height)
            below = (x, y + height, wide, high - height)
        else:
            beside = (x + width, y, wide - width, high)
            below = (x, y + height, width, high - height)
        self.free += [one for one in (beside, below) if one[2] and one[3]]

    def _carve(self, x: int, y: int, width: int, height: int) -> None:
        kept, cut = [], []
        for free in self.free:
            if _apart(free, x, y, width, height):
                kept.append(free)
            else:
                cut += _around(free, x, y, width, height)
        new = [one for one in set(cut) if not any(_inside(one, big) for big in kept)]
        new = [
            one
            for one in sorted(new)
            if not any(one != big and _inside(one, big) for big in new)
        ]
        self.free = kept + new


def _short_side(free: Free, width: int, height: int) -> tuple[int, int]:
    left = (free[2] - width, free[3] - height)
    return min(left), max(left)


def _low(free: Free, width: int, height: int) -> tuple[int, int]:
    return free[1] + height, free[0]


def _by_area(free: Free, width: int, height: int) -> tuple[int, int]:
    return free[2] * free[3] - width * height, min(free[2] - width, free[3] - height)


def _apart(free: Free, x: int, y: int, width: int, height: int) -> bool:
    fx, fy, fw, fh = free
    beside = x >= fx + fw or x + width <= fx
    return beside or y >= fy + fh or y + height <= fy


def _around(free: Free, x: int, y: int, width: int, height: int) -> list[Free]:
    fx, fy, fw, fh = free
    sides = [
        (fx, fy, x - fx, fh),
        (x + width, fy, fx + fw - x - width, fh),
        (fx, fy, fw, y - fy),
        (fx, y + height, fw, fy + fh - y - height),
    ]
    return [side for side in sides if side[2] > 0 and side[3] > 0]


def _inside(small: Free, big: Free) -> bool:
    return (
        small[0] >= big[0]
        and small[1] >= big[1]
        and small[0] + small[2] <= big[0] + big[2]
        and small[1] + small[3] <= big[1] + big[3]
    )
