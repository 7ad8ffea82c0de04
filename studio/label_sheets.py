"""Where each label lies on an A4 sheet of labels, from the sheet's own figures.

    x = left + (column - 1) × pitch_x, y = top + (row - 1) × pitch_y, counted left to
    right, then down; left = (210 - (across - 1) × pitch_x - width) / 2 when centred
    sheets = ceil((labels + first_free - 1) / labels on a sheet)

All lengths are hundredths of a millimetre. Source of the known sheets: dimensions in
open label data, within 0.1 mm, the 24-up from memory; makers of the 65-up sheet differ
by up to 1 mm, so each can be nudged and a new one is a row of figures.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from studio.errors import StudioError

Label = TypeVar("Label")


class NoSuchLabel(StudioError):
    """A place that the sheet does not have."""

    def __init__(self, number: int, count: int) -> None:
        self.number = number
        self.count = count
        super().__init__(
            f"This sheet has {count} labels, so there is no label {number}. "
            f"Choose a place from 1 to {count}."
        )


@dataclass(frozen=True)
class LabelSheet:
    """An A4 sheet of labels: how many, how large, how far apart, how far in."""

    across: int
    down: int
    width_hundredths_mm: int
    height_hundredths_mm: int
    pitch_x_hundredths_mm: int
    pitch_y_hundredths_mm: int
    left_hundredths_mm: int
    top_hundredths_mm: int

    @property
    def count(self) -> int:
        return self.across * self.down

    @property
    def name(self) -> str:
        return f"{self.across}x{self.down}"


@dataclass(frozen=True)
class Place:
    """Where one label lies: its row and column, and its top left corner."""

    row: int
    column: int
    x_hundredths_mm: int
    y_hundredths_mm: int


@dataclass(frozen=True)
class Slot(Generic[Label]):
    """A label and the class that puts it in its place on the sheet."""

    class_name: str
    label: Label


KNOWN_SHEETS = {
    sheet.name: sheet
    for sheet in (
        LabelSheet(2, 4, 9_910, 6_770, 10_160, 6_770, 465, 1_310),
        LabelSheet(2, 7, 9_910, 3_810, 10_160, 3_810, 465, 1_515),
        LabelSheet(3, 7, 6_350, 3_810, 6_600, 3_810, 725, 1_515),
        LabelSheet(3, 8, 6_350, 3_390, 6_600, 3_390, 725, 1_290),
        LabelSheet(5, 13, 3_810, 2_120, 4_060, 2_120, 475, 1_070),
    )
}


def place_of(sheet: LabelSheet, number: int) -> Place:
    """Find label `number`, from 1; raise NoSuchLabel beyond the sheet."""
    if not 1 <= number <= sheet.count:
        raise NoSuchLabel(number, sheet.count)
    row, column = divmod(number - 1, sheet.across)
    return Place(
        row=row + 1,
        column=column + 1,
        x_hundredths_mm=sheet.left_hundredths_mm + column * sheet.pitch_x_hundredths_mm,
        y_hundredths_mm=sheet.top_hundredths_mm + row * sheet.pitch_y_hundredths_mm,
    )


def sheets_needed(sheet: LabelSheet, labels: int, *, first_free: int = 1) -> int:
    """Count the sheets when the first one is free from `first_free` on."""
    if not 1 <= first_free <= sheet.count:
        raise NoSuchLabel(first_free, sheet.count)
    return -(-(labels + first_free - 1) // sheet.count) if labels else 0


def lay_out(
    sheet: LabelSheet, labels: Sequence[Label], *, first_free: int = 1
) -> list[list[Slot[Label]]]:
    """Put the labels on sheets, in order, leaving the used places of the first."""
    sheets: list[list[Slot[Label]]] = [
        [] for _ in range(sheets_needed(sheet, len(labels), first_free=first_free))
    ]
    for index, label in enumerate(labels, start=first_free - 1):
        page, place = divmod(index, sheet.count)
        sheets[page].append(Slot(f"label-{place + 1}", label))
    return sheets


def stylesheet(
    sheet: LabelSheet, *, nudge_x_tenths_mm: int = 0, nudge_y_tenths_mm: int = 0
) -> str:
    """Write the rules that put each `.label-n` in its place, in millimetres."""
    nudge = (nudge_x_tenths_mm * 10, nudge_y_tenths_mm * 10)
    return "\n".join(_rules(sheet, *nudge))


def _rules(sheet: LabelSheet, nudge_x: int, nudge_y: int) -> Iterator[str]:
    size = (sheet.width_hundredths_mm, sheet.height_hundredths_mm)
    yield f".label {{ width: {_mm(size[0])}; height: {_mm(size[1])}; }}"
    for number in range(1, sheet.count + 1):
        place = place_of(sheet, number)
        left = _mm(place.x_hundredths_mm + nudge_x)
        top = _mm(place.y_hundredths_mm + nudge_y)
        yield f".label-{number} {{ left: {left}; top: {top}; }}"


def _mm(hundredths: int) -> str:
    sign = "-" if hundredths < 0 else ""
    whole, rest = divmod(abs(hundredths), 100)
    return f"{sign}{whole}.{rest:02}mm"
