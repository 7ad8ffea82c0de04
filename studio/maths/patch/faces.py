"""The patches of a unit as they are seen when it is sewn, on a box of width × height.

y runs downward. The areas of the faces of a unit add up to its box. What cloth a
face keeps, seams and all, is the area of its outline moved outward by the seam:

    area = ½ |Σ (x y' − x' y)|, corners in order round the outline
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from studio.maths.patch.recipe import Face
from studio.maths.shapes import CutPoint, Point, moved_outline
from studio.maths.surds import Surd, as_surd

NOUGHT = Fraction(0)


def face(slot: int, *corners: tuple[Fraction | int, Fraction | int]) -> Face:
    """Give a face from its corners."""
    return Face(slot, tuple((Fraction(x), Fraction(y)) for x, y in corners))


def box(
    slot: int,
    left: Fraction | int,
    top: Fraction | int,
    width: Fraction | int,
    height: Fraction | int,
) -> Face:
    """Give a rectangular face."""
    right, base = left + width, top + height
    return face(slot, (left, top), (right, top), (right, base), (left, base))


def whole(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give a unit of one patch."""
    return (box(0, 0, 0, width, height),)


def rails(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give two bars, one above the other."""
    half = height / 2
    return box(0, 0, 0, width, half), box(1, 0, half, width, half)


def four_patch(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give four squares of two cloths."""
    return _chequer(width, height, 2)


def nine_patch(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give nine squares of two cloths, five of the first."""
    return _chequer(width, height, 3)


def _chequer(width: Fraction, height: Fraction, number: int) -> tuple[Face, ...]:
    across, down = width / number, height / number
    return tuple(
        box((x + y) % 2, x * across, y * down, across, down)
        for y in range(number)
        for x in range(number)
    )


def half(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give two triangles, parted from bottom left to top right."""
    return (
        face(0, (0, 0), (width, 0), (0, height)),
        face(1, (width, 0), (width, height), (0, height)),
    )


def quarters(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give an hourglass: the first cloth above and below, the second at the sides."""
    middle = (width / 2, height / 2)
    return (
        face(0, (0, 0), (width, 0), middle),
        face(1, (width, 0), (width, height), middle),
        face(0, (width, height), (0, height), middle),
        face(1, (0, height), (0, 0), middle),
    )


def three_triangles(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give a half triangle, upper left, and two quarter triangles."""
    middle = (width / 2, height / 2)
    return (
        face(0, (0, 0), (width, 0), (0, height)),
        face(1, (width, 0), (width, height), middle),
        face(2, (width, height), (0, height), middle),
    )


def pieced_triangle(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give a large triangle, and three small and one odd one in the other half."""
    w, h = width / 2, height / 2
    return (
        face(0, (0, 0), (width, 0), (0, height)),
        face(2, (width, 0), (width, h), (w, h)),
        face(2, (0, height), (w, h), (w, height)),
        face(2, (w, h), (width, h), (w, height)),
        face(1, (width, h), (width, height), (w, height)),
    )


def geese(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give one goose, tip upward, and its two sky triangles."""
    tip = (width / 2, NOUGHT)
    return (
        face(0, (0, height), tip, (width, height)),
        face(1, (0, 0), tip, (0, height)),
        face(1, tip, (width, 0), (width, height)),
    )


def diamond(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give a square on its tip in a square."""
    top, right = (width / 2, 0), (width, height / 2)
    base, left = (width / 2, height), (0, height / 2)
    return (
        face(0, top, right, base, left),
        face(1, (0, 0), top, left),
        face(1, top, (width, 0), right),
        face(1, right, (width, height), base),
        face(1, left, base, (0, height)),
    )


def economy(width: Fraction, height: Fraction) -> tuple[Face, ...]:
    """Give a square in a square on its tip in a square."""
    x, y = width / 4, height / 4
    corners = tuple(
        Face(one.slot + 1, one.corners) for one in diamond(width, height)[1:]
    )
    return (
        box(0, x, y, 2 * x, 2 * y),
        face(1, (x, y), (2 * x, 0), (3 * x, y)),
        face(1, (3 * x, y), (width, 2 * y), (3 * x, 3 * y)),
        face(1, (3 * x, 3 * y), (2 * x, height), (x, 3 * y)),
        face(1, (x, 3 * y), (0, 2 * y), (x, y)),
        *corners,
    )


def snowball(
    width: Fraction, height: Fraction, leg: Fraction, corners: int
) -> tuple[Face, ...]:
    """Give a base with so many corners flipped: two at the top, or all four."""
    x, y = width - leg, height - leg
    top = [(leg, NOUGHT), (x, NOUGHT), (width, leg)]
    base = (
        [(width, y), (x, height), (leg, height), (NOUGHT, y)]
        if corners == 4
        else [(width, height), (NOUGHT, height)]
    )
    flipped = [
        face(1, (0, 0), (leg, 0), (0, leg)),
        face(1, (x, 0), (width, 0), (width, leg)),
        face(1, (width, y), (width, height), (x, height)),
        face(1, (0, y), (leg, height), (0, height)),
    ]
    outline = _without_repeats([*top, *base, (NOUGHT, leg)])
    return face(0, *outline), *flipped[:corners]


def area(corners: Sequence[CutPoint | Point]) -> Surd:
    """Give the area inside corners that go round, whichever way."""
    turned = Surd()
    for n, (x, y) in enumerate(corners):
        before_x, before_y = corners[n - 1]
        turned += as_surd(before_x) * as_surd(y) - as_surd(x) * as_surd(before_y)
    return turned / 2 if turned.bounds()[0] >= 0 else turned / -2


def kept(faces: Iterable[Face], seam_inches: Fraction) -> Surd:
    """Give the cloth that faces keep, seams and all, in square inches."""
    return sum((_kept_by(one, seam_inches) for one in faces), Surd())


def _kept_by(one: Face, seam: Fraction) -> Surd:
    upward = tuple((x, -y) for x, y in one.corners)
    if _signed(upward) < 0:
        upward = upward[::-1]
    return area(moved_outline(upward, seam))


def _signed(corners: Sequence[Point]) -> Fraction:
    return sum(
        (
            corners[n - 1][0] * y - x * corners[n - 1][1]
            for n, (x, y) in enumerate(corners)
        ),
        NOUGHT,
    )


def _without_repeats(corners: Sequence[Point]) -> list[Point]:
    return [point for n, point in enumerate(corners) if point != corners[n - 1]]
