"""Published optima: no bound may say that one of them is impossible."""

import json
from pathlib import Path

import pytest

from studio.maths.cutting.kinds import Kind
from studio.maths.cutting.precut import fewest_pieces
from studio.maths.cutting.two_stage import TwoStage

INSTANCES = Path(__file__).parents[1] / "worked" / "cutting_instances.jsonl"
FEW_SECONDS = 2.0


def published(family):
    lines = INSTANCES.read_text(encoding="utf-8").splitlines()
    found = [line for line in map(json.loads, lines) if line["family"] == family]
    return [
        pytest.param(line, id=f"{line['id']} ({line['source'].split(';')[0]})")
        for line in found
    ]


def most_of_strips(values, heights, room):
    """The most that strips of these heights and values are worth in a room."""
    best = [0] * (room + 1)
    for height in range(1, room + 1):
        fitting = zip(values, heights, strict=True)
        best[height] = max(
            [best[height - 1]]
            + [best[height - h] + value for value, h in fitting if h <= height]
        )
    return best[room]


# Each strip is priced as if it were the only one, so that together they may be worth
# more than the optimum, and never less.
@pytest.mark.reference
@pytest.mark.parametrize("instance", published("lit-2stage-knapsack"))
def test_strips_are_never_priced_below_a_published_optimum(instance):
    items = instance["items_w_h_value_max"]
    kinds = [Kind(w, h, most, turns=False) for w, h, _value, most in items]
    width, height = instance["stock"]
    strips = TwoStage(kinds, width, equal=False)

    prices = strips.price([item[2] for item in items], [item[3] for item in items])

    together = most_of_strips(prices.values, strips.heights, height)
    area = sum(value * most for _w, _h, value, most in items)
    assert instance["answer"]["optimum"] <= min(together, area)


# The published counts are for three stages; more stages may take fewer pieces.
@pytest.mark.reference
@pytest.mark.parametrize("instance", published("lit-3stage-bins"))
def test_no_bound_on_pieces_is_above_a_published_optimum(instance):
    kinds = [Kind(*piece, turns=False) for piece in instance["pieces"]]

    answer = fewest_pieces(kinds, tuple(instance["stock"]), seconds=FEW_SECONDS)

    optimum = instance["answer"]["optimum"]
    assert answer.bound <= optimum
    assert answer.pieces <= optimum + 2
