"""Blocks of two and three steps, of one patch, and log cabins.

    churn dash        u = B/3: half-square corners, rails of u/2, centre u
    log cabin         centre c, logs w, n rounds: B = c + 2nw; log j is c + ⌊j/2⌋ w long
    courthouse steps  round k: first pair c + 2(k − 1)w long, second pair c + 2kw
Source: common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from studio.maths.blocks import Block, Cell, cell, square_block
from studio.maths.patches import (
    BAR,
    DIAMOND,
    ECONOMY,
    HALF,
    HOURGLASS,
    NINE_PATCH,
    RAILS,
    SNOWBALL,
    SQUARE,
    Patch,
)

_CORNERS = ((0, 0), (2, 0), (2, 2), (0, 2))
_SIDES = ((1, 0), (2, 1), (1, 2), (0, 1))


def unit(patch: Patch, roles: Sequence[str], turn: int = 0) -> Block:
    """Give one patch as a block of its own, so that units can be set in rows."""
    across = 2 if patch.box == "two by one" else 1
    size = (1, across) if turn % 2 else (across, 1)
    one = cell(patch, roles, (0, 0), size, turn)
    return Block(patch.name, one.width, one.height, (one,))


def nine_patch() -> Block:
    """Give nine squares, five of the first cloth."""
    whole = cell(NINE_PATCH, ["first", "second"], (0, 0), (3, 3))
    return square_block("nine-patch", 3, [whole])


def pinwheel() -> Block:
    """Give four half-square triangles that turn about the centre."""
    places = ((0, 0), (1, 0), (1, 1), (0, 1))
    cells = [
        cell(HALF, ["vane", "ground"], at, turn=turn + 1)
        for turn, at in enumerate(places)
    ]
    return square_block("pinwheel", 2, cells)


def churn_dash() -> Block:
    """Give half-square corners, rails between them and a centre."""
    cells = [cell(SQUARE, ["centre"], (1, 1))]
    for patch, places in ((HALF, _CORNERS), (RAILS, _SIDES)):
        cells += [
            cell(patch, ["ground", "dash"], at, turn=turn)
            for turn, at in enumerate(places)
        ]
    return square_block("churn dash", 3, cells)


def hourglass() -> Block:
    """Give one hourglass, which is a whole block at any size."""
    return square_block("hourglass", 1, [cell(HOURGLASS, ["glass", "ground"], (0, 0))])


def snowball() -> Block:
    """Give a square with its corners flipped at a third of the block."""
    return square_block("snowball", 1, [cell(SNOWBALL, ["ball", "ground"], (0, 0))])


def diamond_in_a_square() -> Block:
    """Give one square on its tip in a square."""
    cells = [cell(DIAMOND, ["centre", "ground"], (0, 0))]
    return square_block("diamond in a square", 1, cells)


def economy() -> Block:
    """Give two rounds of triangles about a centre."""
    cells = [cell(ECONOMY, ["centre", "inner", "outer"], (0, 0))]
    return square_block("economy block", 1, cells)


def log_cabin(
    rounds: int = 3,
    centre_steps: Fraction | int = 1,
    log_steps: Fraction | int = 1,
) -> Block:
    """Give logs laid round a centre, two light and two dark in every round."""
    c, w = Fraction(centre_steps), Fraction(log_steps)
    steps = c + 2 * rounds * w
    cells = [_centre(c, rounds * w)]
    for n in range(1, rounds + 1):
        low, size = (rounds - n) * w, c + (2 * n - 2) * w
        near, far = low + w, low + w + size
        cells += [
            _log("light", (near, low), (size, w)),
            _log("light", (far, low), (w, size + w)),
            _log("dark", (near, far), (size + w, w)),
            _log("dark", (low, low), (w, size + 2 * w)),
        ]
    return square_block("log cabin", steps, cells)


def courthouse_steps(
    rounds: int = 4,
    centre_steps: Fraction | int = 2,
    log_steps: Fraction | int = 1,
) -> Block:
    """Give logs laid in opposite pairs round a centre."""
    c, w = Fraction(centre_steps), Fraction(log_steps)
    cells = [_centre(c, rounds * w)]
    for n in range(1, rounds + 1):
        low, size = (rounds - n) * w, c + (2 * n - 2) * w
        high = low + w + size
        cells += [_log("light", (x, low + w), (w, size)) for x in (low, high)]
        cells += [_log("dark", (low, y), (size + 2 * w, w)) for y in (low, high)]
    return square_block("courthouse steps", c + 2 * rounds * w, cells)


def _centre(side: Fraction, at: Fraction) -> Cell:
    return cell(SQUARE, ["centre"], (at, at), (side, side))


def _log(
    role: str, at: tuple[Fraction, Fraction], size: tuple[Fraction, Fraction]
) -> Cell:
    turn = 1 if size[1] > size[0] else 0
    return cell(BAR, [role], at, size, turn, "log")
