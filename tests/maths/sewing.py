"""Sewing a unit together on paper: what its cut pieces finish at, by plain trigonometry.

Nothing here is taken from the studio's own sums. A triangle loses a seam and the
cotangent of half its angle at every corner: 45 degrees cot 22.5, 90 degrees 1.
"""

from __future__ import annotations

import math

ROOT_2 = math.sqrt(2)
COT_EIGHTH = 1 / math.tan(math.radians(22.5))
LEG = 1 + COT_EIGHTH
LONG = 2 * COT_EIGHTH


def sides(recipe):
    """Give the cut sizes by name of piece; pieces of one name are alike."""
    return {
        piece.name: (float(piece.width_inches), float(piece.height_inches))
        for piece in recipe.pieces
    }


def leg(square, seam):
    """Half a square, cut once: what its legs finish at."""
    return square - seam * LEG


def long_side(square, seam):
    """A quarter of a square, cut twice: what its long side finishes at."""
    return square - seam * LONG


def finished(recipe, seam):
    """Every size that the pieces ask of the finished unit: (width, height), in inches.

    They are alike where the pieces fit each other.
    """
    return WAYS[recipe.unit, recipe.method](sides(recipe), recipe, seam)


def _square(side):
    return (side, side)


def _plain(cut, recipe, seam):
    return [tuple(side - 2 * seam for side in size) for size in cut.values()]


def _rails(cut, recipe, seam):
    widths = {width - 2 * seam for width, _ in cut.values()}
    return [(w, sum(h - 2 * seam for _, h in cut.values())) for w in widths]


def _chequered(number):
    def sewn(cut, recipe, seam):
        assert sum(piece.count for piece in recipe.pieces) == number**2
        return [_square(number * (w - 2 * seam)) for w, _ in cut.values()]

    return sewn


def _strips(cut, recipe, seam):
    (strip, long), (more, _) = cut["strip, four squares long"], cut["square more"]
    assert (long, more) == (4 * strip, strip)
    assert sum(piece.count for piece in recipe.pieces) == 3
    return [_square(3 * (strip - 2 * seam))]


def _half(cut, recipe, seam):
    return [_square(leg(side, seam)) for side, _ in cut.values()]


def _eight(cut, recipe, seam):
    return [_square(leg(side / 2, seam)) for side, _ in cut.values()]


def _all_round(cut, recipe, seam):
    return [_square((side - 2 * seam) / ROOT_2 - 2 * seam) for side, _ in cut.values()]


def _hourglass(cut, recipe, seam):
    return [_square(long_side(side, seam)) for side, _ in cut.values()]


def _three(cut, recipe, seam):
    return [
        _square(long_side(cut["quarter-triangle square"][0], seam)),
        _square(leg(cut["half-triangle square"][0], seam)),
    ]


def _pieced(cut, recipe, seam):
    return [
        _square(leg(cut["large triangle square"][0], seam)),
        _square(2 * leg(cut["odd triangle square"][0], seam)),
        _square(2 * leg(cut["small triangle square"][0], seam)),
    ]


def _geese(cut, recipe, seam):
    wide = long_side(cut["goose square"][0], seam)
    high = leg(cut["sky square"][0], seam)
    return [(wide, wide / 2), (2 * high, high)]


def _geese_flipped(cut, recipe, seam):
    goose = tuple(side - 2 * seam for side in cut["goose rectangle"])
    wing = cut["sky square"][0] - 2 * seam
    return [goose, (2 * wing, wing)]


def _geese_of_two(cut, recipe, seam):
    """The tip lies G/2 − s√2 from the raw base, and two tips (S − G)/2 apart."""
    goose, sky = cut["goose square"][0], cut["sky square"][0]
    assert (sky - goose) / 2 >= 2 * seam
    high = goose / 2 - seam * ROOT_2 - seam
    return [(2 * high, high)]


def _diamond(cut, recipe, seam):
    return [
        _square(ROOT_2 * (cut["centre square"][0] - 2 * seam)),
        _square(2 * leg(cut["corner square"][0], seam)),
    ]


def _diamond_flipped(cut, recipe, seam):
    return [
        _square(cut["base square"][0] - 2 * seam),
        _square(2 * (cut["corner square"][0] - 2 * seam)),
    ]


def _diamond_of_one(cut, recipe, seam):
    """Raw corner to raw corner: the centre A/√2 − 2s, and two altitudes A/(2√2) − s."""
    side = cut["square"][0]
    across = (side / ROOT_2 - 2 * seam) + 2 * (side / (2 * ROOT_2) - seam)
    return [_square(across * ROOT_2 / 2 - 2 * seam)]


def _economy(cut, recipe, seam):
    return [
        _square(2 * (cut["centre square"][0] - 2 * seam)),
        _square(2 * ROOT_2 * leg(cut["inner triangle square"][0], seam)),
        _square(2 * leg(cut["outer triangle square"][0], seam)),
    ]


