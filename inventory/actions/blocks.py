"""What is written of blocks: a design's block, test blocks, parts lists made from one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import ProtectedError

from inventory.actions.catalogue import add_item, set_parts_list, set_shape
from inventory.errors import (
    CodeTaken,
    NothingChosen,
    PartsChangedSince,
    SamePieceTwice,
    SameRequestOtherContent,
)
from inventory.models import (
    BlockTest,
    Design,
    Item,
    PartsFromBlock,
    PartsList,
    PieceShape,
)
from studio.maths.sewn_tests import SewnTest
from studio.models import Person


@dataclass(frozen=True)
class NewPiece:
    """A loose piece that is to be added: its code and name, and its cut size."""

    code: str
    name: str
    width_inches: Fraction
    height_inches: Fraction
    engraving: str = ""
    tint: str = "clear"


@dataclass(frozen=True)
class Chosen:
    """A piece of a block: an item that is there or a new one, and how many a set has."""

    piece: Item | NewPiece
    count: int


def change_design(design: Design, **fields: Any) -> Design:
    """Write a design's particulars anew, its block among them."""
    for name, value in fields.items():
        setattr(design, name, value)
    design.save(update_fields=list(fields))
    return design


@transaction.atomic
def record_block_test(
    design: Design,
    *,
    block: str,
    test: SewnTest,
    note: str = "",
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> BlockTest:
    """Keep what came of a test; said a second time it returns the first."""
    measured = " ".join(str(one.measured_inches) for one in test.blocks)
    kept, is_new = BlockTest.objects.get_or_create(
        request_id=request_id,
        defaults={
            "design": design,
            "block": block,
            "finished_size": test.finished_inches,
            "seam_inches": test.ruler.seam_inches,
            "allowed_inches": test.allowed_inches,
            "joins": test.blocks[0].joins,
            "measured": measured,
            "passed": test.passed,
            "note": note,
            "by": by,
            "tested_at": now,
        },
    )
    same = (design.pk, test.finished_inches, measured)
    if not is_new and (kept.design_id, kept.finished_size, kept.measured) != same:
        raise SameRequestOtherContent(str(request_id))
    return kept


def take_back_block_test(test: BlockTest, *, now: datetime) -> BlockTest:
    """Let a test count for nothing; it stays written."""
    if test.taken_back_at is None:
        test.taken_back_at = now
        test.save(update_fields=["taken_back_at"])
    return test


@transaction.atomic
def make_parts_from_block(
    item: Item,
    *,
    chosen: Sequence[Chosen],
    others: Mapping[Item, int],
    gives_back: Mapping[Item, int] | None = None,
    block: str,
    finished_inches: Fraction,
    name: str = "From pieces",
    minutes: int = 0,
    rank: int = 1,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> PartsFromBlock:
    """Add the new pieces and write the parts list; said again it returns the first.

    Raises CodeTaken, NothingChosen, SamePieceTwice or PartOfItself, and then nothing
    is written.
    """
    Item.objects.select_for_update().get(pk=item.pk)
    before = PartsFromBlock.objects.filter(request_id=request_id).first()
    if before is not None:
        if (before.item_id, before.block) != (item.pk, block):
            raise SameRequestOtherContent(str(request_id))
        return before
    stood = written_down(item, rank)
    new = [one.piece for one in chosen if isinstance(one.piece, NewPiece)]
    made = [add_piece(piece) for piece in new]
    needs = {**counted(item, chosen, made), **others}
    set_parts_list(
        item,
        needs=needs,
        gives_back=gives_back,
        name=name,
        minutes=minutes,
        rank=rank,
    )
    kept = PartsFromBlock.objects.create(
        request_id=request_id,
        item=item,
        rank=rank,
        block=block,
        finished_size=finished_inches,
        before=stood,
        after=written_down(item, rank),
        by=by,
        done_at=now,
    )
    kept.made.set(made)
    return kept


def add_piece(piece: NewPiece) -> Item:
    taken = Item.objects.filter(code__iexact=piece.code).first()
    if taken is not None:
        raise CodeTaken(taken.code, taken.name)
    item = add_item(code=piece.code, name=piece.name, kind=Item.Kind.PIECE)
    set_shape(
        item,
        outline=PieceShape.Outline.RECTANGLE,
        width_inches=piece.width_inches,
        height_inches=piece.height_inches,
        engraving=piece.engraving,
        tint=piece.tint,
    )
    return item


def counted(
    item: Item, chosen: Sequence[Chosen], made: Sequence[Item]
) -> dict[Item, int]:
    """Return how many of each piece a set takes."""
    if not chosen:
        raise NothingChosen(item.code)
    new = iter(made)
    needs: dict[Item, int] = {}
    for one in chosen:
        piece = one.piece if isinstance(one.piece, Item) else next(new)
        if piece in needs:
            raise SamePieceTwice(piece.code)
        needs[piece] = one.count
    return needs


def written_down(item: Item, rank: int) -> dict[str, Any] | None:
    """Return a parts list as it can be kept, or None where there is none."""
    parts_list = PartsList.objects.filter(item=item, rank=rank).first()
    if parts_list is None:
        return None
    lines = parts_list.lines.order_by("id")
    return {
        "name": parts_list.name,
        "minutes": parts_list.minutes,
        "lines": [[one.item_id, one.count, one.gives_back] for one in lines],
    }


@transaction.atomic
def take_back_parts_from_block(kept: PartsFromBlock, *, now: datetime) -> None:
    """Put the parts list back as it stood, and take new pieces out that nobody used.

    Raises PartsChangedSince where the list is another by now.
    """
    kept = PartsFromBlock.objects.select_for_update().get(pk=kept.pk)
    if kept.taken_back_at is not None:
        return
    if written_down(kept.item, kept.rank) != kept.after:
        raise PartsChangedSince(kept.item.code)
    put_back(kept)
    for piece in kept.made.all():
        drop_if_unused(piece)
    kept.taken_back_at = now
    kept.save(update_fields=["taken_back_at"])


def put_back(kept: PartsFromBlock) -> None:
    if kept.before is None:
        PartsList.objects.filter(item=kept.item, rank=kept.rank).delete()
        return
    items = Item.objects.in_bulk([key for key, _, _ in kept.before["lines"]])
    sides: dict[bool, dict[Item, int]] = {False: {}, True: {}}
    for key, count, gives_back in kept.before["lines"]:
        if key in items:
            sides[gives_back][items[key]] = count
    set_parts_list(
        kept.item,
        needs=sides[False],
        gives_back=sides[True],
        name=kept.before["name"],
        minutes=kept.before["minutes"],
        rank=kept.rank,
    )


def drop_if_unused(piece: Item) -> None:
    """Take a piece out of the book, unless anything hangs on it already."""
    try:
        with transaction.atomic():
            piece.delete()
    except ProtectedError:
        return
