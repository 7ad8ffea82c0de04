"""Names on pieces: in the middle of the outline, as large as they find room there.

The middle is the outline's centre of area, or of its box where that lies outside; a
letter is taken as three fifths as wide as it is high (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from studio.maths.nesting_shapes import encloses
from studio.maths.sheets.offsetting import near
from studio.maths.sheets.problem import Corner, Outline

ENGRAVED_MM = tuple(Fraction(size, 2) for size in (12, 10, 8, 7, 6, 5, 4, 3))
_A_LETTER = Fraction(3, 5)
_MICRONS = 1000


@dataclass(frozen=True)
class Words:
    """Words centred on a spot."""

    text: str
    x_mm: Fraction
    y_mm: Fraction
    size_mm: Fraction


def fitted_words(
    text: str, corners: Outline, sizes_mm: Sequence[Fraction] = ENGRAVED_MM
) -> Words:
    """Put words in the middle of an outline, in the first size that finds room."""
    x, y = (near(part) for part in _middle(corners))
    for size in sizes_mm:
        if _has_room(len(text) * _A_LETTER * size / 2, size * 2 / 3, (x, y), corners):
            break
    return Words(text, x, y, size)


def _has_room(aside: Fraction, above: Fraction, at: Corner, corners: Outline) -> bool:
    outline = [_microns(corner) for corner in corners]
    return all(
        encloses(outline, _microns((at[0] + aside * dx, at[1] + above * dy)))
        for dx in (-1, 0, 1)
        for dy in (-1, 1)
    )


def _microns(at: Corner) -> tuple[int, int]:
    return int(at[0] * _MICRONS), int(at[1] * _MICRONS)


def _middle(corners: Outline) -> Corner:
    edges = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    turns = [a[0] * b[1] - b[0] * a[1] for a, b in edges]
    area = sum(turns, Fraction(0))
    pairs = list(zip(edges, turns, strict=True))
    x, y = (
        sum(((a[n] + b[n]) * turn for (a, b), turn in pairs), Fraction(0)) / (3 * area)
        for n in (0, 1)
    )
    if encloses([_microns(corner) for corner in corners], _microns((x, y))):
        return x, y
    across, down = [at[0] for at in corners], [at[1] for at in corners]
    return (min(across) + max(across)) / 2, (min(down) + max(down)) / 2
