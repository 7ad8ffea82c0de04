"""Squares in squares and flipped corners. B is the finished block, s the seam.

    flipped corners      base B + 2s, corner squares c + 2s, c the finished leg;
                         a snowball takes c = B/3
    diamond, triangles   centre B/√2 + 2s, 2 squares B/2 + s(2 + √2) cut once
    diamond, flipped     base B + 2s, 4 squares B/2 + 2s
    diamond, one cloth   cut = finished + s(2 + 2√2), a centre and four corners
    economy              centre B/2 + 2s, 2 inner squares B/(2√2) + s(2 + √2) and
                         2 outer squares B/2 + s(2 + √2), all cut once
    setting on point     side square B√2 + s(2 + 2√2) cut twice, corner square
                         B/√2 + s(2 + √2) cut once

Where a root comes in, the trade constant is added to the exact root and the next
mark of the ruler above is taken; a centre is never rounded down. Sources: common
practice; the printed charts named beside the worked examples.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from studio.maths import shapes
from studio.maths.cutting_list import CUT_ONCE, CUT_TWICE, FLIPPED
from studio.maths.patch import faces
from studio.maths.patch.recipe import (
    SEAM_NOTE,
    USUAL,
    Cutting,
    Face,
    Line,
    Making,
    Piece,
    Recipe,
    Size,
    Step,
)
from studio.maths.shapes import ROOT_2
from studio.maths.surds import Surd, as_surd

THIRD = Fraction(1, 3)
HALF_NOTE = "half the block, and a seam on every side"


def flipped_corners(
    width_inches: Fraction,
    height_inches: Fraction,
    corner_inches: Fraction,
    corners: int = 4,
    making: Making = USUAL,
) -> Recipe:
    """Flip squares over two or all four corners of a base; no rounding."""
    raw = making.raw(width_inches, height_inches)
    cut = making.plain_cut(width_inches, height_inches)
    side = making.plain_cut(corner_inches, corner_inches)[0]
    square_base = width_inches == height_inches
    name = "base square" if square_base else "base rectangle"
    number = {2: "two", 4: "four"}[corners]
    leg = f"{making.ruler.show(corner_inches)} finished and a seam on every side"
    seen = faces.snowball(*cut, side, corners)
    laid = (faces.box(0, 0, 0, *cut), faces.box(1, 0, 0, side, side))
    sewn = Line("sew", (Fraction(0), side), (side, Fraction(0)))
    steps = (
        Step(
            f"Lay a corner square on {number} corners of the base, right sides "
            "together. Sew each from edge to edge across its corner.",
            laid,
            (sewn,),
        ),
        Step(
            f"Trim {making.ruler.show(making.ruler.seam_inches)} beyond the seam and "
            f"press the corners over. It measures {making.ruler.show_by(*raw)}.",
            seen,
        ),
        *bonus_step(corner_inches, making),
    )
    pieces = (
        Piece(name, 1, *cut, 0, because=SEAM_NOTE),
        Piece("corner square", corners, side, side, 1, FLIPPED, leg),
    )
    finished = faces.snowball(width_inches, height_inches, corner_inches, corners)
    unit = "snowball" if corners == 4 else "flipped corners"
    return _recipe(
        unit, "stitch and flip", making, pieces, raw, steps, finished, trim=None
    )


def diamond(block_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Sew four half-square triangles round one centre, which is never cut small."""
    raw = making.raw(block_inches, block_inches)
    centre = making.centre_size(block_inches * ROOT_2 / 2 + making.ruler.two_seams)
    why = f"{making.ruler.show(block_inches)} finished ÷ √2, and two seams"
    corner = making.half_leg(block_inches / 2)
    pieces = (
        Piece("centre square", 1, centre, centre, 0, because=why),
        _cut_once("corner square", corner.inches, 1, corner.because),
    )
    steps = (
        _halving(corner.inches, 1),
        Step(
            "Sew triangles to two opposite sides of the centre, press, then to the "
            f"other two. {_ending(making, raw)}",
            faces.diamond(*raw),
        ),
    )
    return _framed("diamond in a square", "triangles", making, pieces, raw, steps)


