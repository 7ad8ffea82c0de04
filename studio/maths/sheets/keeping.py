"""One laid sheet as it is kept: read back, measured again, counted and drawn.

What is kept is checked whenever it is read, in exact fractions: every piece inside the
edges, every two at least the gap apart, and for the saw cuts from side to side.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import lcm

from studio.errors import StudioError
from studio.maths.nesting_shapes import Shape, all_apart, is_simple, turns_of
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import drawn, outline_kinds, saw_cuts
from studio.maths.sheets.drawn import SheetDrawing
from studio.maths.sheets.laid import Laid, SheetPlan, lie, outline_of
from studio.maths.sheets.problem import SheetPiece
from studio.maths.sheets.refusals import LARGEST_SHEET_MM, MOST_PIECES

LONGEST_TEXT = 600_000
_MOST_CORNERS = 600
_LONGEST_NAME = 80
_FINEST_UNIT = 10**15


class KeptUnreadable(StudioError):
    """A kept sheet that is damaged, or whose pieces do not keep their distance."""

    def __str__(self) -> str:
        return "What was kept of this sheet does not hold; lay it out again, please."


@dataclass(frozen=True)
class KeptSheet:
    """The pieces of one sheet where they lie, and how the cutter takes its kerf."""

    pieces: tuple[SheetPiece, ...]
    sheet: Sheet
    laid: tuple[Laid, ...]
    kerf_mm: Fraction = Fraction(0)
    kerf_in: bool = True
    saw: bool = False

    @property
    def counts(self) -> tuple[tuple[SheetPiece, int], ...]:
        """Give the pieces that lie here, and how many of each."""
        found = Counter(one.kind for one in self.laid)
        return tuple(
            (piece, found[kind])
            for kind, piece in enumerate(self.pieces)
            if found[kind]
        )

    @property
    def kerf_drawn_mm(self) -> Fraction:
        return self.kerf_mm if self.kerf_in else Fraction(0)

    def drawing(self, title: str) -> SheetDrawing:
        """Draw it for the cutter."""
        outlines = [
            (one.name, outline_of(self.pieces[one.kind], one)) for one in self.laid
        ]
        return drawn.drawn_outlines(
            title, outlines, self.sheet, kerf_mm=self.kerf_drawn_mm
        )

    def holds(self) -> bool:
        """Measure every distance again, exactly."""
        turns = [one for piece in self.pieces for one in _scaled(piece, self._per_mm)]
        places = [
            (4 * one.kind + one.quarters % 4, (self._in(one.x_mm), self._in(one.y_mm)))
            for one in self.laid
        ]
        gap = int(self.sheet.gap_mm * self._per_mm)
        across, down = (int(side * self._per_mm) for side in self.sheet.room_mm)
        return all_apart(turns, places, gap, (across, down)) and self._can_be_sawn()

    def as_text(self) -> str:
        """Write it down to be kept."""
        sheet = self.sheet
        measures = (sheet.width_mm, sheet.height_mm, sheet.edge_mm, sheet.gap_mm)
        data = {
            "sheet": [str(length) for length in measures],
            "kerf": str(self.kerf_mm),
            "kerf_in": self.kerf_in,
            "saw": self.saw,
            "pieces": [_piece_data(piece) for piece in self.pieces],
            "places": [
                [one.kind, str(one.x_mm), str(one.y_mm), one.quarters]
                for one in self.laid
            ],
        }
        return json.dumps(data, separators=(",", ":"), ensure_ascii=False)

    @cached_property
    def _per_mm(self) -> int:
        lengths = [self.sheet.gap_mm, self.sheet.edge_mm, *self.sheet.room_mm]
        lengths += [at for one in self.laid for at in (one.x_mm, one.y_mm)]
        corners = [at for piece in self.pieces for at in piece.corners_mm]
        lengths += [part for at in corners for part in at]
        unit = lcm(*(length.denominator for length in lengths))
        if unit > _FINEST_UNIT:
            raise ValueError(unit)
        return unit

    def _in(self, at_mm: Fraction) -> int:
        return int((at_mm - self.sheet.edge_mm) * self._per_mm)

    def _can_be_sawn(self) -> bool:
        try:
            return not self.saw or bool(saw_cuts.saw_cuts(self.laid, self.sheet))
        except saw_cuts.NotForTheSaw:
            return False


def keep(
    plan: SheetPlan, laid: Sequence[Laid], *, kerf_mm: Fraction, kerf_in: bool
) -> KeptSheet:
    """Keep one sheet of a plan."""
    ones = tuple(laid)
    return KeptSheet(plan.pieces, plan.sheet, ones, kerf_mm, kerf_in, plan.saw)


def read_kept(text: str, *, measured: bool = True) -> KeptSheet:
    """Read back what was kept, and measure it again. Raises KeptUnreadable.

    For a picture alone it need not be ``measured``.
    """
    if len(text) > LONGEST_TEXT:
        raise KeptUnreadable
    try:
        kept = _read(json.loads(text))
        holds = not measured or kept.holds()
    except (ValueError, TypeError, KeyError, IndexError, ArithmeticError) as damaged:
        raise KeptUnreadable from damaged
    if not holds or not kept.laid:
        raise KeptUnreadable
    return kept


def _read(data: Mapping[str, object]) -> KeptSheet:
    measures = [_length(text) for text in _listed(data["sheet"])]
    pieces = tuple(_read_piece(one) for one in _listed(data["pieces"]))
    places = [_listed(one) for one in _listed(data["places"])]
    if len(places) > MOST_PIECES:
        raise ValueError(len(places))
    laid = tuple(
        lie(pieces, _whole(kind), (_length(x), _length(y)), _whole(quarters))
        for kind, x, y, quarters in places
    )
    kerf, sheet = _length(data["kerf"]), Sheet(*measures)
    return KeptSheet(
        pieces, sheet, laid, kerf, bool(data["kerf_in"]), bool(data["saw"])
    )


def _read_piece(data: object) -> SheetPiece:
    if not isinstance(data, dict):
        raise TypeError(data)
    name, sides = str(data["name"])[:_LONGEST_NAME], _listed(data["size"])
    outline = tuple(
        (_length(x), _length(y)) for x, y in map(_listed, _listed(data["outline"]))
    )
    if len(outline) > _MOST_CORNERS:
        raise ValueError(len(outline))
    width, height = outline_kinds.box_mm(outline) if outline else map(_length, sides)
    if not width or not height:
        raise ValueError(name)
    count = _whole(data["count"])
    return SheetPiece(
        name, width, height, count, bool(data["turns"]), outline, bool(data["fills"])
    )


def _piece_data(piece: SheetPiece) -> dict[str, object]:
    return {
        "name": piece.name,
        "size": [str(piece.width_mm), str(piece.height_mm)],
        "count": piece.count,
        "turns": piece.turns,
        "fills": piece.fills,
        "outline": [[str(x), str(y)] for x, y in piece.outline_mm],
    }


def _scaled(piece: SheetPiece, per_mm: int) -> tuple[Shape, ...]:
    corners = tuple((int(x * per_mm), int(y * per_mm)) for x, y in piece.corners_mm)
    if not is_simple(corners):
        raise ValueError(piece.name)
    return turns_of(Shape(corners))


def _length(text: object) -> Fraction:
    if not isinstance(text, str) or len(text) > 40:
        raise TypeError(text)
    length = Fraction(text)
    if not 0 <= length <= LARGEST_SHEET_MM or length.denominator > 10**9:
        raise ValueError(text)
    return length


def _whole(number: object) -> int:
    if not isinstance(number, int) or not 0 <= number <= MOST_PIECES:
        raise ValueError(number)
    return number


def _listed(data: object) -> list[object]:
    if not isinstance(data, list):
        raise TypeError(data)
    return data
