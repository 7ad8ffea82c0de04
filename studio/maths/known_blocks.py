"""The blocks known by name, each with the finished size it is first shown at.

A unit of one patch stands here as a block of its own, so that a size table of flying
geese is asked for like a star. Names are read however they are spaced, hyphenated or
capitalised. The sizes shown first are common practice. A star in a star is known to any
depth that a ruler can cut, as ``sawtooth star, 5 deep``, and log cabins and courthouse
steps to so many rounds, as ``log cabin of 4 rounds``.

    star, d deep              first 2^(d + 1) in, so that the innermost centre is 2 in
    log cabin of n rounds     first 1 + 2n in
    courthouse steps          first 2 + 2n in
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from difflib import get_close_matches
from fractions import Fraction

from studio.errors import StudioError
from studio.maths import block_grids, block_hearts, block_stars, patches
from studio.maths.blocks import Block
from studio.maths.patches import Patch

# Eight stars in one another: at 128 in the innermost has squares of a quarter inch.
DEEPEST_STAR = 8
LARGEST_STAR_INCHES = 128
MOST_ROUNDS = 12
SHOWN_OF_A_FAMILY = 6
# Shorter words, such as “in” and “of”, stand in too many names to tell any apart.
TELLING_LETTERS = 3


class BlockUnknown(StudioError):
    """A name that no block has."""

    def __init__(self, name: str, own: tuple[str, ...] = ()) -> None:
        self.name = name
        self.own = own
        super().__init__(name, own)

    def __str__(self) -> str:
        known = (*self.own, *(one.name for one in KNOWN))
        near = ", ".join(_near(self.name, known) or known)
        return f"“{self.name.strip()}” is no block known here. Write one of: {near}."


def _near(name: str, known: tuple[str, ...]) -> list[str]:
    """Give the names that share a word with what was written, or look much like it."""
    words = {word for word in words_of(name) if len(word) >= TELLING_LETTERS}
    sharing = [one for one in known if words & set(words_of(one))]
    return sharing or get_close_matches(name.lower(), known, n=SHOWN_OF_A_FAMILY)


@dataclass(frozen=True)
class KnownBlock:
    """A block, the word for it in an address, and the size it is first shown at.

    ``word`` is the word of a block that keeps it when it gets another name.
    """

    block: Block
    first_inches: Fraction
    word: str = ""

    @property
    def name(self) -> str:
        return self.block.name

    @property
    def slug(self) -> str:
        return self.word or "-".join(words_of(self.name))

    @property
    def choices(self) -> tuple[Patch, ...]:
        """Give the kinds of patch in it that can be made in more than one way."""
        kinds = dict.fromkeys(cell.patch for cell in self.block.cells)
        return tuple(patch for patch in kinds if len(patch.ways) > 1)


def known_block(name: str) -> KnownBlock:
    """Find a block by its name or by its word in an address."""
    wanted = words_of(name)
    for one in KNOWN:
        if words_of(one.name) == wanted:
            return one
    numbered = _numbered(" ".join(wanted))
    if numbered is None:
        raise BlockUnknown(name)
    return numbered


def family(known: KnownBlock) -> tuple[KnownBlock, ...]:
    """Give the like blocks of few stars or rounds, itself among them, or nothing."""
    name = " ".join(words_of(known.name))
    for pattern, _, make in _FAMILIES:
        if not known.word and re.fullmatch(pattern, name):
            return tuple(make(number) for number in range(1, SHOWN_OF_A_FAMILY + 1))
    return ()


def _numbered(wanted: str) -> KnownBlock | None:
    """Find a block of so many stars or rounds that is not on the list."""
    for pattern, most, make in _FAMILIES:
        found = re.fullmatch(pattern, wanted)
        if found and found["n"] and 1 <= int(found["n"]) <= most:
            return make(int(found["n"]))
    return None


def _star_in_stars(depth: int) -> KnownBlock:
    block = block_stars.sawtooth_star(depth)
    return _known(block, min(2 ** (depth + 1), LARGEST_STAR_INCHES))


def _log_cabin(rounds: int) -> KnownBlock:
    block = block_grids.log_cabin(rounds)
    return _known(block, 1 + 2 * rounds, _of_rounds(block.name, rounds))


def _courthouse(rounds: int) -> KnownBlock:
    block = block_grids.courthouse_steps(rounds)
    return _known(block, 2 + 2 * rounds, _of_rounds(block.name, rounds))


def _of_rounds(name: str, rounds: int) -> str:
    return f"{name} of {rounds} round{'s' * (rounds > 1)}"


def words_of(name: str) -> tuple[str, ...]:
    """Give what a name is told from others by: its words in small plain letters."""
    return tuple(re.findall(r"[a-z0-9]+", name.lower()))


def _known(block: Block, inches: int, name: str = "") -> KnownBlock:
    named = replace(block, name=name) if name else block
    return KnownBlock(named, Fraction(inches))


def _unit(patch: Patch, roles: tuple[str, ...], inches: int) -> KnownBlock:
    return _known(block_grids.unit(patch, roles), inches)


KNOWN = (
    _known(block_stars.sawtooth_star(), 8),
    _known(block_stars.sawtooth_star(2), 8, "star in a star"),
    _known(block_stars.sawtooth_star(3), 16),
    _known(block_stars.variable_star(), 8),
    _known(block_stars.ohio_star(), 9),
    _known(block_stars.friendship_star(), 9),
    _known(block_stars.eight_point_star(), 12),
    _known(block_grids.churn_dash(), 9),
    _known(block_grids.pinwheel(), 8),
    _known(block_grids.nine_patch(), 6),
    _known(block_grids.log_cabin(3, 2, 1), 12),
    _known(block_grids.log_cabin(5), 11, "log cabin of five rounds"),
    _known(block_grids.courthouse_steps(), 10),
    _known(block_hearts.heart_of_two_lobes(), 6),
    _known(block_hearts.heart_on_four_steps(), 12),
    _known(block_hearts.heart_on_point(), 5),
    _known(block_grids.snowball(), 6),
    _known(block_grids.diamond_in_a_square(), 8),
    _known(block_grids.economy(), 8),
    _known(block_grids.hourglass(), 4),
    _unit(patches.GEESE, ("goose", "sky"), 4),
    _unit(patches.HALF, ("light", "dark"), 3),
    _unit(patches.THREE_TRIANGLES, ("half", "light", "dark"), 3),
    _unit(patches.FOUR_PATCH, ("first", "second"), 4),
)

_FAMILIES: tuple[tuple[str, int, Callable[[int], KnownBlock]], ...] = (
    (
        r"(?:sawtooth star|star in a star)(?: (?P<n>\d{1,2}) deep)?",
        DEEPEST_STAR,
        _star_in_stars,
    ),
    (
        r"log cabin(?: of (?:(?P<n>\d{1,2})|five) rounds?)?",
        MOST_ROUNDS,
        _log_cabin,
    ),
    (
        r"courthouse steps(?: of (?P<n>\d{1,2}) rounds?)?",
        MOST_ROUNDS,
        _courthouse,
    ),
)
