"""Reading of worked examples: sizes as typed, pieces as so many of a size."""

from __future__ import annotations

import csv
from pathlib import Path

from studio.lengths import parse_length
from studio.maths import (
    block_grids,
    block_hearts,
    block_stars,
    own_blocks,
    patches,
)
from studio.maths.metric import INCH, METRIC
from studio.maths.patch.recipe import Cutting, Making

WORKED = Path(__file__).parents[1] / "worked"
RULERS = {"inch": INCH, "metric": METRIC}

GEESE_BLOCK = "Name: eight geese\nSteps: 4 by 4\n" + "\n".join(
    f"flying geese: {'print' if x == 1 else 'other print'}, wing at {x} {y}, 2 by 1"
    for x in (1, 3)
    for y in (1, 2, 3, 4)
)
SIXTEEN_TRIANGLES = "Name: sixteen triangles\nSteps: 4\n" + "\n".join(
    f"half-square triangle: light, dark at {x} {y}, turned {(x + y) % 4}"
    for x in (1, 2, 3, 4)
    for y in (1, 2, 3, 4)
)
CHAIN = "Name: single chain\nSteps: 4\n" + "\n".join(
    f"{'four-patch' if (x + y) % 2 else 'half-square triangle'}: dark, light at {x} {y}"
    for x in (1, 2, 3, 4)
    for y in (1, 2, 3, 4)
)
FAVOURITE = """
Name: mother's favourite
Steps: 6
square: dark at 3 3, 2 by 2
pieced triangle: dark, dark small, white at 1 1, 2 by 2
pieced triangle: dark, dark small, white at 5 1, 2 by 2, turned 1
pieced triangle: dark, dark small, white at 5 5, 2 by 2, turned 2
pieced triangle: dark, dark small, white at 1 5, 2 by 2, turned 3
flying geese: blue, white at 3 1, 2 by 1
flying geese: white, blue at 3 2, 2 by 1
flying geese: blue, white at 6 3, 1 by 2, turned 1
flying geese: white, blue at 5 3, 1 by 2, turned 1
flying geese: blue, white at 3 6, 2 by 1, turned 2
flying geese: white, blue at 3 5, 2 by 1, turned 2
flying geese: blue, white at 1 3, 1 by 2, turned 3
flying geese: white, blue at 2 3, 1 by 2, turned 3
"""

BLOCKS = {
    block.name: block
    for block in (
        block_stars.sawtooth_star(),
        block_stars.variable_star(),
        block_stars.ohio_star(),
        block_stars.friendship_star(),
        block_grids.nine_patch(),
        block_grids.pinwheel(),
        block_grids.churn_dash(),
        block_grids.hourglass(),
        block_grids.snowball(),
        block_grids.diamond_in_a_square(),
        block_grids.economy(),
        block_grids.courthouse_steps(),
        block_hearts.heart_of_two_lobes(),
        block_hearts.heart_on_four_steps(),
        block_hearts.heart_on_point(),
        *map(own_blocks.read_block, (GEESE_BLOCK, SIXTEEN_TRIANGLES, CHAIN, FAVOURITE)),
    )
} | {
    "star in a star": block_stars.sawtooth_star(2),
    "log cabin of five rounds": block_grids.log_cabin(5),
    "log cabin of three rounds": block_grids.log_cabin(3, 2, 1),
}


def rows(name):
    with (WORKED / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def size(typed):
    """Width and height, the smaller first."""
    return tuple(sorted(parse_length(side) for side in typed.split(" × ")))


def pieces(typed):
    """Every single piece as its size, smallest first, whatever it is called."""
    counted = (piece.split(" × ", 1) for piece in typed.split("; "))
    return sorted(size(each) for number, each in counted for _ in range(int(number)))


def cut(listed):
    """The same of a cutting list."""
    return sorted(
        tuple(sorted((piece.width_inches, piece.height_inches)))
        for piece in listed
        for _ in range(piece.count)
    )


def making_of(row):
    oversize = row.get("oversize")
    return Making(
        Cutting(row["cutting"]),
        RULERS[row["ruler"]],
        parse_length(oversize) if oversize else None,
    )


def recipe_of(row):
    making = making_of({"cutting": "trade", "ruler": "inch", "oversize": ""} | row)
    width, height = (parse_length(side) for side in row["finished"].split(" × "))
    return patches.recipe(row["patch"], width, height, making, row["way"])
