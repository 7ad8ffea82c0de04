"""A block laid out by its maker, read from lines or a mapping, and refused in words."""

from __future__ import annotations

from fractions import Fraction

import pytest

from studio.maths import block_stars, blocks, own_blocks
from studio.maths.patch.recipe import USUAL
from studio.maths.patches import PatchUnknown
from tests.maths import worked

FLIPPED = {"flying geese": "stitch and flip"}


GATE = """
Name: Garden gate
Steps: 4 by 4
square: ground at 1 1
square: ground at 4 1
square: ground at 4 4
square: ground at 1 4
flying geese: ground, point at 2 1, 2 by 1, turned 2
flying geese: ground, point at 4 2, 1 by 2, turned 3
flying geese: ground, point at 2 4, 2 by 1
flying geese: ground, point at 1 2, 1 by 2, turned 1
square: centre at 2 2, 2 by 2
"""


def test_an_own_block_written_as_lines_is_cut_like_the_same_star():
    own = own_blocks.read_block(GATE)

    listed = blocks.cut_list(own, Fraction(8), USUAL, FLIPPED)

    star = blocks.cut_list(block_stars.sawtooth_star(), Fraction(8), USUAL, FLIPPED)
    assert own.name == "Garden gate"
    assert worked.cut(listed) == worked.cut(star)


def test_an_own_block_can_come_as_a_mapping():
    plan = {
        "name": "Half and half",
        "across": 2,
        "down": 1,
        "cells": [
            {"patch": "square", "roles": ["dark"], "column": 1, "row": 1},
            {
                "patch": "half-square triangle",
                "roles": ["dark", "light"],
                "column": 2,
                "row": 1,
                "turn": 3,
            },
        ],
    }

    own = own_blocks.block_of(plan)

    assert own.roles == ("dark", "light")
    assert own.height_inches(Fraction(8)) == 4
    assert own.cells[1].turn == 3


@pytest.mark.parametrize(
    ("line", "instead", "error", "words"),
    [
        (
            "square: ground at 4 4",
            "",
            own_blocks.BlockGap,
            "Nothing covers column 4, row 4. Put a patch at 4 4.",
        ),
        (
            "square: ground at 4 4",
            "square: ground at 4 3",
            own_blocks.CellsOverlap,
            "The square at 4 3 and the flying geese at 4 2 lie on one another.",
        ),
        (
            "square: ground at 4 4",
            "square: ground at 5 4",
            own_blocks.CellOutside,
            "The square at 5 4 reaches beyond the block, which is 4 by 4 steps.",
        ),
        (
            "square: ground at 4 4",
            "swan: ground at 4 4",
            PatchUnknown,
            "“swan” is no patch known here. Write one of: square, bar,",
        ),
        (
            "square: ground at 4 4",
            "square: ground, point at 4 4",
            own_blocks.RolesUnfit,
            "The square takes 1 role of cloth (cloth), and 2 are written.",
        ),
        (
            "square: ground at 4 4",
            "square ground 4 4",
            own_blocks.BlockUnreadable,
            "“square ground 4 4” cannot be read. Write a patch, its roles",
        ),
        (
            "square: ground at 4 4",
            "square: ground at 0 4",
            own_blocks.BlockUnreadable,
            "Columns and rows count from 1.",
        ),
        (
            "square: ground at 4 4",
            "square: ground at 4 4, turned 7",
            own_blocks.BlockUnreadable,
            "A turn is 0, 1, 2 or 3 quarters clockwise.",
        ),
        (
            "Steps: 4 by 4",
            "Steps: 99",
            own_blocks.BlockUnreadable,
            "A block here has 1 to 24 steps each way.",
        ),
        (
            "Steps: 4 by 4",
            "",
            own_blocks.BlockUnreadable,
            "Write how many steps it has",
        ),
    ],
)
def test_a_wrong_own_block_is_refused_by_name(line, instead, error, words):
    with pytest.raises(error) as refused:
        own_blocks.read_block(GATE.replace(line, instead))

    assert words in str(refused.value)


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        ({"across": 1, "cells": "square"}, "Write a list of patches."),
        ({"across": "two", "cells": []}, "Write a whole number for across."),
        ({"across": 1, "cells": ["square"]}, "Write patch, roles, column and row."),
        (
            {"across": 1, "cells": [{"patch": "square", "roles": "dark"}]},
            "Write its roles as a list.",
        ),
    ],
)
def test_a_wrong_mapping_is_refused_in_words(plan, words):
    with pytest.raises(own_blocks.BlockUnreadable, match=words):
        own_blocks.block_of(plan)
