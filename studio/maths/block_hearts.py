"""Hearts, three ways.

    two lobes   B, c = B/6: 2 lobes B/2 with two corners flipped, 2 half squares B/2
    four steps  16 cells of B/4: 8 half squares of heart and ground, 6 of heart and
                heart, 2 plain ground
    on point    B = 5p: a nine-patch of p, 2 bars 2p × 3p with two corners flipped,
                one ground square 2p; the point of the heart is a corner of the block
Source: common practice; the heart blocks named beside the worked examples.
"""

from __future__ import annotations

from studio.maths.blocks import Block, cell, square_block
from studio.maths.patches import HALF, LOBE, SQUARE


def heart_of_two_lobes() -> Block:
    """Give two lobes over two half-square triangles."""
    cells = [
        cell(LOBE, ["heart", "ground"], (0, 0), (3, 3)),
        cell(LOBE, ["heart", "ground"], (3, 0), (3, 3)),
        cell(HALF, ["heart", "ground"], (0, 3), (3, 3), turn=1),
        cell(HALF, ["heart", "ground"], (3, 3), (3, 3)),
    ]
    return square_block("heart of two lobes", 6, cells)


# Each letter is a cell: g plain ground; h heart and heart; the ground of 1 lies upper
# left, of 2 upper right, of 3 lower right, of 4 lower left.
_ON_FOUR = ("1212", "hhhh", "4hh3", "g43g")


def heart_on_four_steps() -> Block:
    """Give a heart of half-square triangles."""
    cells = []
    for y, row in enumerate(_ON_FOUR):
        for x, letter in enumerate(row):
            if letter == "g":
                cells.append(cell(SQUARE, ["ground"], (x, y)))
            elif letter == "h":
                cells.append(cell(HALF, ["heart", "heart"], (x, y)))
            else:
                turn = int(letter) - 1
                cells.append(cell(HALF, ["ground", "heart"], (x, y), turn=turn))
    return square_block("heart on four steps", 4, cells)


def heart_on_point() -> Block:
    """Give a heart whose point is the lower left corner of the block."""
    cells = [
        cell(SQUARE, ["second heart" if (x + y) % 2 else "heart"], (x, 2 + y))
        for y in range(3)
        for x in range(3)
    ]
    cells += [
        cell(LOBE, ["heart", "ground"], (0, 0), (3, 2)),
        cell(LOBE, ["heart", "ground"], (3, 2), (2, 3), turn=1),
        cell(SQUARE, ["ground"], (3, 0), (2, 2)),
    ]
    return square_block("heart on point", 5, cells)
