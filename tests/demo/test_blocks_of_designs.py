"""The designs of the demo with their blocks: what geometry asks for is what is sold."""

import pytest

from inventory.models import Item
from inventory.queries.blocks import block_set
from inventory.queries.item_pages import pictured_item

# The demo's own table of pieces: cut size in inches and in millimetres.
PIECES = {
    "A425": ("4¼ in square", "107.95 mm square"),
    "SQ350": ("3½ in square", "88.9 mm square"),
    "A575": ("5¾ in square", "146.05 mm square"),
    "SQ500": ("5 in square", "127 mm square"),
    "A1025": ("10¼ in square", "260.35 mm square"),
    "SQ950": ("9½ in square", "241.3 mm square"),
    "A238": ("2⅜ in square", "60.325 mm square"),
    "B200": ("2 in square", "50.8 mm square"),
    "C125": ("1¼ × 2 in", "31.75 × 50.8 mm"),
    "A388": ("3⅞ in square", "98.425 mm square"),
    "C200": ("2 × 3½ in", "50.8 × 88.9 mm"),
    "A538": ("5⅜ in square", "136.525 mm square"),
    "C275": ("2¾ × 5 in", "69.85 × 127 mm"),
}
SETS = {
    "SG-030": ["A425", "SQ350"],
    "SG-045": ["A575", "SQ500"],
    "SG-090": ["A1025", "SQ950"],
    "RF-045": ["A238", "B200", "C125"],
    "RF-090": ["A388", "SQ350", "C200"],
    "RF-135": ["A538", "SQ500", "C275"],
}


@pytest.mark.parametrize(("code", "pieces"), SETS.items())
def test_a_set_holds_just_what_its_block_asks_for(demo, code, pieces):
    found = block_set(pictured_item(code))

    assert [row.item.code for row in found.rows] == pieces
    sizes = [(row.piece.trade_words, row.piece.mm_words) for row in found.rows]
    assert sizes == [PIECES[piece] for piece in pieces]
    assert [row.off_inches for row in found.rows] == [0] * len(pieces)
    assert found.unasked == ()


@pytest.mark.parametrize(
    ("code", "sets"), [("RF-045", 18), ("RF-090", 6), ("SG-090", 1)]
)
def test_the_sheet_with_the_most_whole_sets_comes_first(demo, code, sets):
    """LF gives 18 of each, LG 6 shared squares, LE and LP one of each: the demo."""
    assert block_set(pictured_item(code)).sheets[0].sets == sets


def test_the_tapered_design_is_no_block(demo):
    """A single tapered piece is not laid on a grid, so its design has no block."""
    beaker = Item.objects.get(code="BK-030")

    assert beaker.design.block == ""
    assert block_set(pictured_item("BK-030")) is None
