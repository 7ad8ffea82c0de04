from __future__ import annotations

import json
import re
import sys
from argparse import ArgumentParser
from fractions import Fraction
from typing import Any

from django.core.management.base import BaseCommand
from django.db import DatabaseError

from studio import block_book
from studio.errors import StudioError
from studio.maths import block_asking
from studio.maths.block_asking import Asked
from studio.maths.block_tables import Row, note_of, role_lists, units_made
from studio.maths.known_blocks import KnownBlock, known_block
from studio.maths.metric import MM
from studio.maths.patch.recipe import CAUTION, Cutting, Making

BELOW_NOUGHT = re.compile(r"-\s*[\d.½¼¾⅛⅜⅝⅞]")


class Command(BaseCommand):
    help = (
        "Print what to cut for a block at a finished size. Bare numbers are inches. "
        "With --metric a size in inches is redrafted, 2.5 cm for an inch."
    )
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("block", metavar="BLOCK", help="such as: sawtooth star")
        parser.add_argument("size", metavar="SIZE", help='such as: 8, "4 1/2", 30cm')
        parser.add_argument("--way", default="", help="such as: stitch and flip")
        parser.add_argument("--mode", default="trade", help="exact, trade or oversize")
        parser.add_argument("--seam", default="", help="1/4 unless said; metric 7.5mm")
        parser.add_argument("--metric", action="store_true", help="cut in centimetres")
        parser.add_argument("--json", action="store_true", help="for programs")

    def run_from_argv(self, argv: list[str]) -> None:
        # A size below nought is no option: with a space before it, it is read as a size.
        super().run_from_argv(
            [f" {word}" if BELOW_NOUGHT.match(word) else word for word in argv]
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            asked = asked_for(options)
            said = as_json(asked) if options["json"] else as_text(asked)
        except StudioError as error:
            self.stderr.write(str(error))
            sys.exit(2)
        self.stdout.write(said)


def asked_for(options: dict[str, Any]) -> Asked:
    known = known_or_own(options["block"])
    metric = options["metric"] or block_asking.wants_metric(options["size"])
    making = Making(
        block_asking.read_mode(options["mode"]),
        block_asking.read_seam(options["seam"], metric=metric),
    )
    ways = block_asking.read_ways(known, options["way"])
    return block_asking.read_asked(known, options["size"], making=making, ways=ways)


def known_or_own(name: str) -> KnownBlock:
    """Find a block; where there is no book yet, among those of the trade."""
    try:
        return block_book.find(name)
    except DatabaseError:
        return known_block(name)


def as_json(asked: Asked) -> str:
    """Write exact lengths: inches, or centimetres where the unit says so."""
    unit = 10 * MM if asked.ruler.is_metric else Fraction(1)
    pieces = [
        {
            "name": piece.name,
            "role": piece.role,
            "count": piece.count,
            "width": str(piece.width_inches / unit),
            "height": str(piece.height_inches / unit),
            "then": piece.then,
        }
        for piece in asked.cut_list()
    ]
    listed = {
        "block": asked.known.name,
        "finished": str(asked.finished_inches / unit),
        "way": asked.way,
        "mode": asked.making.cutting.value,
        "seam": str(asked.ruler.seam_inches / unit),
        "pieces": pieces,
    }
    if asked.making.cutting is Cutting.OVERSIZE:
        listed["trim"] = _trims(asked, unit)
    if asked.ruler.is_metric:
        listed["unit"] = "cm"
    return json.dumps(listed, ensure_ascii=False, indent=2)


def _trims(asked: Asked, unit: Fraction) -> list[dict[str, object]]:
    return [
        {
            "unit": made.name,
            "count": made.unit.number,
            "width": str(made.recipe.trim_inches[0] / unit),
            "height": str(made.recipe.trim_inches[1] / unit),
        }
        for made in units_made(asked)
        if made.recipe.trim_inches
    ]


def as_text(asked: Asked) -> str:
    ruler = asked.ruler
    lines = [
        f"{asked.known.name.capitalize()}, {asked.size} finished, {asked.way}, "
        f"{block_asking.MODES[asked.making.cutting]}, "
        f"seam {ruler.show(ruler.seam_inches)}."
    ]
    if asked.redrafted_from is not None:
        lines.append(f"Redrafted from {asked.redrafted_from} in, 2.5 cm for an inch.")
    for part in role_lists(asked):
        lines += [f"{part.role}:", *map(_line, part.rows)]
    lines += [
        f"{made.unit.number} × {made.name} ({made.roles}), {made.size} finished: "
        f"trim each to {made.trim}."
        for made in units_made(asked)
        if made.trim
    ]
    return "\n".join([*lines, *filter(None, [note_of(asked)]), CAUTION])


def _line(row: Row) -> str:
    then = f", {row.piece.then}" if row.piece.then else ""
    exact = f" ({row.beside})" if row.beside.endswith(" mm") else ""
    return f"  {row.piece.count} × {row.piece.name}, {row.size}{exact}{then}"
