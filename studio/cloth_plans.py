"""Cutting plans that answer in about a second, and are kept while the studio is open.

A question that was looked into for longer keeps its better answer: going on starts no
worse than before, and the paper shows the plan that stood on the page.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Mapping, Sequence
from time import monotonic

from studio.maths import cutting_plan
from studio.maths.cloth import Bolt, PreCut
from studio.maths.cutting_plan_values import Plan
from studio.maths.cutting_units import CannotCut, Wanted, refuse_impossible

USUAL_SECONDS = 1.0
LEAST_SECONDS = 0.1
MOST_KEPT = 60

Question = tuple[tuple[Wanted, ...], Bolt | PreCut, str]

_kept: OrderedDict[Question, tuple[float, Plan]] = OrderedDict()
_lock = threading.Lock()


def plans_for(
    cloths: Mapping[str, Sequence[Wanted]],
    cloth: Bolt | PreCut,
    *,
    stages: str,
    seconds: float = USUAL_SECONDS,
) -> dict[str, Plan]:
    """Plan each cloth; all of them share the seconds.

    Raises CannotCut or TooMany for a list that cannot be cut from this cloth.
    """
    cutting_plan.get_ready()
    ends = monotonic() + seconds
    plans: dict[str, Plan] = {}
    for number, (name, wanted) in enumerate(cloths.items()):
        share = (ends - monotonic()) / (len(cloths) - number)
        question = tuple(wanted), cloth, stages
        plans[name] = _answer(question, max(LEAST_SECONDS, share))
    return plans


def that_fit(
    cloths: Mapping[str, Sequence[Wanted]], cloth: Bolt | PreCut
) -> tuple[dict[str, Sequence[Wanted]], tuple[str, ...]]:
    """Give the cloths that come from a pre-cut piece, and why each other one does not.

    Off a bolt, and where none fits, all are given: planning them says what is wrong.
    Raises CannotCut for a piece that no cloth gives.
    """
    if isinstance(cloth, Bolt):
        return dict(cloths), ()
    fitting: dict[str, Sequence[Wanted]] = {}
    left_out: list[str] = []
    for name, wanted in cloths.items():
        try:
            refuse_impossible(wanted, cloth.width_inches, cloth.height_inches)
        except CannotCut as error:
            if error.limit_inches != cloth.width_inches:
                raise
            left_out.append(f"{name[:1].upper()}{name[1:]}: {error}")
        else:
            fitting[name] = wanted
    return (fitting, tuple(left_out)) if fitting else (dict(cloths), ())


def _answer(question: Question, seconds: float) -> Plan:
    known = _known(question)
    if known and (known[1].is_proven or known[0] >= seconds):
        return known[1]
    wanted, cloth, stages = question
    plan = cutting_plan.plan_for(wanted, cloth, stages=stages, seconds=seconds)
    if known and _is_better(known[1], plan):
        plan = known[1]
    with _lock:
        _kept[question] = seconds, plan
        while len(_kept) > MOST_KEPT:
            _kept.popitem(last=False)
    return plan


def _known(question: Question) -> tuple[float, Plan] | None:
    with _lock:
        if question in _kept:
            _kept.move_to_end(question)
        return _kept.get(question)


def _is_better(one: Plan, other: Plan) -> bool:
    return (one.used, -one.bound) < (other.used, -other.bound)


def forget() -> None:
    """Forget every plan."""
    with _lock:
        _kept.clear()
