"""Outlines to lay, and a checker of how they lie that knows nothing of the search."""

import csv
from fractions import Fraction
from itertools import combinations
from pathlib import Path

from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import (
    outline_kinds,
)
from studio.maths.sheets.laid import outline_of
from studio.maths.sheets.problem import SheetPiece

WORKED = Path(__file__).parents[1] / "worked" / "sheets_nested.csv"
USUAL = Sheet()
SEAM_MM = Fraction("6.35")


def measured_outlines():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return {row["shape"]: row["corners"] for row in csv.DictReader(file)}


def outlined(name, count=1, **more):
    corners = [
        tuple(Fraction(part) for part in at.split())
        for at in measured_outlines()[name].split("; ")
    ]
    left, top = (min(at[n] for at in corners) for n in (0, 1))
    outline = tuple((x - left, y - top) for x, y in corners)
    return SheetPiece(
        name, *outline_kinds.box_mm(outline), count, outline_mm=outline, **more
    )


def square(side, count=1, **more):
    return SheetPiece(f"square {side}", Fraction(side), Fraction(side), count, **more)


MIXED = (outlined("heart"), outlined("kite", 2), outlined("hexagon", 2))
WITH_SQUARE = (outlined("rhomb"), square("76.2"), outlined("triangle"))


def squared_distance(at, start, end):
    """From a corner to an edge, as a fraction; plain geometry."""
    ux, uy = end[0] - start[0], end[1] - start[1]
    px, py = at[0] - start[0], at[1] - start[1]
    share = Fraction(px * ux + py * uy) / (ux * ux + uy * uy)
    share = min(Fraction(1), max(Fraction(0), share))
    return (px - share * ux) ** 2 + (py - share * uy) ** 2


def nearest_squared(one, other):
    return min(
        squared_distance(at, *edge)
        for a, b in ((one, other), (other, one))
        for at in a
        for edge in zip(b, (*b[1:], b[0]), strict=True)
    )


def boxes_near(one, other, gap):
    return all(
        min(at[n] for at in one) - gap < max(at[n] for at in other)
        and min(at[n] for at in other) - gap < max(at[n] for at in one)
        for n in (0, 1)
    )


def faults(laid, pieces, sheet):
    """Pieces over the edge, and pairs nearer than the gap."""
    outlines = [outline_of(pieces[one.kind], one) for one in laid]
    for corners in outlines:
        if not all(
            sheet.edge_mm <= x <= sheet.width_mm - sheet.edge_mm
            and sheet.edge_mm <= y <= sheet.height_mm - sheet.edge_mm
            for x, y in corners
        ):
            yield "over the edge", corners
    for one, other in combinations(outlines, 2):
        near = boxes_near(one, other, sheet.gap_mm)
        if near and nearest_squared(one, other) < sheet.gap_mm**2:
            yield "too near", one, other
