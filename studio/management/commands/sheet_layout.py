from __future__ import annotations

import json
import re
import sys
from argparse import ArgumentParser
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from studio import sheet_files, sheet_proofs
from studio.errors import StudioError
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import (
    asking,
    keeping,
    laid,
    layout,
    piece_file,
    refusals,
    spare,
    telling,
)
from studio.maths.sheets.drawn import SheetDrawing
from studio.maths.sheets.laid import Laid, SheetPlan
from studio.maths.sheets.problem import SheetPiece
from studio.maths.sheets.spare import NearMiss, Spare


class Command(BaseCommand):
    help = (
        "Lay template pieces on acrylic sheets. PIECES.csv holds name, width, height and "
        "count of one set; it may hold turn, shape, narrow, finished and fills. Its bare "
        "numbers are inches. Sheet, gap, edge and kerf are millimetres."
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
        parser.add_argument("--seconds", default="", help="how long to look")
        parser.add_argument("--json", action="store_true", help="for programs")
        parser.add_argument("--svg", default="", metavar="FILE")
        parser.add_argument("--dxf", default="", metavar="FILE")
        parser.add_argument("--pdf", default="", metavar="FILE", help="a 1:1 proof")

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
        self.sheet: Sheet = laid.kept_apart(sheet, self.kerf_mm)
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
        writers: dict[str, Callable[[SheetDrawing], bytes]] = {
            "svg": lambda drawing: sheet_files.svg_file(drawing).encode(),
            "dxf": lambda drawing: sheet_files.dxf_file(drawing).encode(),
            "pdf": lambda drawing: sheet_proofs.proof_pdf(drawing, saw=self.plan.saw),
        }
        files = [
            (path, written)
            for name, write in writers.items()
            if self.options[name]
            for path, written in self._files(Path(self.options[name]), write)
        ]
        for path, written in files:
            try:
                path.write_bytes(written)
            except OSError as refused:
                raise FileUnwritable(path, refused.strerror) from refused
            yield path

    def _files(
        self, path: Path, write: Callable[[SheetDrawing], bytes]
    ) -> Iterator[tuple[Path, bytes]]:
        """Put together one file for each sheet that is cut differently."""
        for number, (times, ones) in enumerate(self._different(), start=1):
            kept = keeping.keep(
                self.plan, ones, kerf_mm=self.kerf_mm, kerf_in=self.kerf_in
            )
            drawing = kept.drawing(f"{path.stem}, cut {times} of this sheet")
            one = path.with_name(f"{path.stem}-{number}{path.suffix}")
            yield (path if number == 1 else one), write(drawing)

    def _different(self) -> list[tuple[int, tuple[Laid, ...]]]:
        """List the sheets to cut; with what fills the rest, the fullest alone."""
        if any(piece.fills for piece in self.plan.pieces):
            return [(1, self.plan.full_laid)]
        return [(len(stocks), ones) for stocks, ones in self.plan.alike()]

    def _near_miss(self) -> NearMiss | None:
        now = self.plan.full.sets
        return spare.near_miss(
            self.plan.set_pieces,
            self.sheet,
            now,
            kerf_mm=self.kerf_mm,
            saw=self.plan.saw,
        )

    def _extra(self) -> Spare | None:
        if not self.options["fill"]:
            return None
        extra = asking.read_extra(self.options["fill"])
        return spare.what_else(
            self.plan.set_pieces, extra, self.sheet, saw=self.plan.saw
        )


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


def _read_seconds(typed: str) -> float | None:
    """Read how long to look; nothing typed is what such pieces usually take."""
    if not typed:
        return None
    bare = re.fullmatch(r"[0-9]{1,4}(\.[0-9]{1,3})?", typed.strip())
    if not bare or not 0 < float(typed) <= 3600:
        raise refusals.SheetImpossible(
            f"A search of “{typed}” seconds", "it is from a moment to 3600"
        )
    return float(typed)
