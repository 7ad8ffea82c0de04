"""What a cutting plan says: its answer, its cuts in order, and the same for machines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from studio.maths.cloth import Bolt, Bundle
from studio.maths.cloth_amounts import ToBuy
from studio.maths.cutting_plan_parts import Part, parts_of
from studio.maths.cutting_plan_values import (
    CROSS_CUT,
    STRIP,
    Cut,
    Placement,
    Plan,
    Scrap,
    strip_numbers,
)
from studio.maths.ruler_marks import by, ruler

Json = str | int | float | bool | list["Json"] | dict[str, "Json"] | None
ACROSS = {True: "across", False: "along"}
USEFUL_INCHES = (Fraction(5, 2), Fraction(5, 2))


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


def takes(plan: Plan) -> str:
    """Say what the plan takes in few words: ``22½ in``, ``3 fat quarters``."""
    if isinstance(plan.cloth, Bolt):
        return _length(plan, plan.used)
    return _counted(int(plan.used), plan.cloth.name)


def surety(plan: Plan) -> str:
    """Say how near the least the plan is: least possible, or at most so much over."""
    if plan.is_proven:
        return "least possible"
    return f"at most {_more(plan)} over the least"


def answer(plan: Plan) -> str:
    """Say what the plan takes, and whether less would do."""
    used = _amount(plan, plan.used)
    if plan.is_proven:
        return f"This takes {used}. That is the least possible."
    return (
        f"This takes {used}, at most {_more(plan)} over the least possible. "
        "Give it more seconds to look for less."
    )


def cut_lines(cuts: Sequence[Cut]) -> tuple[CutLine, ...]:
    """Say cuts in order, with those of one measure together."""
    strips = _strips_under(cuts)
    lines = []
    for _key, group in groupby(cuts, key=lambda cut: _same(cut, strips)):
        alike = list(group)
        words = _words(alike, strips)
        lines.append(CutLine(alike[0].number, alike[-1].number, words))
    return tuple(lines)


def scrap_lines(
    scraps: Iterable[Scrap], least: tuple[Fraction, Fraction] = USEFUL_INCHES
) -> tuple[str, ...]:
    """Say which scraps still hold a piece of that size, the largest first."""
    sizes: dict[tuple[Fraction, Fraction], int] = {}
    for scrap in scraps:
        if scrap.holds(least):
            size = scrap.width_inches, scrap.height_inches
            sizes[size] = sizes.get(size, 0) + 1
    largest_first = sorted(sizes.items(), key=lambda found: -found[0][0] * found[0][1])
    return tuple(
        f"{count} of {by(width, height)}" for (width, height), count in largest_first
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


@dataclass(frozen=True)
class _Strip:
    """The strip that a cut is made in: its number, and its height if one was set."""

    number: int
    height_inches: Fraction | None

    def words(self, strips: int) -> str:
        if self.height_inches is None:
            return "from what is left"
        of = f"of {ruler(self.height_inches)}"
        return f"from a strip {of}" if strips == 1 else f"from {strips} strips {of}"


def _strips_under(cuts: Sequence[Cut]) -> dict[int, _Strip]:
    """Find the strip of each cut that is no strip itself, by the number of the cut."""
    heights: dict[int, list[Fraction]] = {}
    for cut in cuts:
        if cut.step == STRIP:
            heights.setdefault(cut.stock, []).append(cut.measure_inches)
    found: dict[int, _Strip] = {}
    for cut, at in zip(cuts, strip_numbers(cuts), strict=True):
        here = heights.get(cut.stock, [])
        found[cut.number] = _Strip(at, here[at] if at < len(here) else None)
    return found


def _same(cut: Cut, strips: dict[int, _Strip]) -> tuple[object, ...]:
    height = strips[cut.number].height_inches if cut.step == CROSS_CUT else None
    return cut.stock, cut.step, cut.measure_inches, height


def _words(cuts: list[Cut], strips: dict[int, _Strip]) -> str:
    one, times = cuts[0], len(cuts)
    measure = ruler(one.measure_inches)
    if one.step == STRIP:
        return f"{_counted(times, 'strip')} of {measure}, cut {ACROSS[one.is_across]}"
    if one.step == CROSS_CUT:
        under = {strips[cut.number].number for cut in cuts}
        where = strips[one.number].words(len(under))
        return f"{_counted(times, 'cross-cut')} at {measure}, {where}"
    return f"{_counted(times, 'trim')} to {measure}"


def _counted(times: int, word: str) -> str:
    return f"{times} {word}{'' if times == 1 else 's'}"


def _amount(plan: Plan, amount: Fraction) -> str:
    if isinstance(plan.cloth, Bolt):
        return f"{_length(plan, amount)} off a {plan.cloth}"
    return f"{amount} of: {plan.cloth}"


def _length(plan: Plan, amount: Fraction) -> str:
    """Write a length of cloth: in centimetres where the pieces are, straightening too."""
    pieces = ruler(amount - plan.straightening_inches)
    if pieces.endswith(" cm"):
        return ToBuy(amount).centimetres_words
    return ruler(amount)


def _more(plan: Plan) -> str:
    if isinstance(plan.cloth, Bolt):
        return ruler(plan.gap)
    return _counted(int(plan.gap), "piece")


def _number(plan: Plan, amount: Fraction) -> Json:
    return str(amount) if isinstance(plan.cloth, Bolt) else int(amount)


def _placement(place: Placement) -> Json:
    return {
        "name": place.name,
        "stock": place.stock + 1,
        "x": str(place.x_inches),
        "y": str(place.y_inches),
        "width": str(place.width_inches),
        "height": str(place.height_inches),
        "turned": place.is_turned,
    }


def _cut(cut: Cut) -> Json:
    return {
        "number": cut.number,
        "stock": cut.stock + 1,
        "step": cut.step,
        "direction": ACROSS[cut.is_across],
        "measure": str(cut.measure_inches),
        "ruler": ruler(cut.measure_inches),
        "from": [str(length) for length in cut.from_inches],
        "to": [str(length) for length in cut.to_inches],
    }


def _scrap(scrap: Scrap) -> Json:
    return {
        "stock": scrap.stock + 1,
        "x": str(scrap.x_inches),
        "y": str(scrap.y_inches),
        "width": str(scrap.width_inches),
        "height": str(scrap.height_inches),
    }


def heading(plan: Plan, part: Part) -> str:
    """Say which cloths, or which length of the bolt, a part is."""
    if not isinstance(plan.cloth, Bolt):
        if plan.stocks == 1:
            return ""
        numbers = [str(stock + 1) for stock in part.stocks]
        if len(numbers) == 1:
            return f"Piece {numbers[0]}"
        return f"Pieces {', '.join(numbers[:-1])} and {numbers[-1]}, cut alike"
    if part.height_inches == plan.size_inches[1]:
        return ""
    return f"From {ruler(part.low_inches)} to {ruler(part.high_inches)}"


def straighten(plan: Plan) -> str:
    """Say what is cut off before the first strip, if anything is."""
    if not plan.straightening_inches:
        return ""
    return (
        "First cut the end of the cloth straight. "
        f"That may take {ruler(plan.straightening_inches)}."
    )


def printed(plan: Plan) -> list[str]:
    """Give the lines of a printed plan: the answer, the cuts, and what to keep."""
    lines = [answer(plan), *filter(None, [straighten(plan)])]
    for part in parts_of(plan):
        named = heading(plan, part)
        lines += ["", f"{named}:"] if named else [""]
        lines += [f"{line.numbers}. {line.words}." for line in cut_lines(part.cuts)]
    kept = scrap_lines(plan.scraps)
    lines += ["", f"Scraps to keep: {'; '.join(kept)}."] if kept else []
    return [*lines, ""]


def of_bundle(bundle: Bundle, used: int) -> str:
    """Say how many bundles a plan takes, and what is left of them."""
    bundles = -(-used // bundle.pieces)
    left = bundles * bundle.pieces - used
    over = _counted(left, bundle.shape.name) if left else "nothing"
    return (
        f"{_counted(bundles, 'bundle')} of {bundle.name} "
        f"{'is' if bundles == 1 else 'are'} needed; "
        f"{over} {'stay' if left > 1 else 'stays'} whole."
    )
