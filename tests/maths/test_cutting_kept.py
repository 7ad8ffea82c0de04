"""What is known of a piece of cloth, kept while it is worked out, and gone on from."""

from fractions import Fraction

import pytest

from studio.maths import cutting_kits
from studio.maths.cloth import Bundle, FromOnePrint, PreCut
from studio.maths.cutting.kept import read
from studio.maths.cutting.kinds import Kind
from studio.maths.cutting.kits import Demands, most_kits, ways_from, ways_of, work_on
from studio.maths.cutting_kits import Project
from studio.maths.cutting_list import CutPiece
from studio.maths.cutting_units import Wanted

# The four sizes of the 12-inch star on a fat eighth, in eighths of an inch: common
# practice; its most kits were found by listing every way of cutting one piece.
STAR = [Kind(58, 58, 1), Kind(52, 52, 1), Kind(31, 31, 1), Kind(28, 28, 1)]
FAT_EIGHTH = (72, 160)
ROLES = Demands(((1, 0, 0, 4), (0, 1, 4, 0)), (1, 1))
KITS_OF_20 = 10


def in_small_steps(kinds, stock):
    """Go on for no time at all, again and again, with nothing but the bytes."""
    kept, steps = b"", 0
    while True:
        known = work_on(kinds, stock, kept=kept, seconds=0.002)
        kept, steps = bytes(known), steps + 1
        if known.is_whole:
            return kept, steps


def test_what_is_worked_out_in_steps_is_what_is_worked_out_at_once():
    kept, steps = in_small_steps(STAR, FAT_EIGHTH)

    known = ways_from(read(kept, *endless()))

    at_once = ways_of(STAR, FAT_EIGHTH, seconds=60.0)
    assert steps > 1
    assert known.is_whole
    assert sorted(known.vectors.tolist()) == sorted(at_once.vectors.tolist())
    assert most_kits(known, ROLES, 20).kits == KITS_OF_20


def endless():
    known = work_on(STAR, FAT_EIGHTH, seconds=0.0)
    return known.kinds, known.stock


def test_until_all_is_known_there_are_bounds_around_the_answer():
    known = work_on(STAR, FAT_EIGHTH, seconds=0.0)

    found = most_kits(ways_from(known), ROLES, 20)

    assert not known.is_whole
    assert found.kits <= KITS_OF_20 <= found.ceiling


@pytest.mark.parametrize(
    "spoil",
    [
        lambda kept: kept[: len(kept) // 2],
        lambda kept: b"",
        lambda kept: b"not ours\n" + kept,
        lambda kept: kept.replace(b"[58, 58", b"[59, 59"),
        lambda kept: kept.replace(b'"stock": [72', b'"stock": [80'),
    ],
    ids=["cut short", "nothing", "something else", "other sizes", "other cloth"],
)
def test_what_cannot_be_read_or_is_of_other_sizes_counts_as_nothing_known(spoil):
    kept = bytes(work_on(STAR, FAT_EIGHTH, seconds=0.01))

    known = read(spoil(kept), *endless())

    assert known.cells == ()
    assert not known.is_whole


def test_cells_that_were_kept_are_not_worked_out_again():
    first = work_on(STAR, FAT_EIGHTH, seconds=0.01)

    again = work_on(STAR, FAT_EIGHTH, kept=bytes(first), seconds=0.0)

    assert len(again.cells) == len(first.cells) > 0
    assert bytes(again) == bytes(first)


def test_kits_of_four_sizes_are_exact_once_they_are_worked_out_and_kept():
    pieces = ["58/8", "52/8", "31/8", "28/8"]
    star = Project(
        "star", tuple(square(*pair) for pair in zip(pieces, ROLE_OF, strict=True))
    )
    cloth = Bundle("FB", PreCut("fat eighth", Fraction(9), Fraction(20)), 20, 20)

    worked, kept = None, b""
    while worked is None or not worked.is_whole:
        worked = cutting_kits.work_out(star, cloth, kept=kept, seconds=0.05)
        kept = worked.kept
    found = cutting_kits.kits_from(
        star, cloth, rule=FromOnePrint.ROLE, seconds=0.0, shelf=worked.shelf
    )

    assert (found.kits, found.is_proven) == (KITS_OF_20, True)


ROLE_OF = (("bg", 1), ("pt", 1), ("pt", 4), ("bg", 4))


def square(side, role):
    name, count = role
    return Wanted(CutPiece(side, name, count, Fraction(side), Fraction(side)))
