"""Kits as plain values: what one is cut into, and how many a bundle gives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio.maths.cutting_units import Wanted


@dataclass(frozen=True)
class Project:
    """What one kit is cut into: a list of pieces, as many times as it has blocks."""

    name: str
    wanted: tuple[Wanted, ...]
    blocks: int = 1


@dataclass(frozen=True)
class KitsFrom:
    """What so many pieces of one shape make of a project.

    ``kits`` are surely possible; more than ``ceiling`` surely are not. So many
    pieces stay whole when that many kits are cut.
    """

    project: str
    cloth: str
    kits: int
    ceiling: int
    pieces_left: int

    @property
    def is_proven(self) -> bool:
        return self.kits == self.ceiling

    def __str__(self) -> str:
        if not self.ceiling:
            return f"{self.cloth} makes no {self.project}."
        left = f"{self.pieces_left} piece{'' if self.pieces_left == 1 else 's'}"
        more = "" if self.is_proven else f", and no more than {self.ceiling}"
        return f"{self.cloth} makes {self.kits} of {self.project}{more}; {left} left whole."


@dataclass(frozen=True)
class BundlesFor:
    """How many bundles surely make so many kits, and the fewest that might.

    None at all means that this shape cannot be cut so.
    """

    kits: int
    bundles: int
    at_least: int

    @property
    def is_proven(self) -> bool:
        return self.bundles == self.at_least


def times(counts: Sequence[int], number: int) -> tuple[int, ...]:
    return tuple(count * number for count in counts)
