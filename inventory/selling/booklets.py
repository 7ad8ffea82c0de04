"""Which run of booklets to print, or to wait because an edit is pending.

    wanted = weeks until they are of no more use x used a week - on hand, rounded up

Before an edit the cheapest run that reaches the wanted number is taken, since what is
over goes in the bin; without one, the run with the lowest price for each copy that a
year will use. Worked by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from inventory.selling.slow import WEEKS_IN_A_YEAR, how_long
from studio.money import show_pounds


@dataclass(frozen=True)
class Run:
    """So many copies for one price."""

    copies: int
    price_pence: int


@dataclass(frozen=True)
class PrintAdvice:
    """The run to print, or None: wait."""

    run: Run | None
    wanted: int
    in_the_bin: int
    sentence: str


def booklets_to_print(
    on_hand: int,
    used_per_week: Fraction,
    runs: Sequence[Run],
    *,
    weeks_to_come: Fraction,
    edit_in_weeks: Fraction | None = None,
) -> PrintAdvice:
    """Advise on one booklet, used by all sizes together.

    ``weeks_to_come`` is how long the printer takes; ``edit_in_weeks`` when the next
    edition will be there.
    """
    offered = [run for run in runs if run.copies > 0]
    if used_per_week <= 0:
        return PrintAdvice(None, 0, 0, "Nothing uses this booklet: print none.")
    if edit_in_weeks is not None:
        return _before_edit(on_hand, used_per_week, offered, edit_in_weeks)
    lasts = Fraction(max(0, on_hand)) / used_per_week
    if lasts > 2 * weeks_to_come:
        return PrintAdvice(
            None, 0, 0, f"What is there lasts {how_long(float(lasts))}: print none yet."
        )
    wanted = ceil(WEEKS_IN_A_YEAR * used_per_week) - on_hand
    if not offered or wanted <= 0:
        return PrintAdvice(None, max(0, wanted), 0, _no_run(wanted))
    run = min(offered, key=lambda r: _price_each(r, wanted))
    over = max(0, run.copies - wanted)
    return PrintAdvice(run, wanted, 0, _print(run, wanted, over))


def _before_edit(
    on_hand: int, used: Fraction, runs: Sequence[Run], edit_in_weeks: Fraction
) -> PrintAdvice:
    wanted = ceil(edit_in_weeks * used) - on_hand
    if wanted <= 0:
        return PrintAdvice(
            None,
            0,
            -wanted,
            "Wait, an edit is pending: what is there lasts until then.",
        )
    enough = [run for run in runs if run.copies >= wanted]
    if not enough:
        return PrintAdvice(None, wanted, 0, _no_run(wanted))
    run = min(enough, key=lambda r: (r.price_pence, r.copies))
    bin_count = run.copies - wanted
    return PrintAdvice(
        run,
        wanted,
        bin_count,
        f"An edit is pending: print only {run.copies} for "
        f"{show_pounds(run.price_pence)}. {wanted} are wanted before it and {bin_count} "
        "will be thrown away.",
    )


def _price_each(run: Run, wanted: int) -> tuple[Fraction, int]:
    return Fraction(run.price_pence, min(run.copies, wanted)), run.copies


def _print(run: Run, wanted: int, over: int) -> str:
    later = f", {over} of them not within a year" if over else ""
    return (
        f"Print {run.copies} for {show_pounds(run.price_pence)}: {wanted} are wanted in "
        f"a year{later}."
    )


def _no_run(wanted: int) -> str:
    if wanted <= 0:
        return "What is there lasts a year: print none."
    return (
        f"{wanted} are wanted and no run offered is as large. Ask the printer for a "
        "price, please."
    )
