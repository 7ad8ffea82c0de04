"""The way from a block's pieces to the page that lays them on acrylic sheets."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from urllib.parse import urlencode

from django.urls import reverse

from studio.maths.template_sets import SetPiece


def sheet_address(pieces: Iterable[tuple[str, SetPiece, int]]) -> str:
    """Return the address that lays pieces out, each by name, size and how many a set.

    A piece that is in the book goes by its code, so that the layout gives that item.
    """
    lines = [
        ", ".join((name.replace(",", " "), *map(plainly, piece.size), str(count)))
        for name, piece, count in pieces
    ]
    query = urlencode({"pieces": "\n".join(lines)})
    return f"{reverse('production:sheet_lay')}?{query}"


def plainly(inches: Fraction) -> str:
    """Write inches without a glyph, as they are typed: ``4 5/8``."""
    whole, rest = divmod(inches, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)
