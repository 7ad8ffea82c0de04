"""A cutting plan drawn to scale: letters for pieces, numbers for cuts, scraps to keep.

    one inch = ten units of the drawing, in every part of a plan

Letters and greys tell the pieces apart without colour. A number stands beside the line
that is cut, wherever there is room for it; a scrap worth keeping has a dashed edge.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import ceil

from studio.lengths import MM_IN_AN_INCH
from studio.maths import svg
from studio.maths.cutting_plan_parts import Part, parts_of
from studio.maths.cutting_plan_values import STRIP, Cut, Placement, Plan, Scrap
from studio.maths.cutting_plan_words import USEFUL_INCHES, answer, heading
from studio.maths.ruler_marks import by

SCALE = 10
EDGE = Fraction(12)
LINE = Fraction(16)
ROOM_ACROSS = Fraction(900)
LEAST_WIDTH = Fraction(320)
GREYS = ("#ffffff", "#dddde3", "#ececf1", "#c9cad3", "#f5f5f8", "#b8bac6")
CLOTH = "#f1ece0"
MOST_LETTER_INCHES = Fraction(12, 5)
NUMBER_INCHES = Fraction(3, 5)
# A piece this small has no room for the number of a cut beside its letter.
LEAST_NUMBERED = Fraction(7, 4)
SHADE = Fraction(1, 2)


Piece = tuple[str, Fraction, Fraction]


def letters_of(plan: Plan) -> dict[Piece, str]:
    """Give each piece its letter, by name and size, in order of first sight."""
    pieces = dict.fromkeys(map(_piece_of, plan.placements))
    return {piece: _letter(number) for number, piece in enumerate(pieces)}


def key_lines(plan: Plan) -> tuple[str, ...]:
    """Explain the letters: ``A Point: 30 of 4 × 4 in``."""
    counts = Counter(map(_piece_of, plan.placements))
    return tuple(
        f"{letter} {piece[0]}: {counts[piece]} of {by(*piece[1:])}"
        for piece, letter in letters_of(plan).items()
    )


def drawing(plan: Plan) -> str:
    """Draw the whole plan with its letters explained below it."""
    parts, letters, key = parts_of(plan), letters_of(plan), key_lines(plan)
    wide, tall = parts[0].width_inches * SCALE + EDGE, LINE + EDGE
    columns = max(1, min(len(parts), int((ROOM_ACROSS - EDGE) // wide)))
    tall += max(part.height_inches for part in parts) * SCALE
    below = EDGE + -(-len(parts) // columns) * tall + LINE
    body = []
    for number, part in enumerate(parts):
        row, column = divmod(number, columns)
        x, y = EDGE + column * wide, EDGE + row * tall
        body.append(svg.text(heading(plan, part), x, y + LINE - 4, Fraction(12)))
        place = f"translate({svg.plain(x)} {svg.plain(y + LINE)})"
        body.append(svg.group(_marks(part, letters), transform=place))
    body += [
        svg.text(words, EDGE, below + number * LINE, Fraction(12))
        for number, words in enumerate(key)
    ]
    box = max(EDGE + columns * wide, LEAST_WIDTH), below + len(key) * LINE + EDGE
    return svg.picture(
        "Cutting plan",
        f"{answer(plan)} {'; '.join(key)}.",
        body,
        box=box,
        size_px=(ceil(box[0]), ceil(box[1])),
    )


def part_drawing(
    plan: Plan, part: Part, *, one_to: int | None = None, title: str = "Cutting plan"
) -> str:
    """Draw one part: at 1 to so many on paper, or ten pixels to an inch on a screen."""
    box = part.width_inches * SCALE + 2, part.height_inches * SCALE + 2
    marks = _marks(part, letters_of(plan))
    size = ceil(box[0]), ceil(box[1])
    drawn = svg.picture(
        title,
        "; ".join(key_lines(plan)),
        [svg.group(marks, transform="translate(1 1)")],
        box=box,
        size_px=size,
    )
    if one_to is None:
        return drawn
    # Paper is measured in millimetres, so that its scale is true.
    width, height = (svg.plain(side * MM_IN_AN_INCH / SCALE / one_to) for side in box)
    return drawn.replace(
        f'width="{size[0]}" height="{size[1]}"',
        f'width="{width}mm" height="{height}mm"',
        1,
    )


def _marks(part: Part, letters: dict[Piece, str]) -> list[str]:
    kept = [scrap for scrap in part.scraps if scrap.holds(USEFUL_INCHES)]
    return [
        _box(part.width_inches, part.height_inches),
        *_scraps(part, kept),
        *_pieces(part, letters),
        svg.group(_numbers(part), font_size=NUMBER_INCHES * SCALE, fill=svg.INK),
    ]


def _box(width: Fraction, height: Fraction) -> str:
    return svg.mark(
        "rect",
        width=width * SCALE,
        height=height * SCALE,
        fill=CLOTH,
        stroke=svg.INK,
        stroke_width=1,
    )


def _scraps(part: Part, kept: Sequence[Scrap]) -> Iterator[str]:
    for scrap in kept:
        x, y = scrap.x_inches * SCALE, (scrap.y_inches - part.low_inches) * SCALE
        width, height = scrap.width_inches * SCALE, scrap.height_inches * SCALE
        inset = Fraction(2)
        edge = _box_path(x + inset, y + inset, width - 2 * inset, height - 2 * inset)
        yield svg.mark(
            "path", d=edge, fill="none", stroke=svg.INK, stroke_dasharray="4 3"
        )
        yield svg.text(
            "keep", x + width / 2, y + height / 2 + 3, Fraction(9), text_anchor="middle"
        )


def _pieces(part: Part, letters: dict[Piece, str]) -> Iterator[str]:
    for number, (piece, letter) in enumerate(letters.items()):
        here = [place for place in part.placements if _piece_of(place) == piece]
        if here:
            # One mark for all of a name: a long list would weigh too much otherwise.
            yield svg.mark(
                "path",
                d="".join(_outline(place, part) for place in here),
                fill=GREYS[number % len(GREYS)],
                stroke=svg.INK,
                stroke_width=SHADE,
            )
            size = _letter_size(here[0])
            yield svg.group(
                (_named(place, part, letter, size) for place in here),
                fill=svg.INK,
                font_size=size,
                text_anchor="middle",
            )


def _outline(place: Placement, part: Part) -> str:
    x, y = place.x_inches, place.y_inches - part.low_inches
    width, height = place.width_inches, place.height_inches
    return _box_path(x * SCALE, y * SCALE, width * SCALE, height * SCALE)


def _box_path(x: Fraction, y: Fraction, width: Fraction, height: Fraction) -> str:
    corner = f"M{svg.plain(x)} {svg.plain(y)}"
    wide, high = svg.plain(width), svg.plain(height)
    return f"{corner}h{wide}v{high}h-{wide}z"


def _letter_size(place: Placement) -> Fraction:
    side = min(place.width_inches, place.height_inches, MOST_LETTER_INCHES)
    return side * SCALE / 2


def _named(place: Placement, part: Part, letter: str, size: Fraction) -> str:
    x = (place.x_inches + place.width_inches / 2) * SCALE
    y = (place.y_inches - part.low_inches + place.height_inches / 2) * SCALE
    down = y + size * 35 / 100
    return f'<text x="{svg.plain(x)}" y="{svg.plain(down)}">{letter}</text>'


def _numbers(part: Part) -> Iterator[str]:
    """Number the cuts beside their lines: strips where they begin or end."""
    for cut in part.cuts:
        x, y = cut.to_inches
        if cut.is_across:
            x = cut.from_inches[0] + Fraction(1, 8)
            y -= Fraction(1, 8)
        if cut.step == STRIP and cut.is_across:
            yield _number(cut, x, y - part.low_inches)
        elif cut.step == STRIP:
            near, low = x - Fraction(1, 8), y - part.low_inches - Fraction(1, 8)
            yield _number(cut, near, low, at_end=True)
        elif _room(cut) >= LEAST_NUMBERED:
            near = x if cut.is_across else x - Fraction(1, 8)
            below = Fraction(0) if cut.is_across else NUMBER_INCHES + Fraction(1, 8)
            top = y if cut.is_across else cut.from_inches[1] + below
            yield _number(cut, near, top - part.low_inches, at_end=not cut.is_across)


def _room(cut: Cut) -> Fraction:
    length = max(
        cut.to_inches[0] - cut.from_inches[0], cut.to_inches[1] - cut.from_inches[1]
    )
    return min(length, cut.measure_inches)


def _number(cut: Cut, x: Fraction, y: Fraction, *, at_end: bool = False) -> str:
    anchor = ' text-anchor="end"' if at_end else ""
    place = f'x="{svg.plain(x * SCALE)}" y="{svg.plain(y * SCALE)}"'
    return f"<text {place}{anchor}>{cut.number}</text>"


def _piece_of(place: Placement) -> Piece:
    """Give name and size of a piece as it was asked for, before any turning."""
    sides = place.width_inches, place.height_inches
    width, height = reversed(sides) if place.is_turned else sides
    return place.name, width, height


def _letter(number: int) -> str:
    """Name by letters: A to Z, then AA, AB …"""
    more, last = divmod(number, 26)
    return (_letter(more - 1) if more else "") + chr(ord("A") + last)
