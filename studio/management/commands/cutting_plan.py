from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from studio import plan_papers
from studio.bundles import bundle_of
from studio.errors import StudioError
from studio.maths import cutting_plan
from studio.maths import cutting_plan_reading as reading
from studio.maths import cutting_plan_words as words
from studio.maths.cloth import Bolt, Bundle, PreCut
from studio.maths.cutting_plan_drawing import drawing
from studio.maths.cutting_plan_values import Plan

STAGES = {2: "2N", 3: "3N"}


class Command(BaseCommand):
    help = (
        "Plan how to cut a list of pieces from the least cloth, and prove it. "
        "PIECES.csv holds name, width, height, count, and if need be cloth and turn "
        "(yes or no); its bare numbers are inches."
    )
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("pieces", type=Path, metavar="PIECES.csv")
        cloth = parser.add_mutually_exclusive_group(required=True)
        cloth.add_argument(
            "--bolt",
            metavar="WIDTH",
            help="Usable width of a bolt; add what straightening takes.",
        )
        cloth.add_argument("--from", dest="size", metavar="WxH", help="As in 18x21.")
        cloth.add_argument("--bundle", metavar="CODE", help="A bundle in the book.")
        parser.add_argument(
            "--stages",
            type=int,
            choices=(2, 3),
            default=2,
            help="Of a bolt: strips and cross-cuts, or stacks of pieces in them, too.",
        )
        parser.add_argument(
            "--seconds", default="1", metavar="N", help="For each cloth; 0.1 to 600."
        )
        parser.add_argument(
            "--json", action="store_true", dest="for_machines", help="For programs."
        )
        parser.add_argument("--svg", type=Path, metavar="FILE", help="To look at.")
        parser.add_argument("--pdf", type=Path, metavar="FILE", help="To print on A4.")

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            bundle = bundle_of(options["bundle"]) if options["bundle"] else None
            plans = _plans(options, bundle)
            if options["pdf"]:
                _print(options["pdf"], options["pieces"].stem, plans, bundle)
            if options["svg"]:
                _draw(options["svg"], plans)
        except StudioError as refused:
            self.stderr.write(str(refused))
            sys.exit(2)
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
    stages = STAGES[options["stages"]]
    return {
        name: cutting_plan.plan_for(wanted, cloth, stages=stages, seconds=seconds)
        for name, wanted in cloths.items()
    }


def _print(
    file: Path, name: str, plans: dict[str, Plan], bundle: Bundle | None
) -> None:
    """Print all plans as one paper; nothing is written if that cannot be done."""
    more = {"bundle_words": _of_bundle(plans, bundle)}
    _write(file, plan_papers.pdf_of(plans, f"Cutting plan: {name}", more=more))


def _draw(file: Path, plans: dict[str, Plan]) -> None:
    """Draw each cloth in a file of its own, numbered where there are several."""
    for number, plan in enumerate(plans.values(), 1):
        own = file.with_stem(f"{file.stem}-{number}") if len(plans) > 1 else file
        _write(own, drawing(plan).encode())


def _write(file: Path, content: bytes) -> None:
    try:
        file.write_bytes(content)
    except OSError as failed:
        raise reading.ClothUnreadable(
            f"{file} cannot be written: {failed.strerror}. Choose another place."
        ) from failed


def _of_bundle(plans: dict[str, Plan], bundle: Bundle | None) -> str:
    if bundle is None:
        return ""
    return words.of_bundle(bundle, sum(int(plan.used) for plan in plans.values()))


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
    lines += filter(None, [_of_bundle(plans, bundle)])
    return [*lines, "", cutting_plan.CAUTION]
