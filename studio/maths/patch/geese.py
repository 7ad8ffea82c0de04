"""Flying geese: a finished goose is W × h with W = 2h, and s the seam.

    four at a time    one square L = W + s(2 + 2√2), four squares q = h + s(2 + √2)
                      2q − L = 2s exactly: the sky squares overlap by two seams
    stitch and flip   one bar (W + 2s) × (h + 2s), two squares h + 2s; no rounding
    cut triangles     the same squares as four at a time, cut twice and once
    two squares       W + 6s and W + 12s give four, trimmed; wasteful
Sources: common practice; the printed charts named beside the worked examples.
"""

from __future__ import annotations

from fractions import Fraction

from studio.maths.cutting_list import CUT_ONCE, CUT_TWICE, FLIPPED
from studio.maths.patch import faces, framed, halves
from studio.maths.patch.recipe import (
    SEAM_NOTE,
    USUAL,
    Face,
    Line,
    Making,
    Piece,
    Recipe,
    Size,
    Step,
)
from studio.maths.shapes import Point

UNIT = "flying geese"
SKY_NOTE = "the finished height and a seam on every side"


def four_at_a_time(height_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Sew four sky squares to one goose square.

    Oversize makes the sky squares larger by half a seam and keeps the goose square,
    which is what the printed charts do.
    """
    goose = making.plain.quarter_side(2 * height_inches)
    sky = making.half_leg(height_inches)
    raw = making.raw(2 * height_inches, height_inches)
    pieces = (
        Piece("goose square", 1, goose.inches, goose.inches, 0, "", goose.because),
        Piece("sky square", 4, sky.inches, sky.inches, 1, "", sky.because),
    )
    steps = _four_steps(goose.inches, sky.inches, raw, making)
    return _recipe(
        "four at a time", making, pieces, 4, raw, steps, True, making.trim(raw)
    )


def stitch_and_flip(height_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Flip two squares over the corners of one rectangle: one goose, no rounding."""
    raw = making.raw(2 * height_inches, height_inches)
    side = making.plain_cut(height_inches, height_inches)[0]
    width, height = cut = making.plain_cut(2 * height_inches, height_inches)
    goose = faces.box(0, 0, 0, width, height)
    left = faces.box(1, 0, 0, side, side)
    right = faces.box(1, width - side, 0, side, side)
    up = Line("sew", (Fraction(0), side), (side, Fraction(0)))
    down = Line("sew", (width - side, Fraction(0)), (width, side))
    flipped = faces.face(1, (0, 0), (side, 0), (0, side))
    steps = (
        Step(
            "Lay a sky square on one end of the goose, right sides together. Sew from "
            "corner to corner.",
            (goose, left),
            (up,),
        ),
        Step(
            f"Trim {making.ruler.show(making.ruler.seam_inches)} beyond the seam and "
            "press the corner over. Do the same at the other end.",
            (goose, flipped, right),
            (down,),
        ),
        Step(f"The goose measures {making.ruler.show_by(*raw)}.", faces.geese(*raw)),
        *framed.bonus_step(height_inches, making),
    )
    pieces = (
        Piece("goose rectangle", 1, *cut, 0, because=SEAM_NOTE),
        Piece("sky square", 2, side, side, 1, FLIPPED, SKY_NOTE),
    )
    return _recipe("stitch and flip", making, pieces, 1, raw, steps, False, None)


def cut_triangles(height_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Cut the goose square twice and the sky squares once."""
    goose = making.plain.quarter_side(2 * height_inches)
    sky = making.half_leg(height_inches)
    raw = making.raw(2 * height_inches, height_inches)
    quartered = faces.quarters(goose.inches, goose.inches)
    steps = (
        Step(
            "Cut the goose square twice from corner to corner, the sky squares once.",
            tuple(Face(0, one.corners) for one in quartered),
            (
                halves.diagonal(goose.inches, "cut"),
                halves.other_diagonal(goose.inches, "cut"),
            ),
        ),
        Step(
            "Sew a sky triangle to each short side of a goose, the seam at the tip "
            "one seam from the edge.",
            faces.geese(*raw),
        ),
        halves.finish(making, raw, 4, "geese"),
    )
    pieces = (
        Piece(
            "goose square", 1, goose.inches, goose.inches, 0, CUT_TWICE, goose.because
        ),
        Piece("sky square", 4, sky.inches, sky.inches, 1, CUT_ONCE, sky.because),
    )
    return _recipe(
        "cut triangles", making, pieces, 4, raw, steps, False, making.trim(raw)
    )


def two_squares(height_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Sew one goose square on one larger sky square: four geese, trimmed."""
    seam = making.ruler.seam_inches
    raw = making.raw(2 * height_inches, height_inches)
    goose, sky = 2 * height_inches + 6 * seam, 2 * height_inches + 12 * seam
    show = making.ruler.show
    wide = f"{show(2 * height_inches)} finished"
    pieces = (
        Piece(
            "goose square", 1, goose, goose, 0, because=f"{wide} and {show(6 * seam)}"
        ),
        Piece("sky square", 1, sky, sky, 1, because=f"{wide} and {show(12 * seam)}"),
    )
    steps = _two_steps(goose, sky, raw, making)
    return _recipe("two squares", making, pieces, 4, raw, steps, True, raw)


def _two_steps(
    goose: Fraction, sky: Fraction, raw: Size, making: Making
) -> tuple[Step, ...]:
    inset = (sky - goose) / 2
    laid = (faces.box(1, 0, 0, sky, sky), faces.box(0, inset, inset, goose, goose))
    far, seam = sky - inset, making.ruler.show(making.ruler.seam_inches)
    pressed = (
        faces.face(1, (0, 0), (sky, 0), (0, sky)),
        faces.face(0, (far, inset), (far, far), (inset, far)),
    )
    return (
        Step(
            "Lay the goose square in the middle of the sky square, right sides "
            f"together. Draw a line from corner to corner, sew {seam} either "
            "side and cut on it.",
            laid,
            (*halves.beside_diagonal(sky, making), halves.diagonal(sky, "cut")),
        ),
        Step(
            "Press the halves open and lay them together, goose on sky, their outer "
            "edges even; the seams lie side by side and do not meet. Draw a line across "
            f"both seams, sew {seam} either side and cut on it.",
            pressed,
            (
                *halves.beside_other(far, making),
                Line("cut", (Fraction(0), Fraction(0)), (far, far)),
            ),
        ),
        Step(
            "Press both open. Each holds two geese, tip to tip: cut between the tips. "
            f"Trim each of the four to {making.ruler.show_by(*raw)}, the tip one seam "
            "from the edge.",
            faces.geese(*raw),
        ),
    )


def _four_steps(
    goose: Fraction, sky: Fraction, raw: Size, making: Making
) -> tuple[Step, ...]:
    show = making.ruler.show
    far = goose - sky
    laid = (
        faces.box(0, 0, 0, goose, goose),
        faces.box(1, far, 0, sky, sky),
        faces.box(1, 0, far, sky, sky),
    )
    overlap = show(2 * sky - goose)
    seam = show(making.ruler.seam_inches)
    heart = (
        faces.face(0, (0, 0), (goose, goose), (0, goose)),
        faces.face(1, (0, 0), (sky, 0), (sky / 2, sky / 2)),
        faces.face(1, (goose, goose), (goose, far), (goose - sky / 2, goose - sky / 2)),
    )
    corner = faces.box(1, 0, far, sky, sky)
    return (
        Step(
            "Lay two sky squares on opposite corners of the goose square, right sides "
            f"together. They overlap by {overlap} in the middle. Draw a line through "
            f"both and sew {seam} either side of it.",
            laid,
            (halves.diagonal(goose), *halves.beside_diagonal(goose, making)),
        ),
        Step(
            "Cut on the line and press the sky away from the goose: two hearts.",
            heart,
        ),
        Step(
            "Lay a sky square on the bare corner of each, its line running out of the "
            f"corner. Sew {seam} either side and cut on the line.",
            (heart[0], corner),
            (
                *_beside(sky, far, making),
                Line("cut", (Fraction(0), goose), (sky, far)),
            ),
        ),
        halves.finish(making, raw, 4, "geese"),
    )


def _beside(sky: Fraction, far: Fraction, making: Making) -> tuple[Line, Line]:
    def moved(point: Point) -> Point:
        return point[0], point[1] + far

    first, second = halves.beside_diagonal(sky, making)
    return (
        Line("sew", moved(first.start), moved(first.end)),
        Line("sew", moved(second.start), moved(second.end)),
    )


def _recipe(
    method: str,
    making: Making,
    pieces: tuple[Piece, ...],
    units: int,
    raw: Size,
    steps: tuple[Step, ...],
    sewn_first: bool,
    trim: Size | None,
) -> Recipe:
    two = making.ruler.two_seams
    seen = faces.geese(raw[0] - two, raw[1] - two)
    return Recipe(
        UNIT,
        method,
        making.cutting,
        pieces,
        units,
        raw,
        trim,
        steps,
        sewn_first,
        faces.kept(seen, making.ruler.seam_inches),
    )
