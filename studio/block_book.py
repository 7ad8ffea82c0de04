"""Every block by name: those laid out here, and those known to the trade."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from django.db.models import Exists, OuterRef, QuerySet

from studio.maths import own_blocks
from studio.maths.known_blocks import (
    KNOWN,
    BlockUnknown,
    KnownBlock,
    known_block,
    words_of,
)
from studio.models import OwnBlock


def all_standing() -> QuerySet[OwnBlock]:
    """Give the newest keeping of every block that is on the list, by name."""
    later = OwnBlock.objects.filter(
        word=OuterRef("word"), number__gt=OuterRef("number"), taken_back_at=None
    )
    newest = OwnBlock.objects.filter(~Exists(later), taken_back_at=None)
    return newest.filter(is_put_away=False).order_by("name", "word")


def standing(word: str) -> OwnBlock | None:
    """Give a block of one's own as it stands, by the word in its address."""
    return all_standing().filter(word=word).first()


def own_listed() -> tuple[KnownBlock, ...]:
    """Give the blocks laid out here, by name."""
    return tuple(map(as_known, all_standing()))


def listed() -> tuple[KnownBlock, ...]:
    """Give every block there is to choose, one's own first."""
    return (*own_listed(), *KNOWN)


def find(name: str) -> KnownBlock:
    """Find a block by its name or its word in an address. Raises BlockUnknown."""
    block = found(name)
    if block is None:
        own = tuple(all_standing().values_list("name", flat=True))
        raise BlockUnknown(name, own)
    return block


def found(name: str) -> KnownBlock | None:
    """Find a block, or nothing. A name of the trade never means another block."""
    try:
        return known_block(name)
    except BlockUnknown:
        return _among(own_listed(), name)


def find_among(own: Sequence[KnownBlock], name: str) -> KnownBlock:
    """Find a block where one's own are read already. Raises BlockUnknown."""
    try:
        return known_block(name)
    except BlockUnknown:
        block = _among(own, name)
        if block is None:
            raise BlockUnknown(name, tuple(one.name for one in own)) from None
        return block


def as_known(keeping: OwnBlock) -> KnownBlock:
    """Give a keeping as a block to be cut and drawn."""
    block = replace(own_blocks.read_block(keeping.lines), name=keeping.name)
    return KnownBlock(block, keeping.first_inches or Fraction(1), keeping.word)


def _among(own: Sequence[KnownBlock], name: str) -> KnownBlock | None:
    wanted = words_of(name)
    for one in own:
        if wanted and wanted in (words_of(one.name), words_of(one.word)):
            return one
    return None
