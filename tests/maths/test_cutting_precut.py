"""Fewest pre-cut pieces and most kits against brute force and known answers."""

import json
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.maths.cutting.kinds import Kind
from studio.maths.cutting.kits import Demands, fewest_for, most_kits, ways_of
from studio.maths.cutting.precut import fewest_pieces
from tests.maths import cutting_checker as checker

INSTANCES = Path(__file__).parents[1] / "worked" / "cutting_instances.jsonl"
AMPLE = 20.0
# More than three sizes take long to know all about; they have a test of their own.
EXACT = 3


def instances(*families):
    lines = INSTANCES.read_text(encoding="utf-8").splitlines()
    return [line for line in map(json.loads, lines) if line["family"] in families]


def faults(answer, kinds, stock):
    places = answer.places
    by_stock = [
        [place for place in places if place.stock == number]
        for number in range(answer.pieces)
    ]
    return [
        *checker.missing_or_surplus(places, kinds).items(),
        *checker.misshapen(places, kinds),
        *checker.outside(places, *stock),
        *checker.overlaps(places),
        *(part for part in by_stock if not part),
        *(part for part in by_stock if not checker.can_be_guillotined(part)),
    ]


@st.composite
def small_lists(draw):
    stock = draw(st.integers(4, 14)), draw(st.integers(4, 14))
    kinds = []
    for _kind in range(draw(st.integers(1, 4))):
        size = draw(st.integers(2, stock[0])), draw(st.integers(2, stock[1]))
        kinds.append(Kind(*size, draw(st.integers(1, 2)), draw(st.booleans())))
    return kinds, stock


@given(small_lists())
@settings(max_examples=200, deadline=None)
def test_no_way_of_cutting_a_small_list_takes_fewer_pieces(small):
    kinds, stock = small

    answer = fewest_pieces(kinds, stock, seconds=AMPLE)

    least = checker.fewest(kinds, stock)
    assert answer.bound <= least <= answer.pieces
    assert (answer.pieces == least) or len(kinds) > EXACT
    assert faults(answer, kinds, stock) == []


@pytest.mark.parametrize(
    "instance", instances("precut", "strip2.5"), ids=lambda line: line["id"]
)
def test_a_cut_list_takes_the_pre_cut_pieces_that_are_known(instance):
    kinds = [Kind(*piece, turns=instance["rotate"]) for piece in instance["pieces"]]
    stock, known = tuple(instance["stock"]), instance["answer"]

    answer = fewest_pieces(kinds, stock, seconds=AMPLE / 4)

    assert known["lower_bound"] <= answer.pieces <= known["best"]
    assert answer.bound <= known["best"]
    assert answer.is_proven or not known["proven"]
    assert faults(answer, kinds, stock) == []


def roles(instance):
    return Demands(tuple(map(tuple, instance["roles"])), (1,) * len(instance["roles"]))


@pytest.mark.parametrize("instance", instances("kits"), ids=lambda line: line["id"])
def test_a_bundle_gives_the_kits_that_are_known_or_says_how_many_at_most(instance):
    kinds = [Kind(*size, 1) for size in instance["types"]]

    ways = ways_of(kinds, tuple(instance["stock"]), seconds=1.0)

    for pieces, blocks in instance["answer"]["blocks"].items():
        found = most_kits(ways, roles(instance), int(pieces))
        assert found.kits <= blocks <= found.ceiling
        assert found.is_proven or not ways.is_whole
        assert fewest_for(ways, roles(instance), blocks)[1] <= int(pieces)


@pytest.mark.parametrize(
    "instance",
    [line for line in instances("kits") if line["stock"] in ([80, 80], [72, 160])],
    ids=lambda line: line["id"],
)
def test_what_one_piece_gives_is_known_to_the_last_way(instance):
    kinds = [Kind(*size, 1) for size in instance["types"]]

    ways = ways_of(kinds, tuple(instance["stock"]), seconds=AMPLE * 3)

    found = sorted(map(tuple, ways.demands(instance["roles"]).tolist()))
    assert found == sorted(map(tuple, instance["answer"]["frontier"]))


def test_what_was_worked_out_once_is_taken_from_the_shelf():
    shelf, kinds = {}, [Kind(42, 42, 1), Kind(20, 20, 1)]
    first = ways_of(kinds, (80, 80), shelf=shelf)

    again = ways_of(kinds, (80, 80), seconds=0.0, shelf=shelf)

    assert again.is_whole
    assert again.vectors is first.vectors


def test_three_sizes_are_always_known_in_a_second():
    sizes = (((46, 46), (40, 40), (25, 25)), ((26, 26), (20, 20), (15, 15)))

    known = {
        (stock, three): ways_of([Kind(*size, 1) for size in three], stock).is_whole
        for stock, three in product(((72, 160), (80, 80)), sizes)
    }

    assert all(known.values())
