"""The cuts of a plan in the order they are made, and the scraps they leave.

A part of the cloth with several pieces is cut from edge to edge where no piece is
crossed, strips first; what is before the first piece or beyond the last falls off as a
scrap in one piece. A part with one piece is trimmed to it. Each cut knows the measure
set on the ruler for it. The first cuts of a cloth are its strips, whichever way they run.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from studio.maths.cutting.layout import Place


@dataclass(frozen=True)
class Rectangle:
    """A part of one piece of cloth."""

    stock: int
    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True)
class KnifeCut:
    """One cut through a part: across it (a line of one y) or along it (of one x).

    ``measure`` is what the ruler shows: the size of the part that is cut off. Depth 0
    is a strip, 1 a cross-cut, anything deeper a trim.
    """

    part: Rectangle
    is_across: bool
    measure: int
    depth: int


class NotByGuillotineError(ValueError):
    """No cut from edge to edge parts these pieces."""


@dataclass
class Dissection:
    """All cuts and scraps of some pieces of cloth, strips across or along."""

    strips_across: bool = True
    cuts: list[KnifeCut] = field(default_factory=list)
    scraps: list[Rectangle] = field(default_factory=list)

    def ways(self, depth: int) -> tuple[bool, bool]:
        """Give which way is tried first at a depth, and which then: across or not."""
        first = self.strips_across == (depth % 2 == 0)
        return first, not first

    @property
    def largest_scrap(self) -> int:
        return max((scrap.width * scrap.height for scrap in self.scraps), default=0)


def dissect(
    places: Sequence[Place],
    size: tuple[int, int],
    stocks: int,
    *,
    across_only: bool = False,
) -> Dissection:
    """Cut every piece of cloth up; raise NotByGuillotineError where that cannot be.

    Strips run across the cloth, or along it where that leaves a larger scrap and the
    cloth allows it.
    """
    done = Dissection()
    for stock in range(stocks):
        whole = Rectangle(stock, 0, 0, *size)
        here = [place for place in places if place.stock == stock]
        best = _cut_up(whole, here, strips_across=True)
        if not across_only:
            along = _cut_up(whole, here, strips_across=False)
            best = max(best, along, key=lambda way: way.largest_scrap)
        done.cuts += best.cuts
        done.scraps += best.scraps
    return done


def _cut_up(
    whole: Rectangle, places: Sequence[Place], *, strips_across: bool
) -> Dissection:
    done = Dissection(strips_across)
    _part(done, whole, places, 0)
    # Pieces that take up the whole cloth one way are parted the other way first.
    first = min((cut.depth for cut in done.cuts), default=0)
    done.cuts = [replace(cut, depth=cut.depth - first) for cut in done.cuts]
    return done


def _part(
    done: Dissection, part: Rectangle, places: Sequence[Place], depth: int
) -> None:
    if not places:
        done.scraps.append(part)
        return
    if len(places) == 1 and depth:
        _trim(done, part, places[0], depth)
        return
    for is_across in done.ways(depth):
        bands = bands_of(places, is_across)
        if len(bands) > 1 or not depth:
            _cut_bands(done, part, bands, (is_across, depth))
            return
    raise NotByGuillotineError(part)


def _cut_bands(
    done: Dissection,
    part: Rectangle,
    bands: Sequence[Sequence[Place]],
    way: tuple[bool, int],
) -> None:
    is_across, depth = way
    for band in bands:
        part = _cut_lead(done, part, band, way)
        first, part = _cut(done, part, max(map(_End(is_across), band)), way)
        _part(done, first, band, depth + 1)
    if part.width and part.height:
        done.scraps.append(part)


def _trim(done: Dissection, part: Rectangle, place: Place, depth: int) -> None:
    for is_across in done.ways(depth):
        part = _cut_lead(done, part, [place], (is_across, depth))
        part, rest = _cut(done, part, _End(is_across)(place), (is_across, depth))
        if rest.width and rest.height:
            done.scraps.append(rest)


def _cut_lead(
    done: Dissection, part: Rectangle, places: Sequence[Place], way: tuple[bool, int]
) -> Rectangle:
    """Cut off what lies before the first piece, if anything does; give the rest."""
    is_across = way[0]
    begins = min(map(_Start(is_across), places))
    if begins == (part.y if is_across else part.x):
        return part
    lead, rest = _cut(done, part, begins, way)
    done.scraps.append(lead)
    return rest


def _cut(
    done: Dissection, part: Rectangle, at: int, way: tuple[bool, int]
) -> tuple[Rectangle, Rectangle]:
    """Part a rectangle; no cut is made where its edge is already."""
    is_across, depth = way
    first, rest = _halves(part, at, is_across)
    if rest.width and rest.height:
        measure = first.height if is_across else first.width
        done.cuts.append(KnifeCut(part, is_across, measure, depth))
    return first, rest


def _halves(part: Rectangle, at: int, is_across: bool) -> tuple[Rectangle, Rectangle]:
    stock, x, y, width, height = (
        part.stock,
        part.x,
        part.y,
        part.width,
        part.height,
    )
    if is_across:
        return (
            Rectangle(stock, x, y, width, at - y),
            Rectangle(stock, x, at, width, y + height - at),
        )
    return (
        Rectangle(stock, x, y, at - x, height),
        Rectangle(stock, at, y, x + width - at, height),
    )


def bands_of(places: Sequence[Place], is_across: bool) -> list[list[Place]]:
    """Part pieces at the lines that cross none of them, across or along."""
    start, end = _Start(is_across), _End(is_across)
    bands: list[list[Place]] = []
    reached = -1
    for place in sorted(places, key=start):
        if start(place) >= reached:
            bands.append([])
        bands[-1].append(place)
        reached = max(reached, end(place))
    return bands


class _Start:
    """Reads where a place begins, along or across."""

    def __init__(self, is_across: bool) -> None:
        self.is_across = is_across

    def __call__(self, place: Place) -> int:
        return place.y if self.is_across else place.x


class _End(_Start):
    """Reads where a place ends, along or across."""

    def __call__(self, place: Place) -> int:
        if self.is_across:
            return place.y + place.height
        return place.x + place.width
