"""Find a piece that already exists before another is drawn.

    alike: width and height, either way round, each within the tolerance
    tapered: the long side, the height and the short side; never like a plain bar

The usual tolerance is 1/64 in, half the finest mark of a quilter's ruler (from
memory). Whether the engraving and the tint may be shared is asked and not decided.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from studio.lengths import show_inches
from studio.maths.finished_sizes import above_nought

TOLERANCE_INCHES = Fraction(1, 64)


@dataclass(frozen=True)
class KnownPiece:
    """A piece with its size in inches, what is engraved on it, and its tint."""

    name: str
    width_inches: Fraction
    height_inches: Fraction
    engraving: str = ""
    tint: str = "clear"
    narrow_inches: Fraction | None = None


@dataclass(frozen=True)
class Match:
    """A piece that is near enough in size to the one that is wanted."""

    wanted: KnownPiece
    found: KnownPiece

    @property
    def turned(self) -> bool:
        return _off(self.wanted, self.found) > _off(self.wanted, _turned(self.found))

    @property
    def off_inches(self) -> Fraction:
        """Give the largest of the differences."""
        return min(
            _off(self.wanted, self.found), _off(self.wanted, _turned(self.found))
        )

    @property
    def differs_in(self) -> tuple[str, ...]:
        """Say what is not the same: the text, the tint, or both."""
        differs = []
        if self.wanted.engraving != self.found.engraving:
            differs.append("text")
        if self.wanted.tint != self.found.tint:
            differs.append("tint")
        return tuple(differs)

    def __str__(self) -> str:
        """Tell her what was found, and ask what only she can decide."""
        return f"{self._size_sentence()} {self._question()}"

    def _size_sentence(self) -> str:
        wanted, found = self.wanted.name, self.found.name
        turned = ", turned" if self.turned else ""
        if not self.off_inches:
            return f"The {wanted} is the same size as {found}{turned}."
        near = show_inches(self.off_inches)
        return f"The {wanted} is within {near} in of {found}{turned}."

    def _question(self) -> str:
        if not self.differs_in:
            return f"Use {self.found.name} for both?"
        differs = " and the ".join(self.differs_in)
        verb = "differs" if len(self.differs_in) == 1 else "differ"
        share = (
            "a re-engraved piece" if self.differs_in == ("text",) else "one new piece"
        )
        return f"The {differs} {verb}: share {share}, or keep two?"


def find_pieces(
    wanted: KnownPiece,
    known: Iterable[KnownPiece],
    tolerance_inches: Fraction = TOLERANCE_INCHES,
) -> tuple[Match, ...]:
    """Give the pieces near enough, the nearest first and alike ones before others."""
    return tuple(
        match
        for match in by_nearness(wanted, known)
        if match.off_inches <= tolerance_inches
    )


def by_nearness(wanted: KnownPiece, known: Iterable[KnownPiece]) -> tuple[Match, ...]:
    """Give all pieces of the same outline, the nearest in size first."""
    above_nought(wanted.name, min(wanted.width_inches, wanted.height_inches))
    matches = [Match(wanted, one) for one in known if _same_outline(wanted, one)]
    return tuple(sorted(matches, key=lambda m: (m.off_inches, len(m.differs_in))))


def _same_outline(one: KnownPiece, other: KnownPiece) -> bool:
    return (one.narrow_inches is None) == (other.narrow_inches is None)


def _off(one: KnownPiece, other: KnownPiece) -> Fraction:
    return max(
        abs(one.width_inches - other.width_inches),
        abs(one.height_inches - other.height_inches),
        abs((one.narrow_inches or Fraction(0)) - (other.narrow_inches or Fraction(0))),
    )


def _turned(one: KnownPiece) -> KnownPiece:
    """Give the piece on its side; a tapered one is always measured upright."""
    if one.narrow_inches is not None:
        return one
    return replace(one, width_inches=one.height_inches, height_inches=one.width_inches)
