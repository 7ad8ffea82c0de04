"""The patches that blocks are made of, by name, and the ways to make each.

A patch has slots, each of which takes a role of cloth, an outline for its box (a
square, two steps by one, or any bar), and its ways, the usual one first. The sizes
are in `studio.maths.patch`; nothing here adds or rounds.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, partial
from typing import Literal

from studio.errors import StudioError
from studio.maths.finished_sizes import checked_finished
from studio.maths.patch import (
    eight_points,
    faces,
    framed,
    geese,
    halves,
    plain,
    quarters,
)
from studio.maths.patch.recipe import USUAL, Face, Making, Recipe

Way = Callable[[Fraction, Fraction, Making], Recipe]
Box = Literal["square", "two by one", "any"]


class PatchUnknown(StudioError):
    """A name that no patch has."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)

    def __str__(self) -> str:
        known = ", ".join(PATCHES)
        return f"“{self.name}” is no patch known here. Write one of: {known}."


class WayUnknown(StudioError):
    """A way that a patch is not made in."""

    def __init__(self, patch: Patch, way: str) -> None:
        self.patch = patch
        self.way = way
        super().__init__(patch, way)

    def __str__(self) -> str:
        known = ", ".join(self.patch.way_names)
        return f"“{self.way}” is no way to make a {self.patch.name}. Choose one of: {known}."


class BoxUnfit(StudioError):
    """A patch in a box that it does not fill."""

    def __init__(self, patch: Patch, width: Fraction, height: Fraction) -> None:
        self.patch = patch
        self.width = width
        self.height = height
        super().__init__(patch, width, height)

    def __str__(self) -> str:
        needs = {
            "square": "as wide as it is high",
            "two by one": "twice as wide as it is high",
        }
        return (
            f"The {self.patch.name} is {needs[self.patch.box]} before it is turned. "
            f"Here it is {self.width} by {self.height} steps."
        )


@dataclass(frozen=True)
class Patch:
    """One kind of patch.

    ``turns_over`` says that turning it half round swaps its two slots, so that both
    come from the same batch.
    """

    name: str
    slots: tuple[str, ...]
    box: Box
    layout: Callable[[Fraction, Fraction], tuple[Face, ...]]
    ways: tuple[tuple[str, Way], ...]
    turns_over: bool = False

    @property
    def way_names(self) -> tuple[str, ...]:
        return tuple(name for name, _ in self.ways)

    def checked_box(self, width: Fraction, height: Fraction) -> None:
        """Refuse a box that the patch cannot fill."""
        times = {"square": 1, "two by one": 2}.get(self.box)
        if times is not None and width != times * height:
            raise BoxUnfit(self, width, height)

    def recipe(
        self,
        width_inches: Fraction,
        height_inches: Fraction,
        making: Making = USUAL,
        way: str = "",
    ) -> Recipe:
        """Give the recipe at a finished size, in the usual way unless one is named."""
        self.checked_box(width_inches, height_inches)
        for name, make in self.ways:
            if way in ("", name):
                return make(width_inches, height_inches, making)
        raise WayUnknown(self, way)


def _square(make: Callable[[Fraction, Making], Recipe]) -> Way:
    return lambda width, height, making: make(width, making)


def _by_height(make: Callable[[Fraction, Making], Recipe]) -> Way:
    return lambda width, height, making: make(height, making)


