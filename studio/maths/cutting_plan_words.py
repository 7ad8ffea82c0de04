"""What a cutting plan says: its answer, its cuts in order, and the same for machines."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from studio.lengths import show_inches
from studio.maths.cloth import Bolt, Bundle
from studio.maths.cutting_plan_values import Cut, Placement, Plan, Scrap

Json = str | int | float | bool | list["Json"] | dict[str, "Json"] | None
ACROSS = {True: "across", False: "along"}


@dataclass(frozen=True)
class CutLine:
    """Cuts of one measure, one after another: their numbers and what to do."""

    first: int
    last: int
    words: str

    @property
    def numbers(self) -> str:
        if self.first == self.last:
            return str(self.first)
        return f"{self.first}–{self.last}"


def answer(plan: Plan) -> str:
    """Say what the plan takes, and whether less would do."""
    used = _amount(plan, plan.used)
    if plan.is_proven:
        return f"This takes {used}. That is the least possible."
    return (
        f"This takes {used}, at most {_more(plan)} over the least possible. "
        "Give it more seconds to look for less."
    )


def cut_lines(plan: Plan) -> tuple[CutLine, ...]:
    """Say the cuts in order, with those of one measure together."""
    lines = []
    for _key, group in groupby(plan.cuts, key=_same):
        cuts = list(group)
        lines.append(CutLine(cuts[0].number, cuts[-1].number, _words(cuts)))
    return tuple(lines)


def scrap_lines(plan: Plan, least: tuple[Fraction, Fraction]) -> tuple[str, ...]:
    """Say which scraps still hold a piece of that size."""
    sizes: dict[tuple[Fraction, Fraction], int] = {}
    for scrap in plan.scraps_of(least):
        size = scrap.width_inches, scrap.height_inches
        sizes[size] = sizes.get(size, 0) + 1
    return tuple(
        f"{count} of {show_inches(width)} × {show_inches(height)} in"
        for (width, height), count in sizes.items()
    )


def as_json(plan: Plan) -> dict[str, Json]:
    """Give the plan for machines: lengths are exact fractions of inches in strings."""
    is_bolt = isinstance(plan.cloth, Bolt)
    found: dict[str, Json] = {
        "cloth": str(plan.cloth),
        "stages": plan.stages,
        "length" if is_bolt else "stock_used": _number(plan, plan.used),
        "bound": _number(plan, plan.bound),
        "proven": plan.is_proven,
        "gap": _number(plan, plan.gap),
        "seconds": round(plan.seconds, 3),
        "width": str(plan.size_inches[0]),
        "height": str(plan.size_inches[1]),
        "placements": [_placement(place) for place in plan.placements],
        "cuts": [_cut(cut) for cut in plan.cuts],
        "scraps": [_scrap(scrap) for scrap in plan.scraps],
    }
    if plan.certificate is not None:
        proof = plan.certificate
        found["certificate"] = {
            "unit": str(proof.unit_inches),
            "heights": list(proof.heights),
            "weights": [list(weights) for weights in proof.weights],
            "refused": [list(strips) for strips in proof.refused],
        }
    return found


def _same(cut: Cut) -> tuple[int, str, bool, Fraction]:
    return cut.stock, cut.step, cut.is_across, cut.measure_inches


def _words(cuts: list[Cut]) -> str:
    one, times = cuts[0], len(cuts)
    measure = f"{show_inches(one.measure_inches)} in"
    if one.step == "strip":
        return f"{_counted(times, 'strip')} of {measure}, cut {ACROSS[one.is_across]}"
    if one.step == "cross-cut":
        return f"{_counted(times, 'cross-cut')} at {measure}"
    return f"{_counted(times, 'trim')} to {measure}"


def _counted(times: int, word: str) -> str:
    return f"{times} {word}{'' if times == 1 else 's'}"


def _amount(plan: Plan, amount: Fraction) -> str:
    if isinstance(plan.cloth, Bolt):
        return f"{show_inches(amount)} in off a {plan.cloth}"
    return f"{amount} of: {plan.cloth}"


def _more(plan: Plan) -> str:
    if isinstance(plan.cloth, Bolt):
        return f"{show_inches(plan.gap)} in"
    return _counted(int(plan.gap), "piece")


def _number(plan: Plan, amount: Fraction) -> Json:
    return str(amount) if isinstance(plan.cloth, Bolt) else int(amount)


def _placement(place: Placement) -> Json:
    return {
        "name": place.name,
        "stock": place.stock,
        "x": str(place.x_inches),
        "y": str(place.y_inches),
        "width": str(place.width_inches),
        "height": str(place.height_inches),
        "turned": place.is_turned,
    }


def _cut(cut: Cut) -> Json:
    return {
        "number": cut.number,
        "stock": cut.stock,
        "step": cut.step,
        "direction": ACROSS[cut.is_across],
        "measure": str(cut.measure_inches),
        "ruler": show_inches(cut.measure_inches),
        "from": [str(length) for length in cut.from_inches],
        "to": [str(length) for length in cut.to_inches],
    }


def _scrap(scrap: Scrap) -> Json:
    return {
        "stock": scrap.stock,
        "x": str(scrap.x_inches),
        "y": str(scrap.y_inches),
        "width": str(scrap.width_inches),
        "height": str(scrap.height_inches),
    }


def printed(plan: Plan) -> list[str]:
    """Give the lines of a printed plan: the answer and the cuts."""
    lines = [answer(plan), ""]
    lines += [f"{line.numbers}. {line.words}." for line in cut_lines(plan)]
    return [*lines, ""]


def of_bundle(bundle: Bundle, used: int) -> str:
    """Say how many bundles a plan takes, and what is left of them."""
    bundles = -(-used // bundle.pieces)
    left = bundles * bundle.pieces - used
    return (
        f"{_counted(bundles, 'bundle')} of {bundle.name} "
        f"{'is' if bundles == 1 else 'are'} needed; "
        f"{_counted(left, bundle.shape.name)} {'stays' if left == 1 else 'stay'} whole."
    )
