"""The cheap acts that wake sleeping money, from facts other modules have found.

    half set       cut the one kind of piece that frees it
    slow line      offer it from the price at which speed beats waiting
    elsewhere      ask for a statement, or for what is unsold
    lacking        mend it
    to look at     look, and put back on the shelf what is sound
    sheets         cut them into what the plan wants

Minutes are guesses of the house.
"""

from __future__ import annotations

from datetime import date

from inventory.half_sets import HalfSet
from inventory.selling.cash import Act
from inventory.selling.slow import SlowLine
from studio.days import show_day_short
from studio.money import show_pounds

ASK_MINUTES = 5
OFFER_MINUTES = 10
LOOK_MINUTES = 3
MEND_MINUTES = 4


def free_half_set(half: HalfSet, cutting_minutes: int) -> Act | None:
    """Cut the piece that gives these their partner, where one kind of piece does."""
    if half.freeing is None:
        return None
    return Act(
        f"Cut {half.freeing.count} of {half.freeing.piece} to free {half.freeing.sets} "
        f"of {half.freeing.product}.",
        frees_pence=half.asleep_pence,
        costs_pence=half.freeing.cost_pence,
        minutes=cutting_minutes,
    )


def offer_slow_line(line: SlowLine, cost_pence: int) -> Act | None:
    """Offer a slow line cheaper; it frees what it cost, or the price if that is less."""
    if not line.is_slow:
        return None
    return Act(
        f"Offer them from {show_pounds(line.least_price_pence)}: above that, sold now "
        "is worth more than waiting.",
        frees_pence=min(cost_pence, line.count * line.least_price_pence),
        minutes=OFFER_MINUTES,
    )


def ask_the_channel(
    place: str, count: int, cost_pence: int, statement_on: date | None, today: date
) -> Act | None:
    """Ask where our goods are what became of them, once the statement is due."""
    if count <= 0 or (statement_on is not None and statement_on > today):
        return None
    due = f" of {show_day_short(statement_on)}" if statement_on else ""
    return Act(
        f"Ask {place} for the statement{due}, or for the {count} back.",
        frees_pence=cost_pence,
        minutes=ASK_MINUTES,
    )


def mend_the_lacking(
    count: int, cost_pence: int, lacks: str, lacks_cost_pence: int
) -> Act | None:
    """Give incomplete sets the piece that they lack."""
    if count <= 0:
        return None
    sets = "the set" if count == 1 else f"the {count} sets"
    return Act(
        f"Mend {sets} with {lacks}, {show_pounds(lacks_cost_pence)} in all.",
        frees_pence=cost_pence,
        costs_pence=lacks_cost_pence,
        minutes=MEND_MINUTES * count,
    )


def look_at_returned(count: int, cost_pence: int) -> Act | None:
    """Look at what came back."""
    if count <= 0:
        return None
    return Act(
        f"Look at the {count} that came back, and put on the shelf what is sound.",
        frees_pence=cost_pence,
        minutes=LOOK_MINUTES * count,
    )


def cut_the_sheets(
    sheets: int, cost_pence: int, layout: str, product: str, minutes: int
) -> Act | None:
    """Cut sheets into what is wanted."""
    if sheets <= 0:
        return None
    what = "the sheet" if sheets == 1 else f"{sheets} sheets"
    return Act(
        f"Cut {what} by {layout} for {product}.",
        frees_pence=cost_pence,
        minutes=minutes,
    )
