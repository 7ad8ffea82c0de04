"""Pieces of a cloth pushed together, so that what falls off lies at an end.

A search lays pieces wherever its lines are, and may leave a narrow gap between them
that would be a cut of its own. Pushed together, the pieces of a strip lie one beside
the other, the widest first, and all that is over lies behind them in one scrap.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from studio.maths.cutting.cuts import NotByGuillotineError, bands_of, dissect
from studio.maths.cutting.layout import Place


def closed_up(
    places: Sequence[Place], size: tuple[int, int], stocks: int
) -> tuple[Place, ...]:
    """Push the pieces of every cloth together, the way that leaves the larger scrap.

    Raises NotByGuillotineError for pieces that no cut from edge to edge parts.
    """
    return tuple(
        place
        for stock in range(stocks)
        for place in _best([one for one in places if one.stock == stock], size)
    )


def _best(here: Sequence[Place], size: tuple[int, int]) -> Sequence[Place]:
    if not here:
        return here
    ways = [_pushed(here, (0, 0), across) for across in (True, False)]
    return max(ways, key=lambda way: _largest_scrap(way, size))


def _largest_scrap(places: Sequence[Place], size: tuple[int, int]) -> int:
    alone = [replace(place, stock=0) for place in places]
    return dissect(alone, size, 1).largest_scrap


def _pushed(
    places: Sequence[Place], corner: tuple[int, int], across: bool
) -> list[Place]:
    if len(places) == 1:
        return [replace(places[0], x=corner[0], y=corner[1])]
    for is_across in (across, not across):
        bands = bands_of(places, is_across)
        if len(bands) > 1:
            return [*_in_a_row(bands, corner, is_across)]
    raise NotByGuillotineError(places)


def _in_a_row(
    bands: Sequence[Sequence[Place]], corner: tuple[int, int], is_across: bool
) -> Iterator[Place]:
    pushed = [_pushed(band, (0, 0), not is_across) for band in bands]
    x, y = corner
    for band in sorted(pushed, key=lambda one: -_extent(one, is_across)):
        yield from (replace(one, x=one.x + x, y=one.y + y) for one in band)
        if is_across:
            y += _extent(band, is_across)
        else:
            x += _extent(band, is_across)


def _extent(band: Sequence[Place], is_across: bool) -> int:
    if is_across:
        return max(place.y + place.height for place in band)
    return max(place.x + place.width for place in band)
