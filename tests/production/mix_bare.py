"""The mix as one plain program for SciPy's solver, written apart from the studio's.

Every set is a yes or no of its own, every sheet stands in its session, and nothing is
tightened: what anybody would write down first.
"""

from collections import defaultdict

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp


class Bare:
    """Columns by name and rows as dictionaries."""

    def __init__(self):
        self.gain = {}
        self.high = {}
        self.rows = []

    def column(self, name, gain, high):
        self.gain[name], self.high[name] = gain, high
        return name

    def at_most(self, uses, most):
        self.rows.append((dict(uses), most))

    def solve(self, seconds=60):
        names = list(self.gain)
        place = {name: k for k, name in enumerate(names)}
        matrix = np.zeros((len(self.rows), len(names)))
        for k, (uses, _) in enumerate(self.rows):
            for name, use in uses.items():
                matrix[k, place[name]] += use
        return milp(
            [-self.gain[name] for name in names],
            integrality=np.ones(len(names)),
            bounds=Bounds(0, [self.high[name] for name in names]),
            constraints=LinearConstraint(matrix, ub=[most for _, most in self.rows]),
            options={"mip_rel_gap": 0, "time_limit": seconds},
        )


def bare_model(question):
    bare = Bare()
    uses_of_limit = defaultdict(lambda: defaultdict(int))
    taken = defaultdict(lambda: defaultdict(int))
    for line in question.lines:
        add_line(bare, line, uses_of_limit, taken)
    for n, way in enumerate(question.ways):
        name = bare.column(("way", n), 0, 10_000)
        taken[way.product][name] -= 1
        for thing, count in way.needs.items():
            taken[thing][name] += count
        for limit, count in way.uses.items():
            uses_of_limit[limit][name] += count
    cut = add_sessions(bare, question, uses_of_limit)
    good, of = (1 - question.spoil).as_integer_ratio()
    for thing in question.things:
        uses = {name: of * count for name, count in taken[thing].items()}
        for name, gives in cut[thing].items():
            uses[name] = uses.get(name, 0) - good * gives
        bare.at_most(uses, of * question.stock.get(thing, 0))
    for limit in question.limits:
        bare.at_most(uses_of_limit[limit.code], limit.amount)
    return bare


def add_line(bare, line, uses_of_limit, taken):
    sets = [
        bare.column((line.code, k), line.gain(k + 1) - line.gain(k), 1)
        for k in range(line.most)
    ]
    for k, name in enumerate(sets):
        if k:
            bare.at_most({name: 1, sets[k - 1]: -1}, 0)
        if k < line.fewest:
            bare.at_most({name: -1}, -1)
        taken[line.code][name] += 1
        for limit, count in line.uses.items():
            uses_of_limit[limit][name] += count
    for limit, count in line.set_up.items():
        if sets:
            uses_of_limit[limit][sets[0]] += count


def add_sessions(bare, question, uses_of_limit):
    cut = defaultdict(dict)
    for s, session in enumerate(question.sessions):
        minutes = {}
        for layout in question.layouts:
            name = bare.column((layout.code, s), -layout.cost_pence, 500)
            begun = bare.column((layout.code, s, "begun"), 0, 1)
            bare.at_most({name: 1, begun: -500}, 0)
            minutes |= {name: layout.minutes, begun: layout.set_up_minutes}
            for piece, gives in layout.gives.items():
                cut[piece][name] = gives
            for limit, count in layout.uses.items():
                uses_of_limit[limit][name] += count
        bare.at_most(minutes, session.net_minutes)
    for limit in question.limits:
        for sessions, amount in limit.early:
            early = {
                (layout.code, s): layout.uses.get(limit.code, 0)
                for layout in question.layouts
                for s in range(sessions)
                if s < len(question.sessions)
            }
            bare.at_most(early, amount)
    return cut
