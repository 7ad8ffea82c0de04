"""Keeping, changing and putting away the blocks that are laid out here.

Every keeping is a row, sent twice it is one, and the newest is taken back by marking it.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import Max
from django.urls import resolve
from django.utils.text import slugify

from studio import block_book
from studio.errors import StudioError
from studio.maths import blocks, own_blocks
from studio.maths.blocks import Block, SizeUnkind
from studio.models import OwnBlock, Person

WORD_LETTERS = 60
USUAL_STEP_INCHES = 2
ADDRESSES = ("/blocks/{}/", "/blocks/own/{}/")
BLOCK_PAGES = {"block_show", "own_block_change"}


class BlockNameTaken(StudioError):
    """A name by which another block is called, here or in the trade."""

    def __init__(self, name: str, taken_by: str) -> None:
        self.name = name
        self.taken_by = taken_by
        super().__init__(name, taken_by)

    def __str__(self) -> str:
        return (
            f"“{self.name}” would be mixed up with {self.taken_by}. "
            "Give the block another name."
        )


class BlockNameEmpty(StudioError):
    """A name that leaves no word for an address."""

    def __str__(self) -> str:
        return "A block needs a name with a letter from a to z or a figure. Write one."


class ChangedMeanwhile(StudioError):
    """A block that somebody else has kept since this page was opened."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)

    def __str__(self) -> str:
        return (
            f"The block {self.name} was changed since this page was opened. Nothing "
            "is saved. Open it again beside this page, and make the change there."
        )


class KeptSince(StudioError):
    """A keeping that is no longer the newest, so that it cannot be taken back."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)

    def __str__(self) -> str:
        return (
            f"The block {self.name} was changed after that, so it stays as it is. "
            "Take the later change back first."
        )


def add_block(
    lines: str, *, name: str, request_id: UUID, by: Person | None, now: datetime
) -> OwnBlock:
    """Keep a new block. Raises what is wrong with its lines or its name."""
    block = _named(own_blocks.read_block(lines), name)
    word = _word(block.name)
    row = _row(block, word, request_id, by, now)
    return _kept(row, number_seen=None)


def change_block(
    word: str,
    lines: str,
    *,
    name: str,
    number_seen: int,
    request_id: UUID,
    by: Person | None,
    now: datetime,
) -> OwnBlock:
    """Keep a block otherwise, if nobody has since it was seen under this number."""
    block = _named(own_blocks.read_block(lines), name)
    _word(block.name)
    return _kept(_row(block, word, request_id, by, now), number_seen=number_seen)


def put_away(
    word: str,
    *,
    number_seen: int,
    request_id: UUID,
    by: Person | None,
    now: datetime,
) -> OwnBlock:
    """Take a block off the list. What it was stays, and it can be brought back."""
    kept = block_book.standing(word)
    if kept is None:
        return _again(request_id, word)
    row = OwnBlock(
        word=word,
        name=kept.name,
        lines=kept.lines,
        first_inches=kept.first_inches,
        is_put_away=True,
        kept_at=now,
        kept_by=by,
        request_id=request_id,
    )
    return _kept(row, number_seen=number_seen)


@transaction.atomic
def take_back(keeping: OwnBlock, *, now: datetime) -> OwnBlock:
    """Let a block stand as it was before. Raises KeptSince, BlockNameTaken."""
    keeping = OwnBlock.objects.select_for_update().get(pk=keeping.pk)
    if keeping.taken_back_at is not None:
        return keeping
    if OwnBlock.objects.filter(
        word=keeping.word, number__gt=keeping.number, taken_back_at=None
    ).exists():
        raise KeptSince(keeping.name)
    keeping.taken_back_at = now
    keeping.save(update_fields=["taken_back_at"])
    back = block_book.standing(keeping.word)
    if back is not None:
        _refuse_taken(back.name, back.word)
    return keeping


def first_size(block: Block) -> Fraction:
    """Give the finished size to show a block at: near 2 in a step, and a kind one."""
    usual = USUAL_STEP_INCHES * block.across
    try:
        blocks.cut_list(block, usual)
    except SizeUnkind as unkind:
        return unkind.kind_inches[-1] if unkind.kind_inches else usual
    return usual


def _kept(row: OwnBlock, *, number_seen: int | None) -> OwnBlock:
    """Write a row in its turn, once; ``number_seen`` is the row it goes on from."""
    try:
        with transaction.atomic():
            return _written(row, number_seen)
    except IntegrityError:
        again = OwnBlock.objects.filter(request_id=row.request_id).first()
        if again is None:
            raise ChangedMeanwhile(row.name) from None
        return again


def _written(row: OwnBlock, number_seen: int | None) -> OwnBlock:
    again = OwnBlock.objects.filter(request_id=row.request_id).first()
    if again is not None:
        return again
    stands = block_book.standing(row.word)
    if (stands.number if stands else None) != number_seen:
        if number_seen is None:
            raise BlockNameTaken(row.name, f"the block {row.name} of yours")
        raise ChangedMeanwhile(row.name)
    if not row.is_put_away:
        _refuse_taken(row.name, row.word)
    last = OwnBlock.objects.filter(word=row.word).aggregate(Max("number"))
    row.number = (last["number__max"] or 0) + 1
    row.save()
    return row


def _refuse_taken(name: str, word: str) -> None:
    """Refuse a name that means another block than the one of this word."""
    found = block_book.found(name)
    if found is not None and found.word != word:
        whose = "yours" if found.word else "the trade"
        raise BlockNameTaken(name, f"the block {found.name} of {whose}")


def _named(block: Block, name: str) -> Block:
    return replace(block, name=own_blocks.named(name or block.name))


def _word(name: str) -> str:
    """Make the word for an address. Raises BlockNameEmpty, BlockNameTaken."""
    word = slugify(name)[:WORD_LETTERS].strip("-_")
    if not word:
        raise BlockNameEmpty
    for address in ADDRESSES:
        if resolve(address.format(word)).url_name not in BLOCK_PAGES:
            raise BlockNameTaken(name, "a page of this book")
    return word


def _row(
    block: Block, word: str, request_id: UUID, by: Person | None, now: datetime
) -> OwnBlock:
    return OwnBlock(
        word=word,
        name=block.name,
        lines=own_blocks.lines_of(block),
        first_inches=first_size(block),
        kept_at=now,
        kept_by=by,
        request_id=request_id,
    )


def _again(request_id: UUID, name: str) -> OwnBlock:
    again = OwnBlock.objects.filter(request_id=request_id).first()
    if again is None:
        raise ChangedMeanwhile(name)
    return again
