"""Fewest pre-cut pieces and most kits against brute force and known answers."""

import json
from itertools import product
from pathlib import Path
from time import process_time

import pytest
from hypothesis import given, settings

from studio.maths.cutting import rectangles
from studio.maths.cutting.kinds import Kind
from studio.maths.cutting.kits import Demands, fewest_for, most_kits, ways_of
from studio.maths.cutting.precut import fewest_pieces
from tests.maths import cutting_checker as checker
from tests.maths.cutting_lists import piece_faults, small_piece_lists

INSTANCES = Path(__file__).parents[1] / "worked" / "cutting_instances.jsonl"
AMPLE = 20.0
# More than three sizes take long to know all about; they have a test of their own.
EXACT = 3


def instances(*families):
    lines = INSTANCES.read_text(encoding="utf-8").splitlines()
    return [line for line in map(json.loads, lines) if line["family"] in families]


@given(small_piece_lists())
@settings(max_examples=200, deadline=None)
def test_no_way_of_cutting_a_small_list_takes_fewer_pieces(small):
    kinds, stock = small

    answer = fewest_pieces(kinds, stock, seconds=AMPLE)

    least = checker.fewest(kinds, stock)
    assert answer.bound <= least <= answer.pieces
    assert (answer.pieces == least) or len(kinds) > EXACT
    assert piece_faults(answer, kinds, stock) == []


def told_apart(*families, few=6):
    """Lists of few sizes every time; the longer ones with the reference checks."""
    return [
        pytest.param(
            line,
            id=line["id"],
            marks=[pytest.mark.reference] if len(line["pieces"]) > few else [],
        )
        for line in instances(*families)
    ]


@pytest.mark.parametrize("instance", told_apart("precut", "strip2.5"))
def test_a_cut_list_takes_the_pre_cut_pieces_that_are_known(instance):
    kinds = [Kind(*piece, turns=instance["rotate"]) for piece in instance["pieces"]]
    stock, known = tuple(instance["stock"]), instance["answer"]

    answer = fewest_pieces(kinds, stock, seconds=AMPLE / 4)

    assert known["lower_bound"] <= answer.pieces <= known["best"]
    assert answer.bound <= known["best"]
    assert answer.is_proven or not known["proven"]
    assert piece_faults(answer, kinds, stock) == []


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


# Seconds of the processor, so that a busy machine does not count against it.
def test_three_sizes_are_always_known_in_a_second(monkeypatch):
    monkeypatch.setattr(rectangles, "monotonic", process_time)
    sizes = (((46, 46), (40, 40), (25, 25)), ((26, 26), (20, 20), (15, 15)))

    known = {
        (stock, three): ways_of([Kind(*size, 1) for size in three], stock).is_whole
        for stock, three in product(((72, 160), (80, 80)), sizes)
    }

    assert all(known.values())
