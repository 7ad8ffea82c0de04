"""Loose pieces of the goods as pieces for a sheet, and found again by their size."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from inventory.models import Item, PartsLine, PieceShape
from studio.forms import InchesFormField
from studio.lengths import to_mm
from studio.maths.nesting_shapes import shape_of
from studio.maths.sheets import outline_kinds
from studio.maths.sheets.outline_kinds import TAPERED, ShapeImpossible
from studio.maths.sheets.problem import SheetPiece

# Two sizes that differ by less are the same piece: less than any cutter holds.
SAME_MM = Fraction(1, 50)


@dataclass(frozen=True)
class KnownPiece:
    """A loose piece of the goods whose size is written down."""

    item: Item
    piece: SheetPiece


def known_pieces() -> list[KnownPiece]:
    """Return the loose pieces with a size, by code: one query."""
    shapes = (
        PieceShape.objects.filter(item__kind=Item.Kind.PIECE)
        .select_related("item")
        .order_by("item__code")
    )
    pieces = ((shape.item, as_piece(shape)) for shape in shapes)
    return [KnownPiece(item, piece) for item, piece in pieces if piece is not None]


def as_piece(shape: PieceShape, count: int = 1) -> SheetPiece | None:
    """Give a shape of the goods as a piece, or None where it does not close."""
    sides, code = sides_of(shape), shape.item.code
    if sides is None:
        return None
    if shape.outline != PieceShape.Outline.TAPERED or shape.narrow_inches is None:
        return SheetPiece(code, to_mm(sides[0]), to_mm(sides[1]), count)
    try:
        outline = outline_kinds.outline_mm(TAPERED, sides, narrow=shape.narrow_inches)
    except ShapeImpossible:
        return None
    return SheetPiece(code, *outline_kinds.box_mm(outline), count, outline_mm=outline)


def sides_of(shape: PieceShape) -> tuple[Fraction, Fraction] | None:
    if shape.width_inches is None or shape.height_inches is None:
        return None
    return shape.width_inches, shape.height_inches


def item_for(piece: SheetPiece, known: Iterable[KnownPiece]) -> Item | None:
    """Find the loose piece that goes by this name, or else that has this size."""
    pieces = list(known)
    named = [one.item for one in pieces if one.item.code.lower() == piece.name.lower()]
    sized = [one.item for one in pieces if same_size(one.piece, piece)]
    return next(iter((*named, *sized)), None)


def same_size(one: SheetPiece, other: SheetPiece) -> bool:
    """Say whether two pieces are alike, either way round; by box and by area."""
    boxes = [sorted((piece.width_mm, piece.height_mm)) for piece in (one, other)]
    near = all(abs(a - b) <= SAME_MM for a, b in zip(*boxes, strict=True))
    areas = [shape_of(piece.corners_mm).doubled_area for piece in (one, other)]
    return near and abs(areas[0] - areas[1]) <= SAME_MM * max(areas) / 10


def pieces_of_set(code: str) -> list[str]:
    """Write the loose pieces of a set as lines to be laid out: one query."""
    lines = (
        PartsLine.objects.filter(
            parts_list__item__code__iexact=code,
            item__kind=Item.Kind.PIECE,
            gives_back=False,
        )
        .select_related("item__shape", "parts_list")
        .order_by("parts_list__rank", "parts_list_id", "id")
    )
    first = next((line.parts_list_id for line in lines), None)
    return [
        written(line.item.shape, line.count)
        for line in lines
        if line.parts_list_id == first and hasattr(line.item, "shape")
    ]


def written(shape: PieceShape, count: int) -> str:
    """Write a shape as a line of the list of pieces."""
    sides = [_typed(side) for side in sides_of(shape) or ()]
    words = [shape.item.code, *sides, str(count)]
    if shape.outline == PieceShape.Outline.TAPERED and shape.narrow_inches:
        words += [TAPERED, f"narrow {_typed(shape.narrow_inches)}"]
    return ", ".join(words)


def _typed(inches: Fraction) -> str:
    """Write inches so that they can be read again, whatever their fraction."""
    return InchesFormField().show(inches)
