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


def usual_studio(seed, lines=30, layouts=25, sessions=12):
    """Draw a studio as there are many: sets of two or three pieces in several designs.

    Some squares are shared between designs, duos take two sets' pieces, paper goods
    need no cutting, and one set in five lies on the shelf.
    """
    chance = Random(seed)
    squares = [f"Q{n}" for n in range(max(2, lines // 6))]
    sets = [own_pieces(chance, n, squares) for n in range(lines * 7 // 10)]
    net = [chance.choice([105, 165]) for _ in range(sessions)]
    stock = {"GBOX": chance.randint(5, 25)}
    stock |= {square: chance.randint(0, 20) for square in squares}
    for n, (_, needs) in enumerate(sets):
        stock |= {piece: chance.randint(0, 8) for piece in needs if piece[0] == "A"}
        stock[f"B{n // 3}"] = chance.randint(20, 120)
    ways = [
        MixWay(code, needs, {"packing": chance.randint(2, 4)}) for code, needs in sets
    ]
    goods = [code for code, _ in sets]
    for n in range(len(sets), lines):
        goods.append(f"G{n}")
        one, other = chance.sample(sets, 2)
        kind = chance.choice(["duo", "spare", "paper"])
        if kind == "duo":
            parts = dict.fromkeys([*one[1], *other[1]], 1) | {"GBOX": 1}
            ways.append(MixWay(goods[-1], parts, {"packing": 3}))
        elif kind == "spare":
            ways.append(MixWay(goods[-1], {chance.choice(squares): 1}, {"packing": 2}))
        else:
            stock[goods[-1]] = chance.randint(5, 60)
    scale = lines / 30
    return MixQuestion(
        lines=tuple(usual_line(chance, code) for code in goods),
        ways=tuple(ways),
        layouts=usual_layouts(chance, sets, squares, layouts),
        sessions=tuple(MixSession(f"S{n}", m) for n, m in enumerate(net)),
        stock=stock,
        limits=(
            MixLimit("sheets", int(sum(net) / 28 * chance.uniform(0.7, 1.1))),
            MixLimit("cash", int(chance.randint(30_000, 80_000) * scale), 1000),
            MixLimit("crates", int(chance.randint(1200, 2400) * scale), 10),
            MixLimit("packing", int(chance.randint(1200, 2600) * scale), 15),
        ),
        spoil=Fraction(5, 100),
    )


def own_pieces(chance, n, squares):
    needs = {f"A{n}": 1, f"B{n // 3}": 1}
    if chance.random() < 0.6:
        needs[f"AC{n}"] = 1
    if chance.random() < 0.8:
        needs[chance.choice(squares)] = 1
    return f"L{n}", needs


def usual_line(chance, code):
    price, left = chance.randint(300, 2000), chance.randint(5, 150)
    mean = chance.randint(4, 50)
    wanted = PoissonDemand(mean)
    worth = gains(SaleTerms(price + left, left), wanted, 0, 2 * mean)
    return MixLine(
        code,
        tuple(round(gain) for gain in worth),
        uses={"crates": chance.randint(1, 6), "cash": chance.randint(40, 200)},
    )


def usual_layouts(chance, sets, squares, most):
    layouts = []
    for n in range(most):
        minutes = chance.randint(14, 38)
        if n < len(squares):
            gives = {squares[n]: chance.choice([12, 15, 24])}
        else:
            _, needs = sets[(n - len(squares)) % len(sets)]
            many = chance.choice([1, 4, 6, 10, 15, 18])
            gives = {piece: many for piece in needs if piece[0] == "A"}
            for square in (piece for piece in needs if piece[0] == "Q"):
                gives[square] = chance.choice([many, 6, 2])
        layouts.append(MixLayout(f"Y{n}", gives, minutes, {"sheets": 1}))
    return tuple(layouts)
