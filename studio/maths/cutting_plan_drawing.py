"""A cutting plan drawn to scale: each piece with a letter, cuts and scraps in grey.

One inch is ten units. A bolt is drawn once, its width across; pre-cut pieces stand
side by side, a few to a row. Letters and greys tell the pieces apart without colour.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from studio.lengths import show_inches
from studio.maths import svg
from studio.maths.cutting_plan_values import Placement, Plan
from studio.maths.cutting_plan_words import answer

SCALE = 10
EDGE = Fraction(12)
LINE = Fraction(16)
ROOM_ACROSS = Fraction(900)
LEAST_WIDTH = Fraction(320)
GREYS = ("#ffffff", "#dddde3", "#ececf1", "#c9cad3", "#f5f5f8", "#b8bac6")
CLOTH = "#f1ece0"
MOST_LETTER_INCHES = Fraction(12, 5)


def drawing(plan: Plan) -> str:
    """Draw the plan with its letters explained below it."""
    names = list(dict.fromkeys(place.name for place in plan.placements))
    letters = {name: _letter(number) for number, name in enumerate(names)}
    width, height, columns = _field(plan)
    key = [f"{letters[name]} {_described(plan, name)}" for name in names]
    below = height + LINE
    body = [
        *_cloths(plan, columns),
        *_pieces(plan, columns, letters),
        *(
            svg.text(words, EDGE, below + number * LINE, Fraction(12))
            for number, words in enumerate(key)
        ),
    ]
    tall = below + len(key) * LINE + EDGE
    wide = max(width, LEAST_WIDTH)
    return svg.picture(
        "Cutting plan",
        f"{answer(plan)} {'; '.join(key)}.",
        body,
        box=(wide, tall),
        size_px=(ceil(wide), ceil(tall)),
    )


def _field(plan: Plan) -> tuple[Fraction, Fraction, int]:
    """Give the width and height of all cloths, and how many stand in a row."""
    width, height = _stride(plan)
    columns = max(1, min(plan.stocks, int((ROOM_ACROSS - EDGE) // width)))
    rows = -(-plan.stocks // columns)
    return EDGE + columns * width, EDGE + rows * height, columns


def _stride(plan: Plan) -> tuple[Fraction, Fraction]:
    width, height = plan.size_inches
    return width * SCALE + EDGE, height * SCALE + EDGE


def _corner(plan: Plan, stock: int, columns: int) -> tuple[Fraction, Fraction]:
    row, column = divmod(stock, columns)
    width, height = _stride(plan)
    return EDGE + column * width, EDGE + row * height


def _cloths(plan: Plan, columns: int) -> Iterator[str]:
    width, height = plan.size_inches
    for stock in range(plan.stocks):
        x, y = _corner(plan, stock, columns)
        yield svg.mark(
            "rect",
            x=x,
            y=y,
            width=width * SCALE,
            height=height * SCALE,
            fill=CLOTH,
            stroke=svg.INK,
            stroke_width=1,
            stroke_dasharray="4 3",
        )


def _pieces(plan: Plan, columns: int, letters: dict[str, str]) -> Iterator[str]:
    order = {name: number for number, name in enumerate(letters)}
    for place in plan.placements:
        left, top = _corner(plan, place.stock, columns)
        x, y = left + place.x_inches * SCALE, top + place.y_inches * SCALE
        yield svg.mark(
            "rect",
            x=x,
            y=y,
            width=place.width_inches * SCALE,
            height=place.height_inches * SCALE,
            fill=GREYS[order[place.name] % len(GREYS)],
            stroke=svg.INK,
            stroke_width=Fraction(1, 2),
        )
        yield _named(place, x, y, letters[place.name])


def _named(place: Placement, x: Fraction, y: Fraction, letter: str) -> str:
    side = min(place.width_inches, place.height_inches, MOST_LETTER_INCHES)
    size = side * SCALE * 6 / 10
    return svg.text(
        letter,
        x + place.width_inches * SCALE / 2,
        y + place.height_inches * SCALE / 2 + size * 35 / 100,
        size,
        text_anchor="middle",
    )


def _described(plan: Plan, name: str) -> str:
    alike = [place for place in plan.placements if place.name == name]
    sides = alike[0].width_inches, alike[0].height_inches
    if alike[0].is_turned:
        sides = sides[1], sides[0]
    size = " × ".join(show_inches(side) for side in sides)
    return f"{name}: {len(alike)} of {size} in"


def _letter(number: int) -> str:
    """Name by letters: A to Z, then AA, AB …"""
    more, last = divmod(number, 26)
    return (_letter(more - 1) if more else "") + chr(ord("A") + last)