def diamond_flipped(block_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Flip four corner squares over one base square."""
    raw = making.raw(block_inches, block_inches)
    cut = making.plain_cut(block_inches, block_inches)
    half = making.plain_cut(block_inches / 2, block_inches / 2)[0]
    laid = (faces.box(0, 0, 0, *cut), faces.box(1, 0, 0, half, half))
    sewn = Line("sew", (Fraction(0), half), (half, Fraction(0)))
    steps = (
        Step(
            "Lay a corner square on two opposite corners of the base, right sides "
            "together. Sew each from edge to edge across the corner, trim and press.",
            laid,
            (sewn,),
        ),
        Step(
            "Do the same at the other two corners. It measures "
            f"{making.ruler.show_by(*raw)}.",
            faces.diamond(*raw),
        ),
        *bonus_step(block_inches / 2, making),
    )
    pieces = (
        Piece("base square", 1, *cut, 0, because=SEAM_NOTE),
        Piece("corner square", 4, half, half, 1, FLIPPED, HALF_NOTE),
    )
    return _framed("diamond in a square", "stitch and flip", making, pieces, raw, steps)


def diamond_from_one_square(
    finished_inches: Fraction, making: Making = USUAL
) -> Recipe:
    """Cut one square of each cloth into a centre and four corners, and swap them.

    The rule is finished = cut − 1 1/4 in, whose exact form is finished + s(2 + 2√2).
    The centre's points then lie on the raw edge, so that the next seam takes them.
    """
    side = making.quarter_side(finished_inches)
    exact = Making(Cutting.EXACT, making.ruler).quarter_side(finished_inches)
    raw = making.raw(finished_inches, finished_inches)
    pieces = (
        Piece("square", 1, side.inches, side.inches, 0, "", side.because),
        Piece("square", 1, side.inches, side.inches, 1, "", side.because),
    )
    return Recipe(
        "diamond in a square",
        "two from one square of each",
        making.cutting,
        pieces,
        2,
        raw,
        making.trim(raw),
        _one_square_steps(side.inches, raw, making),
        sewn_first=True,
        kept_square_inches=as_surd(exact.inches**2),
    )


def _one_square_steps(side: Fraction, raw: Size, making: Making) -> tuple[Step, ...]:
    seam = making.ruler.show(making.ruler.seam_inches)
    return (
        Step(
            "Mark the middle of each side of both squares and cut from mark to mark: "
            "a centre and four corners each.",
            faces.diamond(side, side),
        ),
        Step(
            f"Swap the centres and sew the corners on. {_size(making, raw)} The points "
            f"of the centre reach the edge, so the seams beside it take {seam} off "
            "each. Where points matter, make it with triangles.",
            faces.diamond(*raw),
        ),
    )


def economy(block_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Sew two rounds of triangles about a centre; only triangles are oversized."""
    raw = making.raw(block_inches, block_inches)
    centre = making.plain_cut(block_inches / 2, block_inches / 2)[0]
    growth = making.growth(shapes.HALF_SQUARE_LEG, making.ruler.half_oversize_inches)
    inner = making.plain_size(block_inches * ROOT_2 / 4 + growth)
    outer = making.half_leg(block_inches / 2)
    why = f"{_show(making, block_inches)} ÷ 2√2, and {_show_surd(making, growth)}"
    second = shapes.rounded_outward(block_inches * ROOT_2 / 2 + making.ruler.two_seams)
    pieces = (
        Piece("centre square", 1, centre, centre, 0, because=HALF_NOTE),
        _cut_once("inner triangle square", inner, 1, why),
        _cut_once("outer triangle square", outer.inches, 2, outer.because),
    )
    steps = (
        _halving(inner, 1),
        Step(
            "Sew the inner triangles to two opposite sides of the centre, press, then "
            "to the other two.",
            faces.diamond(second, second),
        ),
        Step(
            f"Sew the outer triangles on in the same order. {_ending(making, raw)}",
            faces.economy(*raw),
        ),
    )
    seen = faces.economy(block_inches, block_inches)
    trim = making.trim(raw)
    return _recipe("economy", "triangles", making, pieces, raw, steps, seen, trim=trim)


def setting_triangles(block_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Cut the triangles that set blocks on point: four sides and two corners.

    They lie on the edge of the quilt, where what is small cannot be made good, so no
    constant is rounded down.
    """
    making = replace(making, ruler=making.ruler.rounded_up)
    ruler = making.ruler
    diagonal = as_surd(making.raw(block_inches, block_inches)[0] - ruler.two_seams)
    diagonal = diagonal * ROOT_2
    wide, half = (
        making.growth(shapes.QUARTER_SQUARE_LONG_SIDE, ruler.quarter_oversize_inches),
        making.growth(shapes.HALF_SQUARE_LEG, ruler.half_oversize_inches),
    )
    side, corner = (
        making.plain_size(diagonal + wide),
        making.plain_size(diagonal / 2 + half),
    )
    block = _show(making, block_inches)
    side_why = f"{block} × √2, and {_show_surd(making, wide)}"
    corner_why = f"{block} ÷ √2, and {_show_surd(making, half)}"
    pieces = (
        Piece("side-triangle square", 1, side, side, 0, CUT_TWICE, side_why),
        Piece("corner-triangle square", 2, corner, corner, 0, CUT_ONCE, corner_why),
    )
    raw = making.raw(block_inches, block_inches)
    steps = _setting_steps(side, corner, making)
    return Recipe(
        "setting triangles", "on point", making.cutting, pieces, 1, raw, None, steps
    )


def _setting_steps(
    side: Fraction, corner: Fraction, making: Making
) -> tuple[Step, ...]:
    quartered = faces.quarters(side, side)
    return (
        Step(
            "Cut the side-triangle squares twice from corner to corner, so that the "
            "straight grain lies on the edge of the quilt.",
            tuple(Face(0, one.corners) for one in quartered),
        ),
        Step(
            "Cut the corner-triangle squares once from corner to corner.",
            faces.half(corner, corner)[:1],
        ),
        *_trimmed_edges(making),
    )


def bonus_half_square(corner_inches: Fraction, making: Making = USUAL) -> Size:
    """Give what the offcut of a flipped corner trims to, if it is sewn before cutting.

    Sewn half an inch away from the first seam it is raw c − 0.2071; the trade trims
    to the corner square less 1 in (common practice).
    """
    side = making.raw(corner_inches, corner_inches)[0] - 4 * making.ruler.seam_inches
    return side, side


def bonus_step(corner_inches: Fraction, making: Making) -> tuple[Step, ...]:
    """Say what the offcuts are good for, where they are at least two seams finished."""
    side, _ = bonus_half_square(corner_inches, making)
    if side < 2 * making.ruler.two_seams:
        return ()
    words = (
        f"To use the offcuts, sew again {making.ruler.show(making.ruler.two_seams)} "
        "outside each seam before you trim: each is then a half-square triangle. Trim "
        f"it to {making.ruler.show_by(side, side)}."
    )
    return (Step(words, ()),)


def _trimmed_edges(making: Making) -> tuple[Step, ...]:
    if making.cutting is Cutting.EXACT:
        return ()
    seam = making.ruler.show(making.ruler.seam_inches)
    words = (
        "The triangles are a little large. When all is sewn, trim the edges of the "
        f"quilt {seam} beyond the points of the blocks."
    )
    return (Step(words, ()),)


def _show(making: Making, block_inches: Fraction) -> str:
    return f"{making.ruler.show(block_inches)} finished"


def _show_surd(making: Making, growth: Surd) -> str:
    return making.ruler.show(shapes.rounded_outward(growth))


def _halving(side: Fraction, slot: int) -> Step:
    seen = faces.half(side, side)
    return Step(
        "Cut the triangle squares once from corner to corner.",
        tuple(Face(slot, one.corners) for one in seen),
        (Line("cut", (Fraction(0), side), (side, Fraction(0))),),
    )


def _ending(making: Making, raw: Size) -> str:
    size = making.ruler.show_by(*raw)
    if making.trim(raw):
        return f"Press and trim to {size}, a seam beyond each point."
    return f"It measures {size}."


def _size(making: Making, raw: Size) -> str:
    size = making.ruler.show_by(*raw)
    return f"Press and trim to {size}." if making.trim(raw) else f"It measures {size}."


def _cut_once(name: str, side: Fraction, slot: int, because: str = "") -> Piece:
    return Piece(name, 2, side, side, slot, CUT_ONCE, because)


def _framed(
    unit: str,
    method: str,
    making: Making,
    pieces: tuple[Piece, ...],
    raw: Size,
    steps: tuple[Step, ...],
) -> Recipe:
    side = raw[0] - making.ruler.two_seams
    seen = faces.diamond(side, side)
    trim = making.trim(raw) if method == "triangles" else None
    return _recipe(unit, method, making, pieces, raw, steps, seen, trim=trim)


def _recipe(
    unit: str,
    method: str,
    making: Making,
    pieces: tuple[Piece, ...],
    raw: Size,
    steps: tuple[Step, ...],
    seen: tuple[Face, ...],
    *,
    trim: Size | None,
) -> Recipe:
    kept: Surd = faces.kept(seen, making.ruler.seam_inches)
    return Recipe(
        unit,
        method,
        making.cutting,
        pieces,
        1,
        raw,
        trim,
        steps,
        kept_square_inches=kept,
    )
