"""What to cut: so many pieces of one size from one role of cloth, and lists of them.

    count = pieces cut, of width × height in inches, before anything is sewn
    cloth = the sum of count × width × height, in square inches

A role is what a cloth does in the block ("point", "ground"), never a colour or a
print, so that one list serves every bundle. Sizes are cut sizes, seams included.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from studio.lengths import show_inches

CUT_ONCE = "cut once corner to corner"
CUT_TWICE = "cut twice corner to corner"
FLIPPED = "sewn across its diagonal and flipped"


@dataclass(frozen=True)
class CutPiece:
    """So many pieces of one name, role of cloth and cut size, in inches.

    ``then`` says what happens to each piece before it is sewn, or nothing:
    ``CUT_ONCE``, ``CUT_TWICE``, ``FLIPPED`` or other words that follow a comma.
    """

    name: str
    role: str
    count: int
    width_inches: Fraction
    height_inches: Fraction
    then: str = ""

    @property
    def cloth_square_inches(self) -> Fraction:
        return self.count * self.width_inches * self.height_inches

    @property
    def is_square(self) -> bool:
        return self.width_inches == self.height_inches

    def __str__(self) -> str:
        """Write the piece as a line of a cutting list, with its size in inches."""
        size = show_inches(self.width_inches)
        if not self.is_square:
            size = f"{size} × {show_inches(self.height_inches)}"
        then = f", {self.then}" if self.then else ""
        return f"{self.count} × {self.name} ({self.role}), {size} in{then}"


def gathered(pieces: Iterable[CutPiece]) -> tuple[CutPiece, ...]:
    """Add up pieces that differ in nothing but their count, in order of first sight."""
    counts: dict[CutPiece, int] = {}
    for piece in pieces:
        one = replace(piece, count=1)
        counts[one] = counts.get(one, 0) + piece.count
    return tuple(replace(one, count=count) for one, count in counts.items())


def times(pieces: Iterable[CutPiece], number: int) -> tuple[CutPiece, ...]:
    """Give the pieces of so many of the same thing."""
    return tuple(replace(piece, count=piece.count * number) for piece in pieces)


def by_role(pieces: Iterable[CutPiece]) -> dict[str, tuple[CutPiece, ...]]:
    """Part a list by role of cloth, largest pieces first within a role."""
    roles: dict[str, list[CutPiece]] = {}
    for piece in gathered(pieces):
        roles.setdefault(piece.role, []).append(piece)
    return {role: tuple(sorted(found, key=_size)) for role, found in roles.items()}


def cloth_square_inches(pieces: Iterable[CutPiece]) -> Fraction:
    """Give the cloth that all pieces take, with nothing between them."""
    return sum((piece.cloth_square_inches for piece in pieces), Fraction(0))


def _size(piece: CutPiece) -> tuple[Fraction, Fraction]:
    return -piece.width_inches * piece.height_inches, -piece.width_inches
