"""The few places along one side of a sheet where a piece can have to begin.

    reachable  every sum of piece sides that is not over the side
    raster     the largest reachable place not over side − p, for each reachable p

Pushing every piece to the near corner shows that reachable places are enough
(normal patterns: Herz 1972, from memory); looked at from both ends, the raster places
are (Terno, Lindemann and Scheithauer 1987, from memory).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence


def reachable(sides: Sequence[int], length: int) -> list[int]:
    """List every sum of sides, each used any number of times, up to the length."""
    bits = 1
    everything = (1 << (length + 1)) - 1
    for side in sorted(set(sides)):
        step = side
        while step <= length:
            bits |= (bits << step) & everything
            step *= 2
    return _set_bits(bits)


def raster(sides: Sequence[int], length: int) -> list[int]:
    """List the places that are enough."""
    places = reachable(sides, length)
    kept = {places[snapped(places, length - place)] for place in places}
    return sorted(kept | {0})


def snapped(places: Sequence[int], length: int) -> int:
    """Give the number of the last place that is not over the length."""
    return bisect_right(places, length) - 1


def _set_bits(bits: int) -> list[int]:
    text = bin(bits)[:1:-1]
    found, at = [], text.find("1")
    while at >= 0:
        found.append(at)
        at = text.find("1", at + 1)
    return found
