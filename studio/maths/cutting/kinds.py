"""Pieces, columns and strips in whole units, and the four ways of cutting a strip.

    2E  every piece is as high as its strip
    2N  lower pieces are allowed, one to a cross-cut, and trimmed
    3E  a cross-cut may be cut into a stack of pieces of exactly its width
    3N  narrower pieces are allowed in the stack

A strip goes across the whole width, and its height is a side of some piece, because
that is what a person sets on a ruler. The words are common practice; the order of
the four (each holds the one before) is plain from their definitions.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum


class Stages(StrEnum):
    """How often the cloth is cut through, and whether a last trim is allowed."""

    TWO_EXACT = "2E"
    TWO_TRIMMED = "2N"
    THREE_EXACT = "3E"
    THREE_TRIMMED = "3N"

    @property
    def may_trim(self) -> bool:
        return self.value.endswith("N")

    @property
    def may_stack(self) -> bool:
        return self.value.startswith("3")


@dataclass(frozen=True)
class Kind:
    """So many pieces of one size; ``turns`` says whether a quarter turn is allowed."""

    width: int
    height: int
    count: int
    turns: bool = True

    @property
    def area(self) -> int:
        return self.width * self.height

    @property
    def ways(self) -> tuple[tuple[int, int, bool], ...]:
        """Give width, height and whether it is turned, for each way to lay it."""
        upright = (self.width, self.height, False)
        if not self.turns or self.width == self.height:
            return (upright,)
        return upright, (self.height, self.width, True)


@dataclass(frozen=True)
class Cut:
    """One piece as it is cut: the place of its kind in the list, and its way."""

    kind: int
    width: int
    height: int
    turned: bool


@dataclass(frozen=True)
class Column:
    """What one cross-cut of a strip gives, from the bottom up."""

    width: int
    cuts: tuple[Cut, ...]

    @property
    def height(self) -> int:
        return sum(cut.height for cut in self.cuts)


@dataclass(frozen=True)
class Strip:
    """One strip across the whole width, its columns from left to right."""

    height: int
    columns: tuple[Column, ...]

    @property
    def width(self) -> int:
        return sum(column.width for column in self.columns)

    @property
    def cuts(self) -> tuple[Cut, ...]:
        return tuple(cut for column in self.columns for cut in column.cuts)

    def counts(self, kinds: int) -> tuple[int, ...]:
        """Count the pieces of each kind."""
        found = [0] * kinds
        for cut in self.cuts:
            found[cut.kind] += 1
        return tuple(found)


@dataclass(frozen=True)
class Planned:
    """A strip that may be in a plan: what it holds; how to cut it is worked out late."""

    height: int
    made: tuple[int, ...]
    cut: Callable[[], Strip] = field(compare=False)

    def counts(self, kinds: int) -> tuple[int, ...]:
        return self.made


def as_needed(strips: Sequence[Planned], kinds: Sequence[Kind]) -> tuple[Planned, ...]:
    """Drop the strips that hold nothing which the taller ones have not given."""
    left, kept = [kind.count for kind in kinds], []
    for strip in sorted(strips, key=lambda strip: -strip.height):
        given = [min(a, b) for a, b in zip(strip.made, left, strict=True)]
        left = [a - b for a, b in zip(left, given, strict=True)]
        if any(given):
            kept.append(strip)
    return tuple(kept)


def strip_heights(kinds: Iterable[Kind], width: int) -> tuple[int, ...]:
    """Give the sides that a strip may be as high as, smallest first."""
    return tuple(
        sorted({way[1] for kind in kinds for way in kind.ways if way[0] <= width})
    )


def without_surplus(
    strips: Sequence[Strip], kinds: Sequence[Kind]
) -> tuple[Strip, ...]:
    """Drop the pieces that nobody asked for, and the strips that are left empty."""
    left = [kind.count for kind in kinds]
    kept = []
    for strip in sorted(strips, key=lambda strip: -strip.height):
        columns = []
        for column in strip.columns:
            cuts = tuple(cut for cut in column.cuts if _taken(left, cut.kind))
            if cuts:
                columns.append(Column(max(cut.width for cut in cuts), cuts))
        if columns:
            kept.append(Strip(strip.height, tuple(columns)))
    return tuple(kept)


def _taken(left: list[int], kind: int) -> bool:
    left[kind] -= 1
    return left[kind] >= 0
