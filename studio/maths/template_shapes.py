"""Every shape of template that a maker can ask for, with each of its sizes in full.

    cut size = finished size + seam × (cot of one half corner + cot of the other)

Each shape says which of its finished sizes are asked for; the others follow from them.
The cut sizes come in three forms that are never mixed (`studio.maths.explained`): exact,
as the trade rounds, and in millimetres for the cutter. The strip is what the template
is laid on: its height across the strip, as the trade cuts it. Sources: plane geometry;
the printed constants beside the worked examples; blunted tips from a quilting book.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from studio.errors import StudioError
from studio.maths import explained, outlines, shapes
from studio.maths.explained import TemplateSize
from studio.maths.finished_sizes import checked_finished
from studio.maths.metric import INCH, Ruler
from studio.maths.outlines import HeartOutline, Outline
from studio.maths.patch import faces
from studio.maths.shapes import ROOT_2, ROOT_3, CutPoint, Measure
from studio.maths.surds import Surd, as_surd

THICKNESS_MM = Fraction(3)
_HALF_INCH = Fraction(1, 2)
_MEASURES = {(one.shape, one.measure): one for one in shapes.MEASURES}

Sizes = Sequence[Fraction]
Sized = tuple[Measure, Surd | Fraction]


class ShapeUnknown(StudioError):
    """A word that is no shape of template."""

    def __init__(self, word: str) -> None:
        self.word = word
        super().__init__(word)

    def __str__(self) -> str:
        known = ", ".join(one.name for one in SHAPES)
        return f"“{self.word}” is no shape known here. Choose one of: {known}."


@dataclass(frozen=True)
class TemplateShape:
    """One shape: the finished sizes that are asked for, and what follows from them.

    ``strip`` names the measure that lies across a strip of cloth, if one does.
    """

    name: str
    asks: tuple[str, ...]
    first_inches: tuple[Fraction, ...]
    outline: Callable[..., Outline | HeartOutline]
    sized: Callable[..., tuple[Sized, ...]]
    strip: str = ""
    blunted: bool = False

    @property
    def word(self) -> str:
        """Give the word that stands for it in an address."""
        return "-".join(self.name.replace(",", "").split()).lower()


@dataclass(frozen=True)
class Template:
    """A template at a size: its outlines, its sizes, the strip it wants, its weight."""

    shape: TemplateShape
    finished_inches: tuple[Fraction, ...]
    ruler: Ruler
    sewn: Outline | HeartOutline
    cut: Outline | HeartOutline
    sizes: tuple[TemplateSize, ...]
    blunted_corners: tuple[CutPoint, ...] = ()

    @property
    def strip(self) -> str:
        """Say what strip the template wants, or nothing where none is usual."""
        wanted = [one for one in self.sizes if one.measure.measure == self.shape.strip]
        if not wanted:
            return ""
        return f"Cut from a strip of {self.ruler.show(wanted[0].trade.inches)}."

    @property
    def grams(self) -> int | None:
        """Give its weight in acrylic of 3 mm, or None for a curve."""
        if isinstance(self.cut, HeartOutline):
            return None
        corners = self.blunted_corners or self.cut.corners()
        area = faces.area(corners)
        return outlines.acrylic_grams(area, THICKNESS_MM)


def shape_named(word: str) -> TemplateShape:
    """Find a shape by its word in an address."""
    for one in SHAPES:
        if one.word == word:
            return one
    raise ShapeUnknown(word)


def template(
    shape: TemplateShape, finished_inches: Sizes, ruler: Ruler = INCH
) -> Template:
    """Give a template at its finished sizes.

    Raises SizeImpossible, SizeAbsurd, SizeTooFine and BarTooShort.
    """
    for asked, inches in zip(shape.asks, finished_inches, strict=True):
        checked_finished(f"{asked.lower()} of the {shape.name}", inches, ruler)
    sewn = shape.outline(*finished_inches)
    sizes = tuple(
        explained.template_size(finished, measure, ruler)
        for measure, finished in shape.sized(*finished_inches)
    )
    cut = sewn.cut(ruler.seam_inches)
    tips = _blunted(shape, finished_inches[0], ruler) if shape.blunted else ()
    return Template(shape, tuple(finished_inches), ruler, sewn, cut, sizes, tips)


def _blunted(
    shape: TemplateShape, inches: Fraction, ruler: Ruler
) -> tuple[CutPoint, ...]:
    make = {
        "half-square triangle": outlines.blunted_half_square,
        "60-degree triangle": outlines.blunted_sixty,
    }[shape.name.partition(",")[0]]
    return make(inches, ruler.seam_inches).corners


def _named(shape: str, measure: str, inches: Surd | Fraction) -> Sized:
    return _MEASURES[shape, measure], inches


def _across(shape: str, measure: str, inches: Surd | Fraction) -> Sized:
    """Two seams, one on either side."""
    return Measure(shape, measure, as_surd(2), _HALF_INCH), inches


def _one_seam(shape: str, measure: str, inches: Surd | Fraction) -> Sized:
    return Measure(shape, measure, as_surd(1), Fraction(1, 4)), inches


def _square(side: Fraction) -> Outline:
    return outlines.rectangle(side, side)


def _trapezoid_sizes(long: Fraction, high: Fraction) -> tuple[Sized, ...]:
    name = "trapezoid, both ends sloped"
    return (
        _named(name, "long base", long),
        _named(name, "short base", long - 2 * high),
        _across(name, "height", high),
    )


def _half_trapezoid_sizes(long: Fraction, high: Fraction) -> tuple[Sized, ...]:
    name = "trapezoid, one end square"
    return (
        _named(name, "long base", long),
        _named(name, "short base", long - high),
        _across(name, "height", high),
    )


def _parallelogram_sizes(base: Fraction, edge: Fraction) -> tuple[Sized, ...]:
    grown = _MEASURES["45-degree diamond", "edge"]
    sides = (
        (Measure("parallelogram", name, grown.per_seam, grown.trade_inches), inches)
        for name, inches in (("base", base), ("edge", edge))
    )
    return (*sides, _across("parallelogram", "width across", edge * ROOT_2 / 2))


def _sixty_height(height: Fraction) -> Outline:
    """Give a 60-degree triangle of a height, with sides of 2h/√3, about nought."""
    half = height * ROOT_3 / 3
    return replace(outlines.equilateral_triangle(2 * half), start=(-half, Surd()))


def _heart_sizes(side: Fraction) -> tuple[Sized, ...]:
    return (
        _one_seam("heart", "straight side", side),
        _one_seam("heart", "radius of a lobe", side / 2),
        _across("heart", "across the lobes", side * Fraction(3, 2)),
    )


def _kite_sizes(side: Fraction) -> tuple[Sized, ...]:
    return (
        _named("kite", "long edge", side * ROOT_3 / 2),
        _named("kite", "short edge", side / 2),
    )


_F = Fraction
SHAPES = (
    TemplateShape(
        "square",
        ("Side",),
        (_F(4),),
        _square,
        lambda a: (_named("square", "side", a),),
        "side",
    ),
    TemplateShape(
        "rectangle",
        ("Width", "Height"),
        (_F(4), _F(2)),
        outlines.rectangle,
        lambda w, h: (
            _across("rectangle", "width", w),
            _across("rectangle", "height", h),
        ),
        "height",
    ),
    TemplateShape(
        "half-square triangle",
        ("Leg",),
        (_F(3),),
        outlines.half_square_triangle,
        lambda a: (_named("half-square triangle", "leg", a),),
        "leg",
    ),
    TemplateShape(
        "half-square triangle, tips blunted",
        ("Leg",),
        (_F(3),),
        outlines.half_square_triangle,
        lambda a: (_across("half-square triangle, tips blunted", "leg", a),),
        "leg",
        blunted=True,
    ),
    TemplateShape(
        "quarter-square triangle",
        ("Long side",),
        (_F(4),),
        outlines.quarter_square_triangle,
        lambda a: (_named("quarter-square triangle", "long side", a),),
    ),
    TemplateShape(
        "trapezoid, both ends sloped",
        ("Long base", "Height"),
        (_F(8), _F(2)),
        outlines.trapezoid,
        _trapezoid_sizes,
        "height",
    ),
    TemplateShape(
        "trapezoid, one end square",
        ("Long base", "Height"),
        (_F(6), _F(2)),
        outlines.half_trapezoid,
        _half_trapezoid_sizes,
        "height",
    ),
    TemplateShape(
        "parallelogram",
        ("Base", "Edge"),
        (_F(4), _F(2)),
        outlines.parallelogram,
        _parallelogram_sizes,
        "width across",
    ),
    TemplateShape(
        "45-degree diamond",
        ("Edge",),
        (_F(3),),
        outlines.diamond_45,
        lambda a: (
            _named("45-degree diamond", "edge", a),
            _named("45-degree diamond", "width across", a * ROOT_2 / 2),
        ),
        "width across",
    ),
    TemplateShape(
        "60-degree diamond",
        ("Edge",),
        (_F(3),),
        outlines.diamond_60,
        lambda a: (
            _named("60-degree diamond", "edge", a),
            _named("60-degree diamond", "width across", a * ROOT_3 / 2),
        ),
        "width across",
    ),
    TemplateShape(
        "60-degree triangle",
        ("Height",),
        (_F(3),),
        _sixty_height,
        lambda h: (
            _named("equilateral triangle", "height", h),
            _named("equilateral triangle", "side", h * ROOT_3 * 2 / 3),
        ),
        "height",
    ),
    TemplateShape(
        "60-degree triangle, tip blunted",
        ("Height",),
        (_F(3),),
        _sixty_height,
        lambda h: (_across("60-degree triangle, tip blunted", "height", h),),
        "height",
        blunted=True,
    ),
    TemplateShape(
        "triangle in a square, centre",
        ("Square",),
        (_F(4),),
        outlines.triangle_in_square,
        lambda f: tuple(
            _named("triangle in a square, centre", name, f)
            for name in ("base", "height")
        ),
        "height",
    ),
    TemplateShape(
        "triangle in a square, side",
        ("Square",),
        (_F(4),),
        outlines.triangle_beside_square,
        lambda f: (
            _named("triangle in a square, side", "long leg", f),
            _named("triangle in a square, side", "short leg", f / 2),
        ),
        "long leg",
    ),
    TemplateShape(
        "hexagon",
        ("Side",),
        (_F(1),),
        outlines.hexagon,
        lambda a: (
            _named("hexagon", "side", a),
            _named("hexagon", "across flats", a * ROOT_3),
        ),
        "across flats",
    ),
    TemplateShape(
        "kite", ("Side of its hexagon",), (_F(3),), outlines.kite, _kite_sizes
    ),
    TemplateShape("heart", ("Straight side",), (_F(4),), outlines.heart, _heart_sizes),
)
