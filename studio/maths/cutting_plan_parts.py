"""A cutting plan in parts: cloths that are cut alike, or so much length of a bolt.

A bolt is parted between two strips, so that each part can be cut by itself and drawn
on a sheet of paper. Cuts are numbered through all parts, and cloths that are cut alike
are numbered once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from studio.maths.cloth import Bolt
from studio.maths.cutting_plan_values import STRIP, Cut, Placement, Plan, Scrap

NOUGHT = Fraction(0)


@dataclass(frozen=True)
class Part:
    """What is cut from some cloths alike, between two measures of their length."""

    stocks: tuple[int, ...]
    width_inches: Fraction
    low_inches: Fraction
    high_inches: Fraction
    placements: tuple[Placement, ...]
    cuts: tuple[Cut, ...]
    scraps: tuple[Scrap, ...]

    @property
    def height_inches(self) -> Fraction:
        return self.high_inches - self.low_inches


def parts_of(plan: Plan, most_inches: Fraction | None = None) -> tuple[Part, ...]:
    """Part a plan; a part of a bolt is as long as said, or one strip if that is more."""
    found = (
        _of_bolt(plan, most_inches) if isinstance(plan.cloth, Bolt) else _alike(plan)
    )
    return tuple(_numbered(found))


def _of_bolt(plan: Plan, most_inches: Fraction | None) -> Iterator[Part]:
    width, length = plan.size_inches
    lines = [cut.from_inches[1] for cut in plan.cuts if cut.step == STRIP]
    low = NOUGHT
    for line, after in zip(lines, [*lines[1:], length], strict=True):
        is_last = line == lines[-1]
        if is_last or (most_inches is not None and after - low > most_inches):
            high = length if is_last else line
            yield _between(plan, (0,), (width, low, high))
            low = high


def _alike(plan: Plan) -> Iterator[Part]:
    """Give cloths that hold the same pieces at the same places once."""
    layouts: dict[tuple[Placement, ...], list[int]] = {}
    for stock in range(plan.stocks):
        here = (place for place in plan.placements if place.stock == stock)
        layout = tuple(sorted((replace(one, stock=0) for one in here), key=_corner))
        layouts.setdefault(layout, []).append(stock)
    width, height = plan.size_inches
    for stocks in layouts.values():
        yield _between(plan, tuple(stocks), (width, NOUGHT, height))


def _corner(place: Placement) -> tuple[Fraction, Fraction]:
    return place.y_inches, place.x_inches


def _between(
    plan: Plan, stocks: tuple[int, ...], size: tuple[Fraction, Fraction, Fraction]
) -> Part:
    width, low, high = size
    first = stocks[0]

    def is_here(stock: int, top: Fraction, bottom: Fraction) -> bool:
        return stock == first and low <= top and bottom <= high

    return Part(
        stocks,
        width,
        low,
        high,
        tuple(
            place
            for place in plan.placements
            if is_here(
                place.stock, place.y_inches, place.y_inches + place.height_inches
            )
        ),
        tuple(
            cut
            for cut in plan.cuts
            if is_here(cut.stock, cut.from_inches[1], cut.to_inches[1])
            and (cut.step != STRIP or not cut.is_across or cut.from_inches[1] > low)
        ),
        tuple(
            scrap
            for scrap in plan.scraps
            if is_here(
                scrap.stock, scrap.y_inches, scrap.y_inches + scrap.height_inches
            )
        ),
    )


def _numbered(parts: Iterator[Part]) -> Iterator[Part]:
    number = 0
    for part in parts:
        cuts = [replace(cut, number=number + at) for at, cut in enumerate(part.cuts, 1)]
        number += len(cuts)
        yield replace(part, cuts=tuple(cuts))
