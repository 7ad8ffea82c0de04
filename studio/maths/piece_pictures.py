"""Pieces that were found, drawn to one scale over the piece that is wanted.

The found piece is filled, the wanted one a dashed line on the same lower left corner,
so that what differs is seen at the upper and right edges.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from studio.lengths import show_inches
from studio.maths import drawing, svg
from studio.maths.drawing import EDGE, GLASS, STITCH
from studio.maths.piece_finding import KnownPiece, Match
from studio.maths.shapes import Point

LARGEST_PX = 120
_MARGIN = 3


def common_scale(pieces: Iterable[KnownPiece]) -> Fraction:
    """Give pixels to an inch, so that the largest side of all is so many pixels."""
    longest = max(max(one.width_inches, one.height_inches) for one in pieces)
    return Fraction(LARGEST_PX) / longest


def match_svg(match: Match, scale: Fraction) -> str:
    """Draw a found piece and, over it, the outline of the one that is wanted."""
    wanted = _turned(match.wanted) if match.turned else match.wanted
    width = max(match.found.width_inches, wanted.width_inches) * scale + 2 * _MARGIN
    height = max(match.found.height_inches, wanted.height_inches) * scale + 2 * _MARGIN
    found = svg.mark(
        "path", d=_path(match.found, scale, height), fill=GLASS, stroke=EDGE
    )
    dashed = svg.mark(
        "path",
        d=_path(wanted, scale, height),
        fill="none",
        stroke=STITCH,
        stroke_dasharray="4 2.5",
    )
    return svg.picture(
        f"{match.found.name}, beside the size that is wanted",
        f"{_size(match.found)}; wanted, dashed: {_size(match.wanted)}.",
        [found, dashed],
        box=(width, height),
        size_px=(int(width) + 1, int(height) + 1),
    )


def _path(piece: KnownPiece, scale: Fraction, height: Fraction) -> str:
    spots = (
        f"{svg.plain(x * scale + _MARGIN)} {svg.plain(height - _MARGIN - y * scale)}"
        for x, y in _corners(piece)
    )
    return f"M{'L'.join(spots)}Z"


def _corners(piece: KnownPiece) -> tuple[Point, ...]:
    wide, high = piece.width_inches, piece.height_inches
    if piece.narrow_inches is None:
        return drawing.bar_piece(piece.name, wide, high).outline
    return drawing.tapered_piece(piece.name, wide, piece.narrow_inches, high).outline


def _turned(piece: KnownPiece) -> KnownPiece:
    return KnownPiece(piece.name, piece.height_inches, piece.width_inches)


def _size(piece: KnownPiece) -> str:
    size = f"{show_inches(piece.width_inches)} × {show_inches(piece.height_inches)} in"
    if piece.narrow_inches is None:
        return size
    return f"{size}, {show_inches(piece.narrow_inches)} in at its short side"
