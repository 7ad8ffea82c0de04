from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from studio import sheet_files
from studio.errors import StudioError
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import (
    asking,
    drawn,
    layout,
    piece_file,
    refusals,
    spare,
    telling,
)
from studio.maths.sheets.layout import SheetPlan
from studio.maths.sheets.plan import USUAL_SECONDS
from studio.maths.sheets.problem import SheetPiece
from studio.maths.sheets.spare import NearMiss, Spare


class Command(BaseCommand):
    help = (
        "Lay template pieces on acrylic sheets. PIECES.csv holds name, width, height, "
        "count of one set, and turn (yes or no); its bare numbers are inches. Sheet, "
        "gap, edge and kerf are millimetres."
    )
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("pieces", metavar="PIECES.csv")
        parser.add_argument("--sheet", default="600x400", help="such as 600x400")
        parser.add_argument("--gap", default="2", help="between pieces")
        parser.add_argument("--edge", default="5", help="left all round")
        parser.add_argument("--kerf", default="0", help="what the beam or blade takes")
        parser.add_argument("--kerf-out", action="store_true", help="draw without it")
        parser.add_argument("--saw", action="store_true", help="cuts side to side")
        parser.add_argument("--sets", default="1", help="how many sets are wanted")
        parser.add_argument("--fill", default="", help='what else: "3 1/2x3 1/2"')
        parser.add_argument("--seconds", default=USUAL_SECONDS, type=float)
        parser.add_argument("--json", action="store_true", help="for programs")
        parser.add_argument("--svg", default="", metavar="FILE")
        parser.add_argument("--dxf", default="", metavar="FILE")

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            asked = _Asked(options)
            said = asked.said()
            written = list(asked.write_files())
        except StudioError as error:
            self.stderr.write(str(error))
            sys.exit(2)
        self.stdout.write(said)
        for path in written:
            if not options["json"]:
                self.stdout.write(f"Written: {path}")


class _Asked:
    """What was typed, read and answered, before anything is written."""

    def __init__(self, options: dict[str, Any]) -> None:
        self.options = options
        sheet = asking.read_sheet(
            options["sheet"], edge=options["edge"], gap=options["gap"]
        )
        self.kerf_mm = asking.read_kerf(options["kerf"])
        self.kerf_in = not options["kerf_out"]
        self.sheet: Sheet = layout.kept_apart(sheet, self.kerf_mm)
        self.pieces: tuple[SheetPiece, ...] = _read_file(options["pieces"])
        self.plan: SheetPlan = layout.lay_out(
            self.pieces,
            self.sheet,
            sets=_read_sets(options["sets"], self.pieces),
            saw=options["saw"],
            seconds=_read_seconds(options["seconds"]),
        )

    def said(self) -> str:
        how: dict[str, Any] = {"kerf_mm": self.kerf_mm, "kerf_in": self.kerf_in}
        how["miss"] = self._near_miss()
        if self.options["json"]:
            found = telling.as_data(self.plan, **how)
            return json.dumps(found, ensure_ascii=False, indent=2)
        return "\n".join(telling.as_lines(self.plan, **how, extra=self._extra()))

    def write_files(self) -> Iterator[Path]:
        """Write every file, or none where one cannot be put together."""
        files = [
            (path, text)
            for name, write in (
                ("svg", sheet_files.svg_file),
                ("dxf", sheet_files.dxf_file),
            )
            if self.options[name]
            for path, text in self._files(Path(self.options[name]), write)
        ]
        for path, text in files:
            try:
                path.write_text(text, encoding="utf-8", newline="\n")
            except OSError as refused:
                raise FileUnwritable(path, refused.strerror) from refused
            yield path

    def _files(self, path: Path, write: Any) -> Iterator[tuple[Path, str]]:
        """Put together one file for each sheet that is cut differently."""
        alike = self.plan.alike()
        kerf_mm = self.kerf_mm if self.kerf_in else Fraction(0)
        for number, (stocks, laid) in enumerate(alike, start=1):
            title = f"{path.stem}, cut {len(stocks)} of this sheet"
            drawing = drawn.drawn_rectangles(title, laid, self.sheet, kerf_mm=kerf_mm)
            one = path.with_name(f"{path.stem}-{number}{path.suffix}")
            yield (path if number == 1 else one), write(drawing)

    def _near_miss(self) -> NearMiss | None:
        now = self.plan.full.sets
        return spare.near_miss(
            self.pieces, self.sheet, now, kerf_mm=self.kerf_mm, saw=self.plan.saw
        )

    def _extra(self) -> Spare | None:
        if not self.options["fill"]:
            return None
        extra = asking.read_extra(self.options["fill"])
        return spare.what_else(self.pieces, extra, self.sheet, saw=self.plan.saw)


class FileUnwritable(StudioError):
    """A file that cannot be written where it was asked for."""

    def __init__(self, path: Path, reason: str | None) -> None:
        self.path = path
        super().__init__(f"{path} cannot be written: {reason}.")


def _read_file(name: str) -> tuple[SheetPiece, ...]:
    try:
        with Path(name).open(newline="", encoding="utf-8-sig") as lines:
            return piece_file.read_pieces(lines)
    except OSError as refused:
        raise piece_file.PieceFileUnfit(
            f"{name} cannot be opened: {refused.strerror}."
        ) from refused


def _read_sets(typed: str, pieces: tuple[SheetPiece, ...]) -> int:
    if not typed.isdecimal() or not int(typed[:9]):
        raise refusals.SheetImpossible(
            f"A number of sets of “{typed}”", "it is a whole number from 1"
        )
    sets = int(typed[:9])
    piece_file.checked_total(pieces, sets)
    return sets


def _read_seconds(seconds: float) -> float:
    if not 0 < seconds <= 3600:
        raise refusals.SheetImpossible(
            f"A search of {seconds} seconds", "it is from a moment to 3600"
        )
    return seconds
