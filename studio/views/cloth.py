"""The cutting plan: pieces and cloth in the address, the plan drawn with its bound.

Other pages lead here with ``block``, ``size``, ``number`` and whatever else the block's
page asks (``mode``, ``seam``, ``system``, ``way-…``), or with ``pieces``, the lines of a
cut list, and ``title``. ``address_of`` writes the latter for any list of pieces. The
cloth is asked with ``cut_from`` (``bolt``, the word of a pre-cut shape such as
``fat-quarter``, ``size``, or ``bundle-`` and a code), ``width``, ``straighten``,
``size``, ``one_way``, ``stages`` (``2N``, ``3N``) and ``seconds``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from studio import cloth_plans, plan_papers, printing
from studio.access import OWNER, WORKSHOP, for_roles
from studio.block_forms import BlockForm
from studio.cloth_forms import BOLT, ClothForm
from studio.errors import StudioError
from studio.maths import cutting_plan_reading as reading
from studio.maths import cutting_plan_words as words
from studio.maths.cloth import Bolt
from studio.maths.cloth_amounts import ToBuy
from studio.maths.cutting_list import CutPiece
from studio.maths.cutting_plan import CAUTION
from studio.maths.cutting_plan_values import Plan
from studio.views.blocks import block_or_404, typed
from studio.views.sizes import as_studio

USUAL_TITLE = "Cutting plan"
GOING_ON = (10, 60)
# What the bundles' page takes over from here.
KIT_BOXES = ("pieces", "title", "one_way")


@dataclass(frozen=True)
class ClothShown:
    """One cloth on the page: its plan, and how much to ask for off a bolt."""

    shown: plan_papers.PlanShown
    to_buy: ToBuy | None


def address_of(pieces: Iterable[CutPiece], title: str) -> str:
    """Give the address that plans the cutting of some pieces."""
    query = urlencode({"pieces": reading.write_pieces(pieces), "title": title})
    return f"{reverse('studio:cloth')}?{query}"


@for_roles(OWNER, WORKSHOP)
@require_GET
def cloth(request: HttpRequest) -> HttpResponse:
    asked, said = _with_block(typed(request))
    form = ClothForm(asked)
    context: dict[str, object] = {"form": form, "room": "blocks", "said": said}
    context |= {"caution": CAUTION, "is_asked": "pieces" in asked}
    if "pieces" in asked and form.is_valid():
        try:
            plans = _plans(form)
        except StudioError as error:
            form.add_error("pieces", str(error))
        else:
            context |= _worked_out(form, plans, asked)
    return render(request, "studio/cloth.html", context)


@for_roles(OWNER, WORKSHOP)
@require_GET
def cloth_print(request: HttpRequest) -> HttpResponse:
    """Print the plan, or say on the page what is wrong with what was asked."""
    asked, said = _with_block(typed(request))
    form = ClothForm(asked)
    if form.is_valid():
        try:
            return _paper(request, form, _plans(form))
        except StudioError as error:
            form.add_error("pieces", str(error))
    context = {"form": form, "room": "blocks", "said": said, "caution": CAUTION}
    return render(request, "studio/cloth.html", {**context, "is_asked": True})


def _with_block(asked: dict[str, str]) -> tuple[dict[str, str], str]:
    """Fill the pieces in from a block, if one is named; say what is wrong with it."""
    if "block" not in asked or asked.get("pieces", "").strip():
        return asked, ""
    known = block_or_404(asked["block"])
    block = BlockForm(asked, known=known)
    rest = {name: asked[name] for name in ClothForm.base_fields if name in asked}
    rest.pop("size", None)
    if not block.is_valid() or block.asked is None:
        return rest, " ".join(str(e) for es in block.errors.values() for e in es)
    number = block.cleaned_data["number"]
    title = f"{number} × {known.name}, {block.asked.size} finished"
    pieces = reading.write_pieces(block.asked.cut_list(number))
    return {"pieces": pieces, "title": title, **rest}, ""


def _plans(form: ClothForm) -> dict[str, Plan]:
    fitting, form.left_out = cloth_plans.that_fit(form.cloths, form.cloth)
    return cloth_plans.plans_for(
        fitting,
        form.cloth,
        stages=form.cleaned_data["stages"],
        seconds=form.cleaned_data["seconds"],
    )


def _worked_out(
    form: ClothForm, plans: Mapping[str, Plan], asked: Mapping[str, str]
) -> dict[str, object]:
    open_ones = [plan for plan in plans.values() if not plan.is_proven]
    return {
        "cloths": [_shown(name, plan) for name, plan in plans.items()],
        "of_bundle": _of_bundle(form, plans),
        "left_out": form.left_out,
        "bolt_query": urlencode({**asked, "cut_from": BOLT}),
        "bundle": form.bundle,
        "query": urlencode(asked),
        "kit_query": urlencode({name: asked.get(name, "") for name in KIT_BOXES}),
        "going_on": _going_on(form.cleaned_data["seconds"], asked) if open_ones else [],
    }


def _shown(name: str, plan: Plan) -> ClothShown:
    to_buy = ToBuy(plan.used) if isinstance(plan.cloth, Bolt) else None
    return ClothShown(plan_papers.on_screen(name, plan), to_buy)


def _going_on(seconds: float, asked: Mapping[str, str]) -> list[tuple[int, str]]:
    """Give the longer looks there are, each with its address."""
    longer = [more for more in GOING_ON if more > seconds]
    return [(more, urlencode({**asked, "seconds": str(more)})) for more in longer]


def _of_bundle(form: ClothForm, plans: Mapping[str, Plan]) -> str:
    if form.bundle is None:
        return ""
    return words.of_bundle(form.bundle, sum(int(p.used) for p in plans.values()))


def _paper(
    request: HttpRequest, form: ClothForm, plans: Mapping[str, Plan]
) -> HttpResponse:
    title = form.cleaned_data["title"] or USUAL_TITLE
    context = {
        **plan_papers.context_of(plans, title),
        "studio": as_studio(request).studio,
        "bundle_words": _of_bundle(form, plans),
        "left_out": form.left_out,
    }
    return printing.paper_response(
        request,
        plan_papers.TEMPLATE,
        context,
        f"{slugify(title) or 'cutting-plan'}.pdf",
        title=title,
        css=plan_papers.paper_css(),
    )
