"""A checker that lays a sheet out again, knowing nothing of how it was found."""

from collections import Counter
from itertools import combinations


def faults(laid, sheet):
    """Pieces over the edge, and pairs nearer than the gap both ways."""
    for one in laid:
        if min(one.x_mm, one.y_mm) < sheet.edge_mm:
            yield "over the near edge", one
        if one.x_mm + one.width_mm > sheet.width_mm - sheet.edge_mm:
            yield "over the right edge", one
        if one.y_mm + one.height_mm > sheet.height_mm - sheet.edge_mm:
            yield "over the bottom edge", one
    for one, other in combinations(laid, 2):
        if one.stock == other.stock and _distance(one, other) < sheet.gap_mm:
            yield "too near", one, other


def wrong_pieces(laid, pieces, sets):
    """What is missing, over, of another size or turned where it may not be."""
    wanted = Counter()
    for piece in pieces:
        wanted[piece.name] += piece.count * sets
    found = Counter(one.name for one in laid)
    if found != wanted:
        yield "counts", found - wanted, wanted - found
    sizes = {piece.name: piece for piece in pieces}
    for one in laid:
        piece = sizes[one.name]
        size = (piece.width_mm, piece.height_mm)
        lies = (one.width_mm, one.height_mm)
        if (lies[::-1] if one.turned else lies) != size:
            yield "size", one
        if one.turned and not piece.turns:
            yield "turned", one


def _distance(one, other):
    beside = max(
        other.x_mm - one.x_mm - one.width_mm, one.x_mm - other.x_mm - other.width_mm
    )
    below = max(
        other.y_mm - one.y_mm - one.height_mm, one.y_mm - other.y_mm - other.height_mm
    )
    return max(beside, below)
