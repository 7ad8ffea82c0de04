"""Stars: sawtooth, nested to any depth, Ohio, friendship, variable and eight-point.

    sawtooth    four steps: centre 2 × 2, four geese 2 × 1, four corner squares
    nested      a star of half the size fits the centre of the larger one exactly
    variable    a sawtooth star whose centre is a diamond in a square
    Ohio        three steps: centre, four corners, four hourglasses
    friendship  three steps: centre, four corners, four half-square triangles
Source: common practice.
"""

from __future__ import annotations

from itertools import pairwise

from studio.maths.blocks import Block, Cell, cell, nested, square_block, with_roles
from studio.maths.patches import DIAMOND, EIGHT_POINTS, GEESE, HALF, HOURGLASS, SQUARE

_NAMES = ("", "inner ", "third ", "fourth ", "fifth ", "sixth ")


def sawtooth_star(depth: int = 1) -> Block:
    """Give a star with so many stars, each half as large, one in another.

    Roles: point, ground and centre; an inner star has its own point and ground.
    """
    if depth > 1:
        inner = with_roles(sawtooth_star(depth - 1), _inner_roles(depth))
        middle: tuple[Cell, ...] = nested(inner, (1, 1), 2)
    else:
        middle = (cell(SQUARE, ["centre"], (1, 1), (2, 2)),)
    name = "sawtooth star" if depth == 1 else f"sawtooth star, {depth} deep"
    return square_block(name, 4, (*middle, *_star_round()))


def variable_star() -> Block:
    """Give a star whose centre is a diamond in a square."""
    middle = cell(DIAMOND, ["centre", "ground"], (1, 1), (2, 2))
    return square_block("variable star", 4, (middle, *_star_round()))


def ohio_star() -> Block:
    """Give a star of four hourglasses."""
    cells = [cell(SQUARE, ["centre"], (1, 1))]
    cells += [cell(SQUARE, ["ground"], at) for at in _CORNERS_OF_NINE]
    cells += [
        cell(HOURGLASS, ["ground", "point"], at, turn=turn)
        for turn, at in enumerate(_SIDES_OF_NINE)
    ]
    return square_block("Ohio star", 3, cells)


def friendship_star() -> Block:
    """Give a star of four half-square triangles."""
    cells = [cell(SQUARE, ["centre"], (1, 1))]
    cells += [cell(SQUARE, ["ground"], at) for at in _CORNERS_OF_NINE]
    cells += [
        cell(HALF, ["ground", "point"], at, turn=turn)
        for turn, at in enumerate(_SIDES_OF_NINE)
    ]
    return square_block("friendship star", 3, cells)


def eight_point_star() -> Block:
    """Give a star of eight diamonds, of two cloths by turns."""
    roles = ["point", "second point", "ground"]
    return square_block("eight-point star", 1, [cell(EIGHT_POINTS, roles, (0, 0))])


_CORNERS_OF_NINE = ((0, 0), (2, 0), (2, 2), (0, 2))
_SIDES_OF_NINE = ((1, 0), (2, 1), (1, 2), (0, 1))
_GEESE = (
    ((1, 0), (2, 1), 2),
    ((3, 1), (1, 2), 3),
    ((1, 3), (2, 1), 0),
    ((0, 1), (1, 2), 1),
)


def _star_round() -> tuple[Cell, ...]:
    corners = (cell(SQUARE, ["ground"], at) for at in ((0, 0), (3, 0), (3, 3), (0, 3)))
    geese = (
        cell(GEESE, ["ground", "point"], at, size, turn) for at, size, turn in _GEESE
    )
    return (*corners, *geese)


def _inner_roles(depth: int) -> dict[str, str]:
    """Push every role one star further in."""
    names = [_level(n) for n in range(depth)]
    return {
        f"{outer}{role}": f"{inner}{role}"
        for role in ("point", "ground")
        for outer, inner in pairwise(names)
    }


def _level(number: int) -> str:
    return _NAMES[number] if number < len(_NAMES) else f"{number + 1}th "
