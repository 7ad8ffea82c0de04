"""Small studios for the mix: the tables of the sources, and random ones."""

import csv
from fractions import Fraction
from itertools import product
from pathlib import Path
from random import Random

from production.mix.plan import MixPlan, broken_rules, gain_of
from production.mix.question import (
    MixLayout,
    MixLimit,
    MixLine,
    MixQuestion,
    MixSession,
    MixWay,
)
from production.quantities import PoissonDemand, SaleTerms, gains

WORKED = Path(__file__).parents[1] / "worked" / "mix.csv"
# Gains of the five sizes are kept to a ten-thousandth of a penny, as printed.
FINE = 10_000
# Minutes, cost, mean, price, value left, on the shelf.
FIVE_SIZES = {
    "A": (6, 120, 8.0, 650, 40, 2),
    "B": (9, 180, 5.0, 900, 60, 1),
    "C": (12, 260, 3.5, 1250, 90, 0),
    "D": (15, 340, 2.0, 1600, 120, 0),
    "E": (22, 520, 1.2, 2400, 200, 0),
}


def worked_rows():
    with WORKED.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def five_sizes(minutes, money, set_up):
    lines = []
    for code, (each, cost, mean, price, left, shelf) in FIVE_SIZES.items():
        worth = gains(SaleTerms(price, cost, left), PoissonDemand(mean), shelf, 15)
        lines.append(
            MixLine(
                code,
                tuple(round(FINE * gain) for gain in worth),
                uses={"minutes": each, "money": cost},
                set_up={"minutes": int(set_up)} if set_up else {},
            )
        )
    limits = (("minutes", minutes), ("money", money))
    kept = tuple(MixLimit(code, int(most)) for code, most in limits if most)
    return MixQuestion(tuple(lines), limits=kept, stock=dict.fromkeys("ABCDE", 99))


def tiny_studio(seed):
    """Draw a studio small enough to try every plan there is."""
    chance = Random(seed)
    pieces = ("P", "Q")
    lines, ways = [], []
    for code in ("X", "Y", "Z")[: chance.randint(1, 3)]:
        steep = sorted((chance.randint(-40, 200) for _ in range(4)), reverse=True)
        drawn = [chance.randint(-40, 200) for _ in range(4)]
        lines.append(
            MixLine(
                code,
                tuple(chance.choice([steep, drawn])),
                at_least=chance.choice([0, 0, 1]),
                pinned=chance.choice([None, None, None, 2]),
                uses={"crate": chance.randint(1, 3)},
                set_up=chance.choice([{}, {"crate": 2}]),
            )
        )
        needs = {piece: chance.randint(0, 2) for piece in pieces} | {"BK": 1}
        ways.append(MixWay(code, needs))
    layouts = tuple(
        MixLayout(
            f"L{n}",
            {piece: chance.randint(0, 4) for piece in pieces},
            chance.randint(7, 12),
            uses={"sheets": 1},
            set_up_minutes=chance.choice([0, 0, 3]),
            cost_pence=chance.choice([0, 30]),
        )
        for n in range(2)
    )
    sessions = tuple(
        MixSession(f"S{n}", chance.randint(8, 30)) for n in range(chance.randint(1, 2))
    )
    limits = (
        MixLimit("crate", chance.randint(4, 20)),
        MixLimit("sheets", 3, early=((1, chance.randint(0, 3)),)),
    )
    stock = {"P": chance.randint(0, 2), "Q": chance.randint(0, 2), "BK": 6}
    spoil = Fraction(chance.choice([0, 1, 2]), 10)
    return MixQuestion(
        tuple(lines), tuple(ways), layouts, sessions, stock, limits, spoil
    )


def every_plan(question):
    """Yield every plan of a tiny studio that keeps every rule."""
    each = len(question.layouts)
    for flat in product(range(4), repeat=each * len(question.sessions)):
        sheets = tuple(
            {
                layout.code: count
                for layout, count in zip(
                    question.layouts, flat[at : at + each], strict=True
                )
                if count
            }
            for at in range(0, len(flat), each)
        )
        yield from plans_with(question, sheets)


def plans_with(question, sheets):
    for counts in product(*(range(line.most + 1) for line in question.lines)):
        quantities = {
            line.code: count for line, count in zip(question.lines, counts, strict=True)
        }
        # Sets are made up for the day alone here: nothing made lies on the shelf.
        plan = MixPlan(quantities, sheets, counts, (), 0, 0, False, {})
        gain = gain_of(question, plan)
        plan = MixPlan(quantities, sheets, counts, (), gain, gain, False, {})
        if not broken_rules(question, plan):
            yield plan