SQUARE = Patch("square", ("cloth",), "square", faces.whole, (("cut", plain.bar),))
BAR = Patch("bar", ("cloth",), "any", faces.whole, (("cut", plain.bar),))
RAILS = Patch(
    "rails", ("outer", "inner"), "square", faces.rails, (("sewn", plain.rails),)
)
FOUR_PATCH = Patch(
    "four-patch",
    ("first", "second"),
    "square",
    faces.four_patch,
    (("squares", _square(plain.four_patch)),),
)
NINE_PATCH = Patch(
    "nine-patch",
    ("first", "second"),
    "square",
    faces.nine_patch,
    (
        ("squares", _square(plain.nine_patch)),
        ("strips without waste", _square(plain.nine_patch_from_strips)),
    ),
)
HALF = Patch(
    "half-square triangle",
    ("upper left", "lower right"),
    "square",
    faces.half,
    (
        ("two at a time", _square(halves.two_at_a_time)),
        ("four at a time", _square(halves.four_at_a_time)),
        ("eight at a time", _square(halves.eight_at_a_time)),
        ("cut triangles", _square(halves.cut_triangles)),
    ),
    turns_over=True,
)
HOURGLASS = Patch(
    "hourglass",
    ("above and below", "sides"),
    "square",
    faces.quarters,
    (
        ("two at a time", _square(quarters.hourglass)),
        ("cut triangles", _square(quarters.cut_quarters)),
    ),
    turns_over=True,
)
THREE_TRIANGLES = Patch(
    "three triangles",
    ("half", "right quarter", "lower quarter"),
    "square",
    faces.three_triangles,
    (("cut triangles", _square(quarters.three_triangles)),),
)
PIECED_TRIANGLE = Patch(
    "pieced triangle",
    ("large", "odd", "small"),
    "square",
    faces.pieced_triangle,
    (("cut triangles", _square(quarters.pieced_triangle)),),
)
GEESE = Patch(
    "flying geese",
    ("goose", "sky"),
    "two by one",
    faces.geese,
    (
        ("four at a time", _by_height(geese.four_at_a_time)),
        ("stitch and flip", _by_height(geese.stitch_and_flip)),
        ("cut triangles", _by_height(geese.cut_triangles)),
        ("two squares", _by_height(geese.two_squares)),
    ),
)
DIAMOND = Patch(
    "diamond in a square",
    ("centre", "corners"),
    "square",
    faces.diamond,
    (
        ("triangles", _square(framed.diamond)),
        ("stitch and flip", _square(framed.diamond_flipped)),
        ("two from one square of each", _square(framed.diamond_from_one_square)),
    ),
)
ECONOMY = Patch(
    "economy",
    ("centre", "inner", "outer"),
    "square",
    faces.economy,
    (("triangles", _square(framed.economy)),),
)
EIGHT_POINTS = Patch(
    "eight-point star",
    ("diamond", "second diamond", "ground"),
    "square",
    eight_points.layout,
    (("diamonds", _square(eight_points.eight_point_star)),),
)


@cache
def flipped_corners(share: Fraction = framed.THIRD, corners: int = 4) -> Patch:
    """Give a base with corners flipped, whose legs are this share of its width."""
    return Patch(
        "snowball" if corners == 4 else "flipped top corners",
        ("base", "corners"),
        "any",
        partial(_flipped_faces, share, corners),
        (("stitch and flip", partial(_flipped_recipe, share, corners)),),
    )


def _flipped_faces(
    share: Fraction, corners: int, width: Fraction, height: Fraction
) -> tuple[Face, ...]:
    return faces.snowball(width, height, width * share, corners)


def _flipped_recipe(
    share: Fraction,
    corners: int,
    width: Fraction,
    height: Fraction,
    making: Making,
) -> Recipe:
    return framed.flipped_corners(width, height, width * share, corners, making)


SNOWBALL = flipped_corners()
LOBE = flipped_corners(framed.THIRD, 2)

PATCHES = {
    patch.name: patch
    for patch in (
        SQUARE,
        BAR,
        RAILS,
        FOUR_PATCH,
        NINE_PATCH,
        HALF,
        HOURGLASS,
        THREE_TRIANGLES,
        PIECED_TRIANGLE,
        GEESE,
        DIAMOND,
        ECONOMY,
        SNOWBALL,
        LOBE,
        EIGHT_POINTS,
    )
}


def patch_named(name: str) -> Patch:
    """Find a patch by its name, however it is spaced or capitalised."""
    found = PATCHES.get(" ".join(name.lower().split()))
    if found is None:
        raise PatchUnknown(name.strip())
    return found


def recipe(
    name: str,
    width_inches: Fraction,
    height_inches: Fraction,
    making: Making = USUAL,
    way: str = "",
) -> Recipe:
    """Give the recipe of a patch at a size as a maker asks for it, all checked."""
    patch = patch_named(name)
    for side in (width_inches, height_inches):
        checked_finished(patch.name, side, making.ruler)
    return patch.recipe(width_inches, height_inches, making, way)
