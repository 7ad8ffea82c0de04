"""Units of squares and bars, which need no rounding: each side is finished + 2 seams.

    nine-patch without waste, u = B / 3: one strip of each cloth, u + 2s by four times
    that, and one square more of the cloth that has five
    seam test: three strips 1 1/2 by 5 in must measure 3 1/2 across, the middle one 1
Sources: common practice; the rows beside the worked examples.
"""

from __future__ import annotations

from fractions import Fraction

from studio.maths.patch import faces
from studio.maths.patch.recipe import SEAM_NOTE, USUAL, Making, Piece, Recipe, Step
from studio.maths.surds import as_surd


def square(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Cut one plain square."""
    return _one("square", finished_inches, finished_inches, making)


def bar(
    width_inches: Fraction, height_inches: Fraction, making: Making = USUAL
) -> Recipe:
    """Cut one plain rectangle."""
    unit = "square" if width_inches == height_inches else "bar"
    return _one(unit, width_inches, height_inches, making)


def rails(
    width_inches: Fraction, height_inches: Fraction, making: Making = USUAL
) -> Recipe:
    """Sew two bars along their long sides."""
    cut_bar = making.plain_cut(width_inches, height_inches / 2)
    raw = making.raw(width_inches, height_inches)
    pieces = tuple(
        Piece(name, 1, *cut_bar, slot, because=SEAM_NOTE)
        for slot, name in enumerate(("outer bar", "inner bar"))
    )
    words = f"Sew the two bars along a long side. Press; {making.ruler.show_by(*raw)}."
    sewn = Step(words, faces.rails(*raw))
    return _sewn("rails", raw, making, pieces, (sewn,))


def four_patch(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Sew four squares of two cloths."""
    return _chequered("four-patch", finished_inches, 2, making)


def nine_patch(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Sew nine squares of two cloths, five of the first."""
    return _chequered("nine-patch", finished_inches, 3, making)


def nine_patch_from_strips(finished_inches: Fraction, making: Making = USUAL) -> Recipe:
    """Cut one block's squares from a strip of each cloth, and one square more."""
    side, _ = making.plain_cut(finished_inches / 3, finished_inches / 3)
    raw = making.raw(finished_inches, finished_inches)
    strip = f"{SEAM_NOTE}, and four times that"
    pieces = (
        Piece("strip, four squares long", 1, side, 4 * side, 0, because=strip),
        Piece("strip, four squares long", 1, side, 4 * side, 1, because=strip),
        Piece("square more", 1, side, side, 0, because=SEAM_NOTE),
    )
    show = making.ruler.show
    steps = (
        Step(f"Cut each strip into four squares of {show(side)}.", ()),
        Step("Sew three rows of three, then the rows.", faces.nine_patch(*raw)),
    )
    return Recipe(
        "nine-patch",
        "strips without waste",
        making.cutting,
        pieces,
        1,
        raw,
        None,
        steps,
        kept_square_inches=as_surd(9 * side**2),
    )


def seam_test(making: Making = USUAL) -> Recipe:
    """Sew three strips side by side: the middle one shows whether the seam is true."""
    wide, long = Fraction(3, 2), Fraction(5)
    across = 3 * wide - 2 * making.ruler.two_seams
    middle = wide - making.ruler.two_seams
    show = making.ruler.show
    words = (
        f"Sew the three strips side by side and press. They must measure "
        f"{show(across)} across and the middle strip {show(middle)}."
    )
    sides = wide - making.ruler.seam_inches
    seen = (
        faces.box(0, 0, 0, sides, long),
        faces.box(1, sides, 0, middle, long),
        faces.box(0, sides + middle, 0, sides, long),
    )
    pieces = (Piece("strip", 2, wide, long, 0), Piece("middle strip", 1, wide, long, 1))
    return Recipe(
        "seam test",
        "three strips",
        making.cutting,
        pieces,
        1,
        (across, long),
        None,
        (Step(words, seen),),
    )


def _one(unit: str, width: Fraction, height: Fraction, making: Making) -> Recipe:
    cut = making.plain_cut(width, height)
    piece = Piece(unit, 1, *cut, because=SEAM_NOTE)
    step = Step(f"Cut the {unit} {making.ruler.show_by(*cut)}.", faces.whole(*cut))
    return _sewn(unit, making.raw(width, height), making, (piece,), (step,))


def _chequered(unit: str, finished: Fraction, number: int, making: Making) -> Recipe:
    side = making.plain_cut(finished / number, finished / number)
    raw = making.raw(finished, finished)
    first = (number * number + 1) // 2
    pieces = (
        Piece("square", first, *side, 0, because=SEAM_NOTE),
        Piece("square", number * number - first, *side, 1, because=SEAM_NOTE),
    )
    layout = {2: faces.four_patch, 3: faces.nine_patch}[number]
    words = "Sew the squares in rows, then the rows. Press each row the other way."
    return _sewn(unit, raw, making, pieces, (Step(words, layout(*raw)),))


def _sewn(
    unit: str,
    raw: tuple[Fraction, Fraction],
    making: Making,
    pieces: tuple[Piece, ...],
    steps: tuple[Step, ...],
) -> Recipe:
    kept = sum(p.count * p.width_inches * p.height_inches for p in pieces)
    return Recipe(
        unit,
        "as it is",
        making.cutting,
        pieces,
        1,
        raw,
        None,
        steps,
        kept_square_inches=as_surd(kept),
    )
