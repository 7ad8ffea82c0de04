"""Cutting plans as pages and papers show them: drawn part by part, with cuts in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from urllib.parse import urljoin

from django.conf import settings
from django.utils.safestring import SafeString, mark_safe

from studio import printing
from studio.lengths import MM_IN_AN_INCH
from studio.maths import cutting_plan_words as words
from studio.maths.cloth import Bolt
from studio.maths.cutting_plan import CAUTION
from studio.maths.cutting_plan_drawing import key_lines, part_drawing
from studio.maths.cutting_plan_parts import Part, parts_of
from studio.maths.cutting_plan_values import Plan
from studio.maths.cutting_plan_words import CutLine

TEMPLATE = "studio/print/cutting_plan.html"
STYLE = "studio/cutting_plan.css"
BLADE = "Sharp blade: close its guard, cut away from you, fingers behind the ruler."
# What an A4 sheet leaves for a drawing, beside its words.
PAPER_WIDTH_MM, PAPER_HEIGHT_MM = 178, 165
LEAST_ONE_TO = 5


@dataclass(frozen=True)
class PartShown:
    """One part of a plan: its name, its drawing, and its cuts in order."""

    heading: str
    picture: SafeString
    lines: tuple[CutLine, ...]


@dataclass(frozen=True)
class PlanShown:
    """One cloth as it is cut: the answer, the letters, the parts, and what to keep."""

    name: str
    plan: Plan
    answer: str
    straighten: str
    key: tuple[str, ...]
    parts: tuple[PartShown, ...]
    scraps: tuple[str, ...]
    one_to: int | None

    @property
    def takes(self) -> str:
        """Say what it takes, in few words: a length, or a number of pieces."""
        return words.takes(self.plan)

    @property
    def gap(self) -> str:
        """Say how sure the answer is, in few words."""
        return words.surety(self.plan)


def on_screen(name: str, plan: Plan) -> PlanShown:
    """Show a plan at ten pixels to an inch."""
    return _shown(name, plan, parts_of(plan), None)


def on_paper(name: str, plan: Plan) -> PlanShown:
    """Show a plan at a scale that an A4 sheet holds, a long bolt in several parts."""
    one_to = scale_for(plan)
    most = Fraction(PAPER_HEIGHT_MM * one_to) / MM_IN_AN_INCH
    return _shown(name, plan, parts_of(plan, most), one_to)


def scale_for(plan: Plan) -> int:
    """Give N of the scale 1 : N at which the cloth is as wide as the sheet at most.

    A piece of cloth, or a strip, is drawn whole: it must be no higher either.
    """
    width, height = plan.size_inches
    if isinstance(plan.cloth, Bolt):
        strips = [p.height_inches for p in plan.placements]
        height = max(strips, default=Fraction(0))
    return max(
        LEAST_ONE_TO,
        ceil(width * MM_IN_AN_INCH / PAPER_WIDTH_MM),
        ceil(height * MM_IN_AN_INCH / PAPER_HEIGHT_MM),
    )


def context_of(plans: Mapping[str, Plan], title: str) -> dict[str, object]:
    """Give what the paper of some plans is made from."""
    return {
        "title": title,
        "plans": [on_paper(name, plan) for name, plan in plans.items()],
        "caution": CAUTION,
        "blade": BLADE,
    }


def pdf_of(
    plans: Mapping[str, Plan], title: str, *, more: Mapping[str, object] | None = None
) -> bytes:
    """Print plans on A4. Raises PdfUnavailable where that cannot be done."""
    context = {**context_of(plans, title), **(more or {})}
    return printing.render_pdf(TEMPLATE, context, title=title, css=paper_css())


def paper_css() -> str:
    """Read the rules of this paper, which a command needs before anything is served."""
    url = urljoin(printing.PAPER_HOST, f"{settings.STATIC_URL}{STYLE}")
    return printing.static_file(url).read_text(encoding="utf-8")


def _shown(
    name: str, plan: Plan, parts: Sequence[Part], one_to: int | None
) -> PlanShown:
    shown = (
        PartShown(
            words.heading(plan, part),
            _safe(part_drawing(plan, part, one_to=one_to, title=_titled(plan, part))),
            words.cut_lines(part.cuts),
        )
        for part in parts
    )
    return PlanShown(
        name,
        plan,
        words.answer(plan),
        words.straighten(plan),
        key_lines(plan),
        tuple(shown),
        words.scrap_lines(plan.scraps),
        one_to,
    )


def _titled(plan: Plan, part: Part) -> str:
    named = words.heading(plan, part)
    return f"Cutting plan. {named}" if named else "Cutting plan"


def _safe(drawing: str) -> SafeString:
    # The drawings escape every word that they are given.
    return mark_safe(drawing)  # noqa: S308
