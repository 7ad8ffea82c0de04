"""A block while it is laid out, and own blocks by area, written and read again."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.maths import block_stars, blocks, known_blocks, own_blocks, patches
from studio.maths.blocks import UnitCount
from studio.maths.own_layouts import Layout, NotSquare, checked

STEPS = st.integers(1, 5)
TURN = st.integers(0, 3)
ROLES = st.sampled_from(["ground", "point", "centre", "second point"])


def area(corners):
    """Shoelace, y downward."""
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return abs(sum(x * v - u * y for (x, y), (u, v) in pairs)) / 2


@st.composite
def filled(draw):
    """A grid filled step by step with whatever patch fits at the next bare step."""
    layout = Layout(draw(STEPS), draw(STEPS))
    while layout.gaps:
        column, row = layout.gaps[0]
        patch = draw(st.sampled_from(list(patches.PATCHES.values())))
        turn = draw(TURN)
        size = (2, 1) if patch.box == "two by one" else (1, 1)
        size = size[::-1] if turn % 2 else size
        roles = [draw(ROLES) for _ in patch.slots]
        cell = own_blocks.cell_at(patch.name, roles, (column, row), size, turn)
        try:
            layout = layout.with_cell(cell)
        except (own_blocks.CellOutside, own_blocks.CellsOverlap):
            square = own_blocks.cell_at("square", ["ground"], (column, row))
            layout = layout.with_cell(square)
    return layout


@settings(max_examples=60, deadline=None)
@given(filled())
def test_the_patches_of_an_own_block_add_up_to_the_finished_block(layout):
    """Area: what is seen of every patch sums to width × height; geometry."""
    block = own_blocks.whole_block("any", layout.across, layout.down, layout.cells)

    areas = sum(area(face.corners) for face in block.faces())

    assert areas == layout.across * layout.down


@settings(max_examples=60, deadline=None)
@given(filled(), st.integers(2, 9))
def test_the_units_of_an_own_block_add_up_to_the_finished_block(layout, step):
    """Each unit, cut and sewn, has its finished size; all of them fill the block."""
    block = own_blocks.whole_block("any", layout.across, layout.down, layout.cells)
    width = Fraction(step) * layout.across

    units = blocks.unit_counts(block, width)

    covered = sum(u.number * u.width_inches * u.height_inches for u in units)
    assert covered == width * block.height_inches(width)


@settings(max_examples=60, deadline=None)
@given(filled())
def test_a_block_that_is_written_is_read_back_the_same(layout):
    block = own_blocks.whole_block("Any", layout.across, layout.down, layout.cells)

    assert own_blocks.read_block(own_blocks.lines_of(block)) == block


@pytest.mark.parametrize(
    "known",
    [one for one in known_blocks.KNOWN if own_blocks.can_be_lines(one.block)],
    ids=lambda known: known.slug,
)
def test_a_block_of_the_trade_can_be_written_as_lines_and_is_cut_alike(known):
    size = known.first_inches

    again = own_blocks.read_block(own_blocks.lines_of(known.block))

    assert sorted(sizes_of(again, size)) == sorted(sizes_of(known.block, size))


def sizes_of(block, size):
    for piece in blocks.cut_list(block, size):
        sides = sorted((piece.width_inches, piece.height_inches))
        yield piece.role, piece.count, sides


def test_stars_in_stars_stand_between_the_steps_and_stay_out_of_lines():
    assert not own_blocks.can_be_lines(block_stars.sawtooth_star(2))


def test_a_patch_in_its_four_turns_makes_the_points_of_a_star():
    # Sawtooth Star block, a quilting magazine, 2013: four geese about the centre.
    goose = own_blocks.cell_at("flying geese", ["sky", "star"], (2, 1), (2, 1), 2)

    laid = Layout(4, 4).with_four(goose)

    assert [own_blocks.line_of(one) for one in laid.cells] == [
        "flying geese: sky, star at 2 1, 2 by 1, turned 2",
        "flying geese: sky, star at 4 2, 1 by 2, turned 3",
        "flying geese: sky, star at 2 4, 2 by 1",
        "flying geese: sky, star at 1 2, 1 by 2, turned 1",
    ]


def test_a_patch_in_the_middle_is_laid_once():
    middle = own_blocks.cell_at("hourglass", ["a", "b"], (2, 2), (2, 2))

    assert Layout(4, 4).with_four(middle).cells == (middle,)


def test_only_a_square_block_is_turned_upon_itself():
    with pytest.raises(NotSquare, match="this one is 4 by 3"):
        Layout(4, 3).with_four(own_blocks.cell_at("square", ["ground"], (1, 1)))


def test_a_patch_takes_the_place_of_the_one_that_begins_there_and_of_no_other():
    square = own_blocks.cell_at("square", ["ground"], (1, 1))
    goose = own_blocks.cell_at("flying geese", ["sky", "goose"], (1, 1), (2, 1))
    beside = own_blocks.cell_at("square", ["ground"], (2, 1))

    laid = Layout(2, 1).with_cell(square).with_cell(goose)

    assert laid.cells == (goose,)
    with pytest.raises(own_blocks.CellsOverlap):
        laid.with_cell(beside)


def test_a_place_says_what_covers_it():
    goose = own_blocks.cell_at("flying geese", ["sky", "goose"], (1, 2), (2, 1))
    laid = Layout(2, 2, (goose,))

    assert (laid.at((2, 2)), laid.at((2, 1)), laid.gaps) == (
        goose,
        None,
        [(1, 1), (2, 1)],
    )


def test_more_steps_than_can_be_drawn_are_refused():
    with pytest.raises(own_blocks.BlockUnreadable, match="1 to 24 steps each way"):
        checked(Layout(25, 4))


def test_bars_of_one_size_are_one_piece_however_they_lie():
    typed = "Steps: 2 by 2\nbar: ground at 1 1, 1 by 2\nbar: ground at 2 1, 1 by 2"

    [unit] = blocks.unit_counts(own_blocks.read_block(typed), Fraction(4))

    assert unit == UnitCount(patches.BAR, ("ground",), Fraction(4), Fraction(2), 2)


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        (
            "flying geese: sky, star at 2 3",
            "Column 2, row 3: The flying geese is twice as wide as it is high before it "
            "is turned. Here it is 1 by 1 steps.",
        ),
        (
            "flying geese: sky at 2 3, 2 by 1",
            "Column 2, row 3: The flying geese takes 2 roles of cloth (goose, sky), and "
            "1 are written.",
        ),
        (
            "square: <b> at 2 3",
            "“square: <b> at 2 3” cannot be read. A cloth is called by letters and "
            "figures, up to 30 of them.",
        ),
    ],
)
def test_a_wrong_patch_is_named_by_its_place(line, sentence):
    with pytest.raises(own_blocks.StudioError) as refused:
        own_blocks.read_lines(line)

    assert str(refused.value) == sentence
