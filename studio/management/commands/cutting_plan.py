from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError

from inventory.models import BundleContents
from studio.errors import StudioError
from studio.maths import cutting_plan
from studio.maths import cutting_plan_reading as reading
from studio.maths import cutting_plan_words as words
from studio.maths.cloth import (
    FAT_QUARTER,
    FIVE_INCH_SQUARE,
    STRIP,
    TEN_INCH_SQUARE,
    Bolt,
    Bundle,
    PreCut,
)
from studio.maths.cutting_plan_drawing import drawing
from studio.maths.cutting_plan_values import Plan

SHAPES = {
    BundleContents.Form.FAT_QUARTER.value: FAT_QUARTER,
    BundleContents.Form.STRIP.value: STRIP,
    BundleContents.Form.FIVE_INCH.value: FIVE_INCH_SQUARE,
    BundleContents.Form.TEN_INCH.value: TEN_INCH_SQUARE,
}
STAGES = {2: "2N", 3: "3N"}


class Command(BaseCommand):
    help = "Plan how to cut a list of pieces from the least cloth, and prove it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("pieces", type=Path, metavar="PIECES.csv")
        cloth = parser.add_mutually_exclusive_group(required=True)
        cloth.add_argument("--bolt", metavar="WIDTH", help="Usable width of a bolt.")
        cloth.add_argument("--from", dest="size", metavar="WxH", help="As in 18x21.")
        cloth.add_argument("--bundle", metavar="CODE", help="A bundle in the book.")
        parser.add_argument("--stages", type=int, choices=(2, 3), default=2)
        parser.add_argument("--seconds", default="1", metavar="N")
        parser.add_argument("--json", action="store_true", dest="for_machines")
        parser.add_argument("--svg", type=Path, metavar="FILE")

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            bundle = _bundle(options["bundle"]) if options["bundle"] else None
            plans = _plans(options, bundle)
        except StudioError as refused:
            raise CommandError(str(refused), returncode=2) from refused
        if options["svg"]:
            _draw(options["svg"], plans)
        if options["for_machines"]:
            self.stdout.write(_for_machines(plans))
        else:
            self.stdout.write("\n".join(_for_people(plans, bundle)))


def _plans(options: dict[str, Any], bundle: Bundle | None) -> dict[str, Plan]:
    cloths = reading.read_pieces(reading.text_of(options["pieces"]))
    seconds = reading.read_seconds(options["seconds"])
    cloth: Bolt | PreCut
    if options["bolt"]:
        cloth = reading.read_bolt(options["bolt"])
    else:
        cloth = bundle.shape if bundle else reading.read_shape(options["size"])
    if isinstance(cloth, PreCut):
        return {
            name: cutting_plan.fewest_pieces(wanted, cloth, seconds=seconds)
            for name, wanted in cloths.items()
        }
    stages = STAGES[options["stages"]]
    return {
        name: cutting_plan.least_length(wanted, cloth, stages=stages, seconds=seconds)
        for name, wanted in cloths.items()
    }


def _bundle(code: str) -> Bundle:
    try:
        contents = BundleContents.objects.filter(item__code=code).first()
    except DatabaseError as failed:
        raise reading.ClothUnreadable(
            "There is no book here yet to look the bundle up in. "
            "Start the studio once, or say the size of the cloth with --from."
        ) from failed
    if contents is None:
        raise reading.ClothUnreadable(
            f"No bundle in the book has the code “{code}”. "
            "Look up its code on the page of the bundle."
        )
    shape = SHAPES[contents.form]
    width, height = contents.usable_width_inches, contents.usable_length_inches
    if width and height:
        shape = PreCut(shape.name, width, height)
    return Bundle(code, shape, contents.count, contents.prints)


def _draw(file: Path, plans: dict[str, Plan]) -> None:
    """Draw each cloth in a file of its own, numbered where there are several."""
    for number, plan in enumerate(plans.values(), 1):
        own = file.with_stem(f"{file.stem}-{number}") if len(plans) > 1 else file
        own.write_text(drawing(plan), encoding="utf-8")


def _for_machines(plans: dict[str, Plan]) -> str:
    written = [
        {"name": name, **words.as_json(plan)} if name else words.as_json(plan)
        for name, plan in plans.items()
    ]
    whole = written[0] if len(written) == 1 else {"plans": written}
    return json.dumps(whole, ensure_ascii=False, indent=2)


def _for_people(plans: dict[str, Plan], bundle: Bundle | None) -> list[str]:
    lines = []
    for name, plan in plans.items():
        lines += [f"{name.capitalize()}:"] if name else []
        lines += words.printed(plan)
    if bundle:
        used = sum(int(plan.used) for plan in plans.values())
        lines.append(words.of_bundle(bundle, used))
    return [*lines, "", cutting_plan.CAUTION]
