"""The template pieces that a block asks for: one piece for every size it is cut to.

    a piece for each size that cloth is cut to, and one for each size units are
    trimmed to; sizes that are alike, turned or not, share one piece
    exact form = a × finished side + g × seam, g one of 2, 2 + √2, 2 + 2√2, 4 + 2√2

The exact form is shown only where it gives the exact size of the recipe itself, rounded
outward to 0.001 mm. A piece is engraved and cut at the trade's rounded size. Source: the
template sets of the trade, a square to cut by and a square to trim by (common practice).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from studio.lengths import show_inches, show_mm, to_mm
from studio.maths.block_asking import Asked
from studio.maths.blocks import UnitCount
from studio.maths.explained import show_surd
from studio.maths.metric import INCH, Ruler
from studio.maths.patch.recipe import Cutting, Making, Piece, Recipe, Size
from studio.maths.shapes import ROOT_2, rounded_outward
from studio.maths.surds import Surd, as_surd

_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_SHARES = (
    *(
        as_surd(Fraction(share)) * root
        for share in (1, "1/2", 2, "1/4", "1/3")
        for root in (as_surd(1), ROOT_2)
    ),
    # Of an eight-point star: its corner, its diamond across, its side triangle.
    *(1 - ROOT_2 / 2, (ROOT_2 - 1) / 2, ROOT_2 - 1),
)
_GROWTHS = (as_surd(2), 2 + ROOT_2, 2 + 2 * ROOT_2, 4 + 2 * ROOT_2, as_surd(4))


@dataclass(frozen=True)
class Side:
    """One side of a piece, in inches: as the trade rounds it, and exactly.

    ``exact_inches`` is rounded outward to 0.001 mm; ``form`` is what it is rounded from,
    where that is known.
    """

    trade_inches: Fraction
    exact_inches: Fraction
    form: Surd | None = None

    def exact_words(self, ruler: Ruler) -> str:
        """Write the exact size: ``3½``, ``4¼ + ¼√2``, or millimetres if metric."""
        if ruler.is_metric:
            return show_mm(self.exact_inches).removesuffix(" mm")
        if self.form is not None:
            return show_surd(self.form)
        if self.exact_inches == self.trade_inches:
            return show_fraction(self.exact_inches)
        return show_inches(self.exact_inches)


@dataclass(frozen=True)
class Use:
    """What a piece is for: the act, the role of cloth, and what happens to it then."""

    words: str
    role: str = ""
    then: str = ""


@dataclass(frozen=True)
class SetPiece:
    """One template piece: its name, its sides (the shorter first), and its uses."""

    name: str
    width: Side
    height: Side
    uses: tuple[Use, ...]
    ruler: Ruler = INCH

    @property
    def size(self) -> Size:
        return self.width.trade_inches, self.height.trade_inches

    @property
    def is_square(self) -> bool:
        return self.width == self.height

    @property
    def short_name(self) -> str:
        """Give the name as it is spoken of: the centre, and not the centre square."""
        place = self.name.removesuffix(" square")
        return self.name if place in ("", "trim", *_LETTERS) else place

    @property
    def trade_words(self) -> str:
        return self.ruler.show_by(*self.size)

    @property
    def exact_words(self) -> str:
        sides = (
            self.width.exact_words(self.ruler),
            self.height.exact_words(self.ruler),
        )
        unit = "mm" if self.ruler.is_metric else "in"
        words = f"{' × '.join(dict.fromkeys(sides))} {unit}"
        return f"{words} square" if self.is_square else words

    @property
    def mm_words(self) -> str:
        """Write the trade size in millimetres, as the cutter is told it."""
        if self.is_square:
            return f"{show_mm(self.size[0])} square"
        width = show_mm(self.size[0]).removesuffix(" mm")
        return f"{width} × {show_mm(self.size[1])}"

    @property
    def use_words(self) -> str:
        """Write the uses: ``cut the square (centre); trim the half-square triangle``."""
        roles: dict[tuple[str, str], list[str]] = {}
        for use in self.uses:
            roles.setdefault((use.words, use.then), []).append(use.role)
        return "; ".join(_use(*what, found) for what, found in roles.items())

    @property
    def mm(self) -> tuple[Fraction, Fraction]:
        return to_mm(self.size[0]), to_mm(self.size[1])


def template_set(asked: Asked) -> tuple[SetPiece, ...]:
    """Give the pieces of a block at a size, the largest first.

    Raises what `studio.maths.blocks.cut_list` raises.
    """
    asked.cut_list()
    found: dict[Size, SetPiece] = {}
    for piece in _wanted(asked):
        before = found.get(piece.size)
        found[piece.size] = _merged(before, piece) if before else piece
    largest_first = sorted(found.values(), key=_area, reverse=True)
    return tuple(_told_apart(list(_lettered(largest_first))))


def show_fraction(inches: Fraction) -> str:
    """Write inches with no rounding: ``4⅝``, or ``3 1/12`` where no ruler has it."""
    shown = show_inches(inches)
    if not shown.startswith("about"):
        return shown
    whole, rest = divmod(inches, 1)
    return f"{whole} {rest}" if whole else f"{rest}"


def _use(words: str, then: str, roles: list[str]) -> str:
    of = f" ({' and '.join(dict.fromkeys(roles))})" if any(roles) else ""
    return f"{words}{of}{f', {then}' if then else ''}"


def _wanted(asked: Asked) -> Iterator[SetPiece]:
    exact = replace(asked.making, cutting=Cutting.EXACT)
    for unit, recipe in asked.recipes():
        ideal = _exact_recipe(unit, exact, asked)
        for piece, true in zip(recipe.pieces, ideal.pieces, strict=True):
            yield _cut_piece(unit, piece, true, asked.ruler)
        if recipe.trim_inches:
            yield _trim_piece(unit, recipe.trim_inches, asked.ruler)


def _exact_recipe(unit: UnitCount, making: Making, asked: Asked) -> Recipe:
    way = asked.ways.get(unit.patch.name, "")
    return unit.patch.recipe(unit.width_inches, unit.height_inches, making, way)


def _cut_piece(unit: UnitCount, piece: Piece, true: Piece, ruler: Ruler) -> SetPiece:
    role = unit.roles[piece.slot]
    low, high = sorted(
        (
            _side(piece.width_inches, true.width_inches, unit, ruler),
            _side(piece.height_inches, true.height_inches, unit, ruler),
        ),
        key=lambda side: side.trade_inches,
    )
    uses = (Use(f"cut the {unit.label or piece.name}", role, piece.then),)
    return SetPiece(_name_of(unit, piece, role), low, high, uses, ruler)


def _trim_piece(unit: UnitCount, trim: Size, ruler: Ruler) -> SetPiece:
    low, high = (Side(size, size) for size in sorted(trim))
    name = "trim square" if low == high else "trim bar"
    uses = (Use(f"trim the {unit.label or unit.patch.name}"),)
    return SetPiece(name, low, high, uses, ruler)


def _name_of(unit: UnitCount, piece: Piece, role: str) -> str:
    """Name a plain square by its place, and a square for triangles by a letter later."""
    if unit.label:
        return unit.label
    if piece.name == "square":
        return f"{role} square"
    if "triangle" in piece.name:
        return ""
    return piece.name.removeprefix("outer ").removeprefix("inner ")


def _lettered(pieces: list[SetPiece]) -> Iterator[SetPiece]:
    letters = iter(_LETTERS)
    for piece in pieces:
        yield piece if piece.name else replace(piece, name=f"{next(letters)} square")


def _told_apart(pieces: list[SetPiece]) -> Iterator[SetPiece]:
    """Number those that share a name: log 1, log 2."""
    names = Counter(piece.name for piece in pieces)
    seen: Counter[str] = Counter()
    for piece in pieces:
        seen[piece.name] += 1
        alone = names[piece.name] == 1
        number = "" if alone else f" {seen[piece.name]}"
        yield replace(piece, name=f"{piece.name}{number}")


def _merged(one: SetPiece, other: SetPiece) -> SetPiece:
    """Keep the name of a place before that of a trim, and all uses."""
    name = other.name if one.name.startswith("trim") else one.name
    uses = tuple(dict.fromkeys((*one.uses, *other.uses)))
    return replace(one, name=name, uses=uses)


def _side(trade: Fraction, exact: Fraction, unit: UnitCount, ruler: Ruler) -> Side:
    if exact == trade:
        return Side(trade, exact)
    sides = dict.fromkeys((unit.width_inches, unit.height_inches))
    for side in sides:
        for share in _SHARES:
            for growth in _GROWTHS:
                form = share * side + growth * ruler.seam_inches
                if rounded_outward(form) == exact:
                    return Side(trade, exact, form)
    return Side(trade, exact)


def _area(piece: SetPiece) -> tuple[Fraction, Fraction]:
    return piece.size[0] * piece.size[1], piece.size[1]
