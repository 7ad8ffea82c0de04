"""The mathematics of blocks beside the goods: sets, their pieces, sheets and tests.

A block's pieces are worked out anew each time; the book only keeps which block a design
is, and what was really cut.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from django.core.exceptions import ObjectDoesNotExist
from django.db.models import prefetch_related_objects

from inventory.models import BlockTest, Design, Item, PieceShape
from studio import block_book
from studio.errors import StudioError
from studio.maths import block_asking, piece_finding
from studio.maths.block_asking import Asked
from studio.maths.known_blocks import KnownBlock
from studio.maths.piece_finding import KnownPiece, Match
from studio.maths.template_sets import SetPiece, template_set


@dataclass(frozen=True)
class SetRow:
    """A piece that the block asks for, and the part of the set that is it."""

    piece: SetPiece
    item: Item | None
    count: int = 1
    off_inches: Fraction = Fraction(0)


@dataclass(frozen=True)
class SheetRow:
    """A layout that gives pieces of a set, and how many whole sets one sheet gives.

    ``kept`` is where its pieces lie, as `studio.maths.sheets` keeps it, or nothing.
    """

    key: int
    code: str
    kept: str
    gives: tuple[tuple[str, int], ...]
    sets: int | None

    @property
    def words(self) -> str:
        *first, last = (f"{count} {code}" for code, count in self.gives)
        return f"{', '.join(first)} and {last}" if first else last


@dataclass(frozen=True)
class BlockSet:
    """A template set with its block at its size, its pieces, and its sheets.

    ``problem`` says why the pieces cannot be worked out, where they cannot.
    """

    asked: Asked
    rows: tuple[SetRow, ...] = ()
    unasked: tuple[Item, ...] = ()
    sheets: tuple[SheetRow, ...] = ()
    problem: str = ""

    @property
    def to_lay_out(self) -> list[tuple[str, SetPiece, int]]:
        """Give its pieces for a sheet, by the code of the part that each is."""
        return [
            (row.item.code if row.item else row.piece.name, row.piece, row.count)
            for row in self.rows
        ]


@dataclass(frozen=True)
class BookPiece:
    """A piece of the catalogue, as the mathematics takes it and as it is kept."""

    item: Item
    known: KnownPiece


def block_called(word: str) -> KnownBlock | None:
    """Return the block that goes by a word in an address, or None."""
    return block_book.found(word) if word else None


def block_choices() -> list[tuple[str, str]]:
    """Return the words and names of all blocks, by name."""
    blocks = sorted(block_book.listed(), key=lambda one: one.name.lower())
    return [(one.slug, one.name.capitalize()) for one in blocks]


def ways_of(design: Design, known: KnownBlock) -> dict[str, str]:
    """Return how a design's patches are made.

    Raises WayUnfit where its block is not made in these ways, or not any more.
    """
    return block_asking.read_ways(known, design.block_ways)


def block_set(item: Item) -> BlockSet | None:
    """Return what the block says of a template set; None if it is no such set.

    The item comes from `pictured_item`, so that its parts are read already.
    """
    design, finished = item.design, item.finished_size
    if design is None or finished is None or item.kind not in ("set", "single"):
        return None
    known = block_called(design.block)
    if known is None:
        return None
    try:
        asked = Asked(known, finished, ways=ways_of(design, known))
        pieces = template_set(asked)
    except StudioError as error:
        return BlockSet(Asked(known, finished), problem=str(error))
    needs = pieces_of(item)
    rows = tuple(set_row(piece, needs) for piece in pieces)
    used = {row.item.pk for row in rows if row.item}
    unasked = tuple(part for part in needs if part.pk not in used)
    return BlockSet(asked, rows, unasked, sheets_of(needs))


def pieces_of(item: Item) -> dict[Item, int]:
    """Return the pieces with an outline that the usual way of making up takes."""
    ways = sorted(item.parts_lists.all(), key=lambda way: way.rank)
    return {
        line.item: line.count
        for way in ways[:1]
        for line in way.lines.all()
        if not line.gives_back and shape_of(line.item)
    }


def shape_of(item: Item) -> PieceShape | None:
    try:
        return item.shape
    except ObjectDoesNotExist:
        return None


def set_row(piece: SetPiece, needs: Mapping[Item, int]) -> SetRow:
    """Find the part that a piece of the block is."""
    known = {part.code: part for part in needs}
    matches = piece_finding.find_pieces(
        wanted_piece(piece), (known_piece(part) for part in known.values())
    )
    if not matches:
        return SetRow(piece, None)
    part = known[matches[0].found.name]
    return SetRow(piece, part, needs[part], matches[0].off_inches)


def wanted_piece(
    piece: SetPiece, engraving: str = "", tint: str = "clear"
) -> KnownPiece:
    return KnownPiece(piece.short_name, *piece.size, engraving, tint)


def known_piece(item: Item) -> KnownPiece:
    """Return an item that has an outline as the mathematics takes it."""
    shape = item.shape
    return KnownPiece(
        item.code,
        Fraction(shape.width_inches or 0),
        Fraction(shape.height_inches or 0),
        shape.engraving,
        shape.tint,
        shape.narrow_inches if shape.outline == PieceShape.Outline.TAPERED else None,
    )


def sheets_of(needs: Mapping[Item, int]) -> tuple[SheetRow, ...]:
    """Return the layouts in use that give these pieces, whole sets first: two queries.

    Layouts stand above the goods, so they are reached by their relation alone.
    """
    parts = list(needs)
    prefetch_related_objects(parts, "layouts_giving__layout")
    gives: dict[tuple[int, str, str], list[tuple[Item, int]]] = {}
    for part in parts:
        for one in part.layouts_giving.all():
            if one.layout.is_in_use:
                layout = (one.layout.pk, one.layout.code, one.layout.kept_sheet)
                gives.setdefault(layout, []).append((part, one.count))
    rows = [sheet_row(*layout, found, needs) for layout, found in gives.items()]
    return tuple(sorted(rows, key=lambda row: (-(row.sets or 0), row.code)))


def sheet_row(
    key: int,
    code: str,
    kept: str,
    gives: Sequence[tuple[Item, int]],
    needs: Mapping[Item, int],
) -> SheetRow:
    is_whole = len(gives) == len(needs)
    sets = min(count // needs[part] for part, count in gives) if is_whole else None
    given = tuple((part.code, count) for part, count in gives)
    return SheetRow(key, code, kept, given, sets)


def pieces_in_the_book(kinds: Sequence[str] | None = None) -> list[BookPiece]:
    """Return every piece that has an outline, or those of some kinds: one query."""
    shapes = PieceShape.objects.select_related("item__home_place").order_by(
        "item__code"
    )
    if kinds is not None:
        shapes = shapes.filter(item__kind__in=kinds)
    return [BookPiece(shape.item, known_piece(shape.item)) for shape in shapes]


def matches_in_the_book(
    wanted: KnownPiece, book: Sequence[BookPiece]
) -> list[tuple[Item, Match]]:
    """Return the pieces near enough to be used instead, nearest first."""
    items = {one.known.name: one.item for one in book}
    found = piece_finding.find_pieces(wanted, (one.known for one in book))
    return [(items[match.found.name], match) for match in found]


def last_test(design: Design, finished_inches: Fraction) -> BlockTest | None:
    """Return the last test block of a design at a size: did it pass, when, by whom."""
    tests = BlockTest.objects.filter(
        design=design, finished_size=finished_inches, taken_back_at=None
    )
    return tests.select_related("by").first()


def tests_of(design: Design) -> list[BlockTest]:
    """Return the tests of a design that count, the last first."""
    tests = BlockTest.objects.filter(design=design, taken_back_at=None)
    return list(tests.select_related("by")[:20])
