"""A cutting layout drawn to scale, or as a plain list where no way is found to lay it.

Tapered pieces lie head to tail, so each takes the mean of its two sides along the row;
they are drawn as bars of that width.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from studio.maths import drawing, sheet_layout, svg
from studio.maths.sheet_layout import USUAL_SHEET, Placement

NOTE = "Not drawn: no sizes are written down for these pieces, or they lie closer."


@dataclass(frozen=True)
class DrawnPiece:
    """So many of one piece, with its sides in inches; no sides where none are known."""

    code: str
    count: int
    width_inches: Fraction | None = None
    height_inches: Fraction | None = None
    narrow_inches: Fraction | None = None

    @property
    def along_inches(self) -> Fraction | None:
        """Return the width a piece takes in its row."""
        if self.width_inches is None or self.narrow_inches is None:
            return self.width_inches
        return (self.width_inches + self.narrow_inches) / 2


@lru_cache(maxsize=256)
def draw_layout(code: str, pieces: tuple[DrawnPiece, ...], width_px: int = 600) -> str:
    """Draw one sheet of a layout as SVG."""
    placements = placed(pieces)
    title = f"One sheet of {code}"
    if placements is None:
        return plain_list(title, pieces, width_px)
    return drawing.sheet_svg(title, USUAL_SHEET, placements, width_px)


def placed(pieces: Iterable[DrawnPiece]) -> tuple[Placement, ...] | None:
    """Find a place for every piece, or return None."""
    wanted = []
    for piece in pieces:
        if not piece.along_inches or not piece.height_inches:
            return None
        wanted.append(
            sheet_layout.wanted(
                piece.code, piece.along_inches, piece.height_inches, piece.count
            )
        )
    return sheet_layout.lay_out(wanted)


def plain_list(title: str, pieces: Iterable[DrawnPiece], width_px: int) -> str:
    lines = [f"{piece.count} × {piece.code}" for piece in pieces]
    across, down = USUAL_SHEET.width_mm, USUAL_SHEET.height_mm
    step = min(70, 340 // max(1, len(lines)))
    body = [
        svg.mark("rect", width=across, height=down, rx=4, fill="#e7ecec"),
        *(
            svg.text(line, 40, 70 + step * n, min(48, step - 8), font_weight="bold")
            for n, line in enumerate(lines)
        ),
    ]
    return svg.picture(
        title,
        f"{', '.join(lines)}. {NOTE}",
        body,
        box=(across, down),
        size_px=(width_px, round(width_px * down / across)),
    )
