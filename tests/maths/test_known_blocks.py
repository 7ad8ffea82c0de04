"""The blocks by name, and those that come in any depth and any number of rounds."""

from __future__ import annotations

from fractions import Fraction

import pytest

from studio.maths import blocks
from studio.maths.known_blocks import KNOWN, BlockUnknown, family, known_block
from studio.maths.patches import GEESE


def squares(block, label):
    return [one for one in block.cells if one.label == label]


def test_every_block_that_a_teacher_asks_for_is_known_by_name():
    # The names are common practice.
    asked = [
        "sawtooth star",
        "star in a star",
        "Ohio star",
        "friendship star",
        "variable star",
        "churn dash",
        "pinwheel",
        "nine-patch",
        "log cabin",
        "courthouse steps",
        "heart of two lobes",
        "heart on four steps",
        "heart on point",
        "snowball",
        "economy block",
        "diamond in a square",
        "eight-point star",
    ]

    assert [known_block(name).name for name in asked] == asked


@pytest.mark.parametrize("depth", [1, 2, 3, 4, 5, 6])
def test_a_star_of_half_the_size_fits_the_centre_exactly_to_any_depth(depth):
    # Common practice; four geese to each star, the innermost of a 2 in centre.
    known = known_block(f"Sawtooth star, {depth} deep")

    geese = [c for c in known.block.cells if c.patch is GEESE]
    widths = sorted({max(c.width, c.height) for c in geese}, reverse=True)

    assert len(geese) == 4 * depth
    assert widths == [Fraction(2, 2**n) for n in range(depth)]
    pieces = blocks.cut_list(known.block, known.first_inches)
    assert [
        p.width_inches for p in pieces if (p.role, p.name) == ("centre", "square")
    ] == [Fraction(5, 2)]


@pytest.mark.parametrize("rounds", [1, 4, 12])
def test_a_log_cabin_has_four_logs_to_a_round(rounds):
    # Worked by hand: centre and logs of 1 in, n rounds: 1 + 2n in; the last log is as
    # long as the block.
    known = known_block(f"log cabin of {rounds} rounds")

    logs = squares(known.block, "log")

    assert len(logs) == 4 * rounds
    assert known.first_inches == 1 + 2 * rounds
    assert max(max(log.width, log.height) for log in logs) == known.block.across


def test_courthouse_steps_come_in_any_number_of_rounds_too():
    known = known_block("courthouse-steps-of-2-rounds")

    assert (known.slug, len(squares(known.block, "log"))) == (
        "courthouse-steps-of-2-rounds",
        8,
    )


@pytest.mark.parametrize(
    "name",
    ["sawtooth star 0 deep", "sawtooth star 9 deep", "log cabin of 99 rounds", "swan"],
)
def test_a_number_beyond_what_can_be_sewn_is_no_block(name):
    with pytest.raises(BlockUnknown, match="is no block known here"):
        known_block(name)


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("star of Ohio", {"Ohio star", "sawtooth star", "star in a star"}),
        ("log cabbin", {"log cabin", "log cabin of five rounds"}),
        ("pinweel", {"pinwheel"}),
        ("heart on", {"heart on point", "heart of two lobes"}),
    ],
)
def test_a_name_that_is_no_block_is_answered_with_the_names_like_it(name, near):
    sentence = str(BlockUnknown(name))

    assert sentence.startswith(f"“{name}” is no block known here. Write one of: ")
    assert [one for one in near if one not in sentence] == []
    assert "courthouse steps" not in sentence


def test_a_name_like_no_block_is_answered_with_every_name():
    sentence = str(BlockUnknown("zzz", ("Garden gate",)))

    assert [one.name for one in KNOWN if one.name not in sentence] == []
    assert "Garden gate" in sentence


def test_a_block_names_those_of_its_family_and_each_is_found_by_its_address():
    names = [one.name for one in family(known_block("star in a star"))]

    assert names[:3] == [
        "sawtooth star",
        "sawtooth star, 2 deep",
        "sawtooth star, 3 deep",
    ]
    assert [known_block(one.slug).name for one in family(KNOWN[0])] == names
    assert family(known_block("pinwheel")) == ()
