"""The bundles' page: which bundle makes which kits, what is left, and how to cut it.

Another page may lead here with ``pieces``, the lines of a cut list for one kit, and
``title``; or with ``kits``, lines of name, block, size and number. ``rule``,
``one_way`` and ``wanted`` stand for the rules and the number of kits; ``kit`` (a number
from 0) and ``bundle`` (a code) say which of them is looked at closely.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import cast
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET

from studio import bundle_kits, cloth_plans
from studio.access import OWNER, WORKSHOP, StudioRequest, for_roles
from studio.bundle_forms import BundlesForm
from studio.bundle_kits import BundleRow, Clock, KitRow
from studio.errors import StudioError
from studio.maths import cutting_plan_reading as reading
from studio.maths import cutting_plan_words as words
from studio.maths.cloth import NOT_PROMISED, FromOnePrint
from studio.maths.cutting_kits_values import Project
from studio.maths.cutting_list import CutPiece, gathered
from studio.maths.cutting_plan import CAUTION
from studio.maths.cutting_units import Wanted
from studio.views.blocks import typed

GOING_ON = (20, 60)


@dataclass(frozen=True)
class Close:
    """One kit from one bundle, looked at closely: its plans, and what to keep."""

    row: KitRow
    kits: int
    answers: tuple[str, ...]
    scraps: tuple[str, ...]
    address: str


@for_roles(OWNER, WORKSHOP)
@require_GET
def bundles(request: HttpRequest) -> HttpResponse:
    asked = typed(request)
    form = BundlesForm(asked)
    context: dict[str, object] = {"form": form, "room": "blocks"}
    context |= {"caution": CAUTION, "not_promised": NOT_PROMISED}
    if form.is_valid():
        if form.cleaned_data["seconds"] >= GOING_ON[0]:
            return _gone_on(form, asked, cast(StudioRequest, request))
        context |= _worked_out(form, asked, cast(StudioRequest, request))
    return render(request, "studio/bundles.html", context)


def _gone_on(
    form: BundlesForm, asked: dict[str, str], request: StudioRequest
) -> HttpResponse:
    """Work for so long, and lead to the page that shows what is kept of it.

    So a page that is loaded again shows what is known, and each press goes on.
    """
    rule, seconds = form.cleaned_data["rule"], form.cleaned_data["seconds"]
    bundle_kits.rows(form.projects(), rule, Clock(seconds), now=request.now)
    kept = {name: words for name, words in asked.items() if name != "seconds"}
    return redirect(f"{reverse('studio:bundles')}?{urlencode(kept)}")


def _worked_out(
    form: BundlesForm, asked: dict[str, str], request: StudioRequest
) -> dict[str, object]:
    projects, rule = form.projects(), form.cleaned_data["rule"]
    seconds, wanted = form.cleaned_data["seconds"], form.cleaned_data["wanted"]
    rows = bundle_kits.rows(projects, rule, Clock(seconds), now=request.now)
    project = projects[_number(asked.get("kit", ""), len(projects))]
    clock = Clock(max(bundle_kits.QUICK_SECONDS, seconds / 2))
    near = bundle_kits.kit_rows(project, rows, rule, clock, wanted=wanted)
    rows = bundle_kits.with_closer(rows, near)
    return {
        "projects": _linked(projects, asked),
        "project": project,
        "lines": form.lines,
        "rows": rows,
        "near": [(one, _query(asked, bundle=one.row.code)) for one in near],
        "close": _close(project, near, asked.get("bundle", ""), rule, clock),
        "wanted": wanted,
        "going_on": _going_on(rows, asked),
        "so_far": bundle_kits.kept_so_far(rows),
        "unseen": sum(c.is_unseen for row in rows for c in row.cells),
    }


def _number(typed_number: str, below: int) -> int:
    is_one = typed_number.isascii() and typed_number.isdigit()
    number = int(typed_number[:3]) if is_one else 0
    return number if number < below else 0


def _query(asked: dict[str, str], **more: str) -> str:
    return urlencode({**asked, **more})


def _linked(
    projects: Sequence[Project], asked: dict[str, str]
) -> list[tuple[Project, str]]:
    return [
        (project, _query(asked, kit=str(number)))
        for number, project in enumerate(projects)
    ]


def _going_on(
    rows: Sequence[BundleRow], asked: dict[str, str]
) -> list[tuple[int, str]]:
    """Give the longer looks there are, if any of the answers may still change."""
    if not any(cell.is_open for row in rows for cell in row.cells):
        return []
    return [(more, _query(asked, seconds=str(more))) for more in GOING_ON]


def _close(
    project: Project,
    near: Sequence[KitRow],
    code: str,
    rule: FromOnePrint,
    clock: Clock,
) -> Close | None:
    """Plan as many kits as one bundle gives: the one asked for, or the first."""
    gives = [one for one in near if one.one.made is not None and one.one.made.kits]
    chosen = next((one for one in gives if one.row.code == code), None)
    chosen = chosen or next(iter(gives), None)
    if chosen is None or chosen.one.made is None or chosen.row.bundle is None:
        return None
    kits = chosen.one.made.kits
    cloths = _cloths(project, kits, rule)
    try:
        plans = cloth_plans.plans_for(
            cloths, chosen.row.bundle.shape, stages="2N", seconds=clock.quick
        )
    except StudioError:
        return None
    scraps = [scrap for plan in plans.values() for scrap in plan.scraps]
    return Close(
        chosen,
        kits,
        tuple(
            f"{name.capitalize()}: {words.answer(plan)}" if name else words.answer(plan)
            for name, plan in plans.items()
        ),
        words.scrap_lines(scraps),
        _address(cloths, f"{kits} × {project.name} from {chosen.row.code}", chosen),
    )


def _cloths(project: Project, kits: int, rule: FromOnePrint) -> dict[str, list[Wanted]]:
    """Give what so many kits are cut into: all together, or by cloth for one print."""
    cloths: dict[str, list[Wanted]] = {}
    for one in project.wanted:
        count = one.piece.count * project.blocks * kits
        name = "" if rule is FromOnePrint.NOTHING else one.piece.role
        piece = replace(one.piece, count=count, role=name)
        cloths.setdefault(name, []).append(Wanted(piece, one.turns))
    return cloths


def _address(cloths: dict[str, list[Wanted]], title: str, chosen: KitRow) -> str:
    """Give the address that draws these plans on the cutting plan's page."""
    wanted = [one for cloth in cloths.values() for one in cloth]
    pieces: tuple[CutPiece, ...] = gathered(one.piece for one in wanted)
    query = {
        "pieces": reading.write_pieces(pieces, turns=wanted[0].turns),
        "cut_from": f"bundle-{chosen.row.code}",
        "title": title,
    }
    return f"{reverse('studio:cloth')}?{urlencode(query)}"
