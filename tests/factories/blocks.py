"""The two designs of the stories with their blocks, and a few pieces with outlines."""

from inventory import actions as stock
from inventory.models import Design
from studio.lengths import parse_length
from tests.factories.inventory import PieceFactory, SetFactory

PIECES = {
    "A425": ("4 1/4", "4 1/4", "Sandglass 3 A"),
    "A388": ("3 7/8", "3 7/8", "Ringfence 9 A"),
    "SQ350": ("3 1/2", "3 1/2", "3½"),
    "C200": ("2", "3 1/2", "Ringfence 9 bar"),
}


def a_piece(code, width, height, engraving="", **more):
    piece = PieceFactory(code=code, name=f"Piece {code}", held=more.pop("held", 0))
    stock.set_shape(
        piece,
        width_inches=parse_length(width),
        height_inches=parse_length(height),
        engraving=engraving,
        **more,
    )
    return piece


def a_ringfence_design(block="churn-dash", ways=""):
    design, _ = Design.objects.get_or_create(code="RF", defaults={"name": "Ringfence"})
    return stock.change_design(design, block=block, block_ways=ways)


def a_nine_inch_ringfence():
    """The nine-inch set with its block, its three pieces, and a booklet."""
    pieces = {code: a_piece(code, *sizes) for code, sizes in PIECES.items()}
    ringfence = SetFactory(design=a_ringfence_design(), finished_size="9")
    booklet = PieceFactory(code="BKLT-RF", name="Ringfence booklet", kind="booklet")
    needs = [pieces[code] for code in ("A388", "SQ350", "C200")]
    stock.set_parts_list(ringfence, needs=dict.fromkeys([*needs, booklet], 1))
    return ringfence
