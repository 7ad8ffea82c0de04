"""The picture beside a name: template sets by their pieces' true shapes, cloth by form.

A drawing depends only on what it shows, so each is made once for as long as the
program runs. `with_pictures` reads what the drawings need for a whole list at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeVar

from django.core.exceptions import ObjectDoesNotExist
from django.db.models import Model, QuerySet

from studio.maths import drawing, pictures
from studio.maths.drawing import TemplatePiece
from studio.maths.pictures import ClothForm, GoodsKind

if TYPE_CHECKING:
    from inventory.models import Item, PieceShape

Row = TypeVar("Row", bound=Model)

_CLOTH: dict[str, ClothForm] = {
    "fat-quarter": "fat quarters",
    "strip": "strips",
    "five-inch": "squares",
    "ten-inch": "squares",
}
_GOODS: dict[str, GoodsKind] = {
    "pattern": "pattern",
    "booklet": "booklet",
    "sheet": "sheet",
    "gift": "box",
    "made": "sample",
}
# What a consumable is, by a word of its name.
_BY_WORD: tuple[tuple[str, GoodsKind], ...] = (
    ("dot", "dots"),
    ("sleeve", "sleeve"),
    ("box", "box"),
    ("label", "label"),
    ("booklet", "booklet"),
    ("pattern", "pattern"),
)


@dataclass(frozen=True)
class Outline:
    """One piece as it is drawn: what stands on it, and its sides in inches."""

    label: str
    width: Fraction
    height: Fraction
    narrow: Fraction | None = None


@dataclass(frozen=True)
class Drawn:
    """All that a drawing depends on."""

    title: str
    outlines: tuple[Outline, ...] = ()
    cloth: tuple[str, int, str] | None = None
    goods: GoodsKind = "card"
    words: str = ""


def picture_of(item: Item) -> str:
    """Draw an item; the drawing is made once and kept."""
    return draw(drawn(item))


@lru_cache(maxsize=2048)
def draw(wanted: Drawn) -> str:
    if wanted.outlines:
        pieces = [_piece(one) for one in wanted.outlines]
        return drawing.template_set_svg(wanted.title, pieces)
    if wanted.cloth:
        name, count, form = wanted.cloth
        return pictures.swatch_svg(wanted.title, name, count, _CLOTH[form])
    return pictures.goods_svg(wanted.goods, wanted.title, wanted.words)


def drawn(item: Item) -> Drawn:
    """Say what an item's drawing shows, from rows that a list has read already."""
    own = _one(item, "shape")
    if own is not None:
        return Drawn(item.name, outlines=(_outline(own, own.engraving or item.code),))
    contents = _one(item, "contents")
    if contents is not None:
        cloth = (contents.range_name or item.name, contents.count, contents.form)
        return Drawn(item.name, cloth=cloth)
    if item.kind in ("set", "single", "kit"):
        return Drawn(item.name, outlines=_outlines_of_parts(item), goods="box")
    if item.kind == "bundle":
        return Drawn(item.name, cloth=(item.name, 5, "fat-quarter"))
    if item.kind in _GOODS:
        return Drawn(item.name, goods=_GOODS[item.kind])
    return Drawn(item.name, goods=_by_word(item.name))


def with_pictures(items: QuerySet[Row], *, by: str = "") -> QuerySet[Row]:
    """Read what the pictures of a list need, in a fixed number of queries.

    `by` names the way to the item, such as "item", where the list is of other rows.
    """
    step = f"{by}__" if by else ""
    return items.select_related(f"{step}shape", f"{step}contents").prefetch_related(
        f"{step}parts_lists__lines__item__shape"
    )


def _by_word(name: str) -> GoodsKind:
    plain = name.lower()
    for word, goods in _BY_WORD:
        if word in plain:
            return goods
    return "card"


def _one(item: Item, name: str) -> Any:
    try:
        return getattr(item, name)
    except ObjectDoesNotExist:
        return None


def _outlines_of_parts(item: Item) -> tuple[Outline, ...]:
    ways = sorted(item.parts_lists.all(), key=lambda way: way.rank)
    for way in ways[:1]:
        shapes = [
            shape
            for line in way.lines.all()
            if not line.gives_back and (shape := _one(line.item, "shape"))
        ]
        return tuple(_outline(shape, _last_word(shape)) for shape in shapes)
    return ()


def _last_word(shape: PieceShape) -> str:
    words = shape.engraving.split()
    return words[-1] if words else shape.item.code


def _outline(shape: PieceShape, label: str) -> Outline:
    narrow = shape.narrow_inches if shape.outline == "tapered" else None
    return Outline(
        label,
        Fraction(shape.width_inches or 0),
        Fraction(shape.height_inches or 0),
        narrow,
    )


def _piece(one: Outline) -> TemplatePiece:
    if one.narrow is not None:
        return drawing.tapered_piece(one.label, one.width, one.narrow, one.height)
    return drawing.bar_piece(one.label, one.width, one.height)
