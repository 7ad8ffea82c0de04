"""What is proposed when a parts list is made from a block: known pieces and new ones.

code of a new piece = a letter by its place in the set, and its shorter side in
hundredths of an inch, half up: A463 for 4⅝
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import Any

from inventory.models import Design, Item, PartsList
from inventory.queries.blocks import (
    BookPiece,
    block_called,
    matches_in_the_book,
    pieces_in_the_book,
    pieces_of,
    wanted_piece,
    ways_of,
)
from studio.maths.block_asking import Asked
from studio.maths.known_blocks import BlockUnknown
from studio.maths.piece_finding import Match
from studio.maths.template_sets import SetPiece, show_fraction, template_set

_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_LONGEST = 60


@dataclass(frozen=True)
class Offer:
    """One piece of the block, what in the book is like it, and what is filled in.

    ``matches`` are items with the sentence that asks about each.
    """

    piece: SetPiece
    matches: tuple[tuple[Item, str], ...]
    first: dict[str, Any]


def asked_for(word: str, finished_inches: Fraction, design: Design | None) -> Asked:
    """Return a block at a size, made as the design is where it is the design's.

    Raises BlockUnknown or WayUnfit.
    """
    known = block_called(word)
    if known is None:
        raise BlockUnknown(word)
    is_own = design is not None and design.block == known.slug
    ways = ways_of(design, known) if design and is_own else {}
    return Asked(known, finished_inches, ways=ways)


def offers(asked: Asked, item: Item) -> list[Offer]:
    """Return the pieces of a block with what is like them: two queries."""
    book = pieces_in_the_book()
    codes = Codes()
    return [
        offer(piece, number, asked, item, book, codes)
        for number, piece in enumerate(template_set(asked))
    ]


class Codes:
    """Codes for new pieces, none of which is taken or given twice."""

    def __init__(self) -> None:
        taken = Item.objects.values_list("code", flat=True)
        self.taken = {code.lower() for code in taken}

    def give(self, first: str) -> str:
        code = next(one for one in _numbered(first) if one.lower() not in self.taken)
        self.taken.add(code.lower())
        return code


def _numbered(first: str) -> Iterator[str]:
    yield first
    number = 2
    while True:
        yield f"{first}-{number}"
        number += 1


def offer(
    piece: SetPiece,
    number: int,
    asked: Asked,
    item: Item,
    book: list[BookPiece],
    codes: Codes,
) -> Offer:
    """Propose the piece that is just as large, if there is one, or else a new one."""
    family = item.design.name if item.design else asked.known.name.capitalize()
    size = show_fraction(asked.finished_inches)
    engraving = f"{family} {size} {piece.name.removesuffix(' square')}"[:_LONGEST]
    matches = matches_in_the_book(wanted_piece(piece, engraving), book)
    own = {part.code for part in pieces_of(item)}
    matches = sorted(matches, key=lambda found: found[0].code not in own)
    same = next((one.code for one, match in matches if not match.off_inches), "")
    first = {
        "use": same or "new",
        "count": 1,
        "code": codes.give(f"{_LETTERS[number % 26]}{hundredths(piece)}"),
        "name": f"{family} {size} in, {piece.name}",
        "engraving": engraving,
        "tint": "clear",
    }
    said = tuple((one, asks(one, match, own)) for one, match in matches)
    return Offer(piece, said, first)


def asks(item: Item, match: Match, own: set[str]) -> str:
    """Say how near an item is and ask what only she can decide, unless it is in it."""
    if item.code in own and not match.off_inches:
        return "It is in the set now."
    return str(match)


def hundredths(piece: SetPiece) -> str:
    return f"{floor(piece.size[0] * 100 + Fraction(1, 2)):03}"


def other_lines(item: Item) -> tuple[list[dict[str, Any]], str]:
    """Return what beside pieces is in the set, or in another size of its design.

    The code says which set it is copied from; it is empty where it is the set's own.
    """
    own = item.parts_lists.order_by("rank").first()
    if own is not None:
        return lines_without_pieces(own), ""
    sibling = None
    if item.design is not None:
        others = PartsList.objects.filter(item__design=item.design, rank=1)
        sibling = others.select_related("item").order_by("item__code").first()
    if sibling is None:
        return [], ""
    return lines_without_pieces(sibling), sibling.item.code


def lines_without_pieces(way: PartsList) -> list[dict[str, Any]]:
    lines = way.lines.filter(item__shape=None).select_related("item")
    return [
        {"part": one.item, "count": one.count, "gives_back": one.gives_back}
        for one in lines
    ]
