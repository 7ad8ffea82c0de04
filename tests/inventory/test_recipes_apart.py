"""Products that share no part are planned apart, and nothing about the answer changes.

The other route is the question asked whole, as one sum over all products.
"""

import random

from inventory import making_up
from inventory.making_up import Wanted, Way, best_mix
from inventory.recipes_apart import Group, groups_apart, ways_to

PARTS = ["square", "strip", "corner", "rhombus", "bar"]


def a_question(chance):
    """Make up up to four products over five parts, one of them made up itself."""
    products = [f"set {number}" for number in range(chance.randint(1, 4))]
    ways = [
        Way(
            product,
            {part: chance.randint(1, 2) for part in chance.sample(PARTS, 2)},
            {chance.choice(PARTS): 1} if chance.random() < 0.2 else {},
        )
        for product in products
        for _ in range(chance.choice([1, 1, 2]))
    ]
    ways.append(Way("rhombus", {"bar": 2}))
    wanted = [
        Wanted(product, chance.randint(0, 2), chance.randint(0, 3), 100 + number)
        for number, product in enumerate(products)
    ]
    return wanted, ways, {part: chance.randint(0, 5) for part in PARTS}


def test_planned_apart_is_the_same_as_planned_whole():
    chance = random.Random(11)
    questions = [a_question(chance) for _ in range(60)]

    apart = [best_mix(*question) for question in questions]

    whole = [making_up._joint_mix(*question) for question in questions]
    parted = [
        groups_apart([w.product for w in one], ways) for one, ways, _ in questions
    ]
    assert max(map(len, parted)) > 1
    assert [told(mix) for mix in apart] == [told(mix) for mix in whole]


def told(mix):
    counts = [(line.promised, line.extra, line.next_lacks) for line in mix.lines]
    left = {part: count for part, count in mix.left_over.items() if count}
    return counts, mix.gain_pence, mix.ways_used, left, mix.proven


def test_products_hang_together_by_a_part_a_part_of_a_part_or_what_comes_back():
    ways = [
        Way("star", {"square": 1}),
        Way("square", {"bar": 1}),
        Way("fan", {"bar": 2}),
        Way("ring", {"corner": 1}, {"strip": 1}),
        Way("gate", {"strip": 3}),
        Way("wave", {"rhombus": 1}),
        Way("unwanted", {"button": 1}),
    ]

    groups = groups_apart(["star", "ring", "fan", "wave", "gate"], ways)

    assert groups == [
        Group((0, 2), (0, 1, 2)),
        Group((1, 4), (3, 4)),
        Group((3,), (5,)),
    ]


def test_only_ways_that_can_help_are_looked_at():
    ways = [
        Way("star", {"square": 1}),
        Way("fan", {"square": 2}),
        Way("square", {"bar": 1}),
    ]

    assert ways_to("star", ways) == (ways[0], ways[2])