def _flipped_corners(cut, recipe, seam):
    base = cut.get("base square") or cut["base rectangle"]
    width, height = (side - 2 * seam for side in base)
    share = 3 * (cut["corner square"][0] - 2 * seam)
    return [(width, height), (share, share * height / width)]


def _eight_points(cut, recipe, seam):
    """Block from the corner square, from the strip, and from the side triangle."""
    length, strip = cut["diamond strip"]
    assert length >= 4 * strip * ROOT_2 + strip
    return [
        _square((cut["corner square"][0] - 2 * seam) * (2 + ROOT_2)),
        _square((strip - 2 * seam) * 2 / (ROOT_2 - 1)),
        _square(long_side(cut["side-triangle square"][0], seam) / (ROOT_2 - 1)),
    ]


def _setting(cut, recipe, seam):
    """The block that a side triangle and a corner triangle lie along."""
    return [
        _square(long_side(cut["side-triangle square"][0], seam) / ROOT_2),
        _square(leg(cut["corner-triangle square"][0], seam) * ROOT_2),
    ]


WAYS = {
    ("square", "as it is"): _plain,
    ("bar", "as it is"): _plain,
    ("rails", "as it is"): _rails,
    ("four-patch", "as it is"): _chequered(2),
    ("nine-patch", "as it is"): _chequered(3),
    ("nine-patch", "strips without waste"): _strips,
    ("half-square triangle", "two at a time"): _half,
    ("half-square triangle", "cut triangles"): _half,
    ("half-square triangle", "eight at a time"): _eight,
    ("half-square triangle", "four at a time"): _all_round,
    ("quarter-square triangle", "two at a time"): _hourglass,
    ("quarter-square triangle", "cut triangles"): _hourglass,
    ("three-triangle unit", "cut triangles"): _three,
    ("pieced triangle", "cut triangles"): _pieced,
    ("flying geese", "four at a time"): _geese,
    ("flying geese", "cut triangles"): _geese,
    ("flying geese", "stitch and flip"): _geese_flipped,
    ("flying geese", "two squares"): _geese_of_two,
    ("diamond in a square", "triangles"): _diamond,
    ("diamond in a square", "stitch and flip"): _diamond_flipped,
    ("diamond in a square", "two from one square of each"): _diamond_of_one,
    ("economy", "triangles"): _economy,
    ("snowball", "stitch and flip"): _flipped_corners,
    ("flipped corners", "stitch and flip"): _flipped_corners,
    ("eight-point star", "diamonds"): _eight_points,
    ("setting triangles", "on point"): _setting,
}


# What one cut piece covers of the finished unit, by what happens to it.
def covered(piece, method, seam):
    """Give the finished area of one cut piece; what is flipped over covers nothing."""
    width, height = float(piece.width_inches), float(piece.height_inches)
    kind = piece.then.split(" ")[0:2] if piece.then else [piece.name, method]
    return AREAS[" ".join(kind)](width, height, seam)


def _plain_area(width, height, seam):
    return (width - 2 * seam) * (height - 2 * seam)


def _strip_area(width, height, seam):
    short, long = sorted((width, height))
    return round(long / short) * (short - 2 * seam) ** 2


def _diamonds_area(width, height, seam):
    return 4 * ROOT_2 * (min(width, height) - 2 * seam) ** 2


AREAS = {
    "cut once": lambda w, h, s: leg(w, s) ** 2,
    "cut twice": lambda w, h, s: long_side(w, s) ** 2,
    "sewn across": lambda w, h, s: 0,
    "cut across": _diamonds_area,
    "triangle square two at a time": lambda w, h, s: leg(w, s) ** 2,
    "triangle square eight at a time": lambda w, h, s: 4 * leg(w / 2, s) ** 2,
    "triangle square four at a time": lambda w, h, s: (
        2 * ((w - 2 * s) / ROOT_2 - 2 * s) ** 2
    ),
    "quarter-triangle square two at a time": lambda w, h, s: long_side(w, s) ** 2,
    "goose square four at a time": lambda w, h, s: long_side(w, s) ** 2,
    "sky square four at a time": lambda w, h, s: leg(w, s) ** 2,
    "strip, four squares long strips without waste": _strip_area,
    "square more strips without waste": _plain_area,
    "square two from one square of each": lambda w, h, s: (
        (w - 2 * ROOT_2 * s - 2 * s) ** 2
    ),
} | {
    f"{name} {method}": _plain_area
    for name in (
        "square",
        "bar",
        "outer bar",
        "inner bar",
        "goose rectangle",
        "centre square",
        "base square",
        "base rectangle",
        "corner square",
    )
    for method in ("as it is", "stitch and flip", "triangles", "diamonds")
}
