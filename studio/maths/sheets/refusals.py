"""What cannot lie on a sheet, each said in a sentence with the piece and the limit."""

from __future__ import annotations

from fractions import Fraction

from studio.errors import StudioError
from studio.lengths import show_millimetres
from studio.maths.sheet_layout import Sheet

LARGEST_SHEET_MM = Fraction(5000)
FINEST_PIECE_INCHES = Fraction(1, 16)
MOST_PIECES = 5000


class SheetSmallerThanEdges(StudioError):
    """A sheet whose edges leave no room inside."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        super().__init__(sheet)

    def __str__(self) -> str:
        edge = show_millimetres(self.sheet.edge_mm)
        return (
            f"A sheet of {_size(self.sheet.width_mm, self.sheet.height_mm)} has no room "
            f"inside an edge of {edge} all round; use a larger sheet or a smaller edge."
        )


class PieceTooLarge(StudioError):
    """A piece that the room inside the edges cannot hold either way round."""

    def __init__(
        self, name: str, width_mm: Fraction, height_mm: Fraction, sheet: Sheet
    ) -> None:
        self.name = name
        self.width_mm = width_mm
        self.height_mm = height_mm
        self.sheet = sheet
        super().__init__(name, width_mm, height_mm, sheet)

    def __str__(self) -> str:
        return (
            f"{self.name} is {_size(self.width_mm, self.height_mm)}, and the room "
            f"inside the edges is {_size(*self.sheet.room_mm)}, so it does not fit in "
            "any turn it may take; use a larger sheet or a smaller piece."
        )


class TooManyKinds(StudioError):
    """More kinds of piece than can be laid together by their outlines."""

    def __init__(self, kinds: int, most: int) -> None:
        self.kinds = kinds
        self.most = most
        super().__init__(kinds, most)

    def __str__(self) -> str:
        return (
            f"These are {self.kinds} kinds of piece, and where some are no rectangles "
            f"{self.most} is the limit; lay some of them by themselves."
        )


class SheetImpossible(StudioError):
    """A measure of the sheet, the gap, the edge or the kerf that cannot be meant."""

    def __init__(self, what: str, limit: str) -> None:
        self.what = what
        self.limit = limit
        super().__init__(what, limit)

    def __str__(self) -> str:
        return f"{self.what} cannot be meant; {self.limit}."


def _size(width_mm: Fraction, height_mm: Fraction) -> str:
    width = show_millimetres(width_mm).removesuffix(" mm")
    return f"{width} × {show_millimetres(height_mm)}"
