"""Turn a plan in whole units back into inches: places, cuts and scraps."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property, reduce
from itertools import groupby

from studio.maths.cutting.cuts import KnifeCut, Rectangle, dissect
from studio.maths.cutting.layout import Place
from studio.maths.cutting_plan_values import (
    CROSS_CUT,
    STRIP,
    TRIM,
    Cut,
    Placement,
    Scrap,
    strip_numbers,
)
from studio.maths.cutting_units import Wanted, greatest_common

STEPS = (STRIP, CROSS_CUT)


@dataclass(frozen=True)
class Layout:
    """The cut list, the unit it was planned in, and the size of the cloth in inches.

    Cloth that goes on is cut from a bolt, so that the last strip is cut off too.
    """

    wanted: Sequence[Wanted]
    unit_inches: Fraction
    size_inches: tuple[Fraction, Fraction]
    stocks: int
    goes_on: bool = False

    @cached_property
    def fine_inches(self) -> Fraction:
        """Give a unit that divides the cloth too, so that scraps are measured whole."""
        return reduce(greatest_common, self.size_inches, self.unit_inches)

    def placements(self, places: Sequence[Place]) -> tuple[Placement, ...]:
        """Give where each piece lies, at its true size."""
        return tuple(self._placement(place) for place in places)

    def cuts_and_scraps(
        self, places: Sequence[Place]
    ) -> tuple[tuple[Cut, ...], tuple[Scrap, ...]]:
        """Give all cuts in the order they are made, and what they leave.

        Of each piece of cloth all strips come first; then each strip is cut across,
        and then trimmed.
        """
        width, height = (int(side / self.fine_inches) for side in self.size_inches)
        times = int(self.unit_inches / self.fine_inches)
        fine = [_times(place, times) for place in places]
        done = dissect(
            fine,
            (width, height + self.goes_on),
            self.stocks,
            across_only=self.goes_on,
        )
        return numbered(in_order(map(self._cut, done.cuts))), tuple(
            self._scrap(scrap) for scrap in done.scraps if scrap.y < height
        )

    def _placement(self, place: Place) -> Placement:
        one = self.wanted[place.kind]
        sides = one.size_inches
        width, height = reversed(sides) if place.turned else sides
        x, y = place.x * self.unit_inches, place.y * self.unit_inches
        return Placement(one.piece.name, place.stock, x, y, width, height, place.turned)

    def _cut(self, cut: KnifeCut) -> Cut:
        part, measure = cut.part, cut.measure
        left, low = part.x, part.y
        right = part.x + part.width
        top = min(part.y + part.height, int(self.size_inches[1] / self.fine_inches))
        if cut.is_across:
            low = top = part.y + measure
        else:
            left = right = part.x + measure
        return Cut(
            0,
            part.stock,
            STEPS[cut.depth] if cut.depth < len(STEPS) else TRIM,
            cut.is_across,
            self._inches(measure),
            (self._inches(left), self._inches(low)),
            (self._inches(right), self._inches(top)),
        )

    def _scrap(self, scrap: Rectangle) -> Scrap:
        return Scrap(
            scrap.stock,
            self._inches(scrap.x),
            self._inches(scrap.y),
            self._inches(scrap.width),
            self._inches(scrap.height),
        )

    def _inches(self, units: int) -> Fraction:
        return units * self.fine_inches


def in_order(cuts: Iterable[Cut]) -> Iterator[Cut]:
    """Give the strips of each piece of cloth first, then the cuts strip by strip.

    Strips that are cut alike are cut together, one measure after another.
    """
    stocks: dict[int, list[Cut]] = {}
    for cut in cuts:
        stocks.setdefault(cut.stock, []).append(cut)
    for here in stocks.values():
        yield from (cut for cut in here if cut.step == STRIP)
        alike: dict[tuple[object, ...], list[list[list[Cut]]]] = {}
        for inside in _by_strip(here):
            runs = [list(run) for _key, run in groupby(inside, key=_sort_of)]
            sort = tuple((_sort_of(run[0]), len(run)) for run in runs)
            alike.setdefault(sort, []).append(runs)
        for strips in alike.values():
            for together in zip(*strips, strict=True):
                yield from (cut for run in together for cut in run)


def _by_strip(cuts: Sequence[Cut]) -> list[list[Cut]]:
    """Part the cuts that are no strips by the strip they are made in, trims last."""
    strips: dict[int, list[Cut]] = {}
    for cut, strip in zip(cuts, strip_numbers(cuts), strict=True):
        if cut.step != STRIP:
            strips.setdefault(strip, []).append(cut)
    return [
        sorted(inside, key=lambda cut: cut.step == TRIM)
        for _strip, inside in sorted(strips.items())
    ]


def _sort_of(cut: Cut) -> tuple[str, bool, Fraction]:
    return cut.step, cut.is_across, cut.measure_inches


def numbered(cuts: Iterable[Cut]) -> tuple[Cut, ...]:
    """Number cuts from 1 in the order given."""
    return tuple(replace(cut, number=number) for number, cut in enumerate(cuts, 1))


def _times(place: Place, times: int) -> Place:
    return Place(
        place.kind,
        place.stock,
        place.x * times,
        place.y * times,
        place.width * times,
        place.height * times,
        place.turned,
    )
