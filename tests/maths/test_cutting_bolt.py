"""Lengths off the bolt against brute force, known answers and plans laid out again."""

import json
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.maths.cutting.bolt import least_length
from studio.maths.cutting.kinds import Kind, Stages
from studio.maths.cutting.lattice import list_from_table
from studio.maths.cutting.listing import list_strips, unbeaten, useful
from studio.maths.cutting.three_stage import ThreeStage
from tests.maths import cutting_checker as checker
from tests.maths.cutting_certificates import proves, refuses_rightly
from tests.maths.cutting_lists import bolt_faults, small_bolt_lists

INSTANCES = Path(__file__).parents[1] / "worked" / "cutting_instances.jsonl"
AMPLE = 60.0
FEW_SECONDS = 6.0


def instances(family):
    lines = INSTANCES.read_text(encoding="utf-8").splitlines()
    return [line for line in map(json.loads, lines) if line["family"] == family]


def told_apart(family, few=4):
    """Lists of few sizes every time; the longer ones with the reference checks."""
    return [
        pytest.param(
            line,
            id=line["id"],
            marks=[pytest.mark.reference] if len(line["pieces"]) > few else [],
        )
        for line in instances(family)
    ]


def kinds_of(instance):
    return [Kind(*piece, turns=instance["rotate"]) for piece in instance["pieces"]]


@pytest.mark.parametrize("stages", ["2E", "2N", "3E", "3N"])
@given(small_bolt_lists())
@settings(max_examples=200, deadline=None)
def test_no_way_of_cutting_a_small_list_is_shorter(stages, small):
    kinds, width = small

    answer = least_length(kinds, width, Stages(stages), seconds=AMPLE)

    least = checker.shortest(kinds, width, stages)
    assert (answer.length, answer.bound) == (least, least)
    assert bolt_faults(answer, kinds, width, stages) == []


@pytest.mark.parametrize("stages", ["2E", "2N"])
@pytest.mark.parametrize("instance", instances("bolt"), ids=lambda line: line["id"])
def test_a_cut_list_takes_the_length_that_is_known(instance, stages):
    kinds, width = kinds_of(instance), instance["width"]

    answer = least_length(kinds, width, Stages(stages), seconds=AMPLE)

    known = instance["answer"][stages]["best"]
    assert (answer.length, answer.bound) == (known, known)
    assert bolt_faults(answer, kinds, width, stages) == []


# A proof that is not finished in the time still proves what it says.
@pytest.mark.parametrize("stages", ["2E", "2N", "3E", "3N"])
@pytest.mark.parametrize("instance", told_apart("bolt"))
def test_weights_in_whole_numbers_prove_the_length_and_no_more(instance, stages):
    kinds, width = kinds_of(instance), instance["width"]

    answer = least_length(kinds, width, Stages(stages), seconds=FEW_SECONDS)

    assert proves(kinds, width, stages, answer.certificate, answer.bound)
    assert not proves(kinds, width, stages, answer.certificate, answer.length + 1)


# Trying every filling of a strip this tall with trims takes longer than anybody waits:
# there HiGHS alone says that heights hold no plan.
TOO_TALL = {"bolt:fourpatch", "bolt:churndash", "bolt:cushion-set"}


@pytest.mark.parametrize("stages", ["2N", "3E", "3N"])
@pytest.mark.parametrize("instance", told_apart("bolt", few=3))
def test_no_plan_has_the_heights_that_were_refused(instance, stages):
    if stages == "3N" and instance["id"] in TOO_TALL:
        pytest.skip("Strips are too tall to try every filling.")
    kinds, width = kinds_of(instance), instance["width"]

    answer = least_length(kinds, width, Stages(stages), seconds=FEW_SECONDS)

    assert refuses_rightly(kinds, width, stages, answer.certificate)


def test_heights_that_hold_a_plan_are_not_refused_rightly():
    instance = next(line for line in instances("bolt") if "star4x12-pt" in line["id"])
    kinds, width = kinds_of(instance), instance["width"]
    answer = least_length(kinds, width, Stages("3E"), seconds=FEW_SECONDS)
    heights = Counter(strip.height for strip in answer.strips)

    certificate = replace(
        answer.certificate,
        refused=(tuple(heights[h] for h in answer.certificate.heights),),
    )

    assert not refuses_rightly(kinds, width, "3E", certificate)


@pytest.mark.parametrize("stages", ["3E", "3N"])
@pytest.mark.parametrize("instance", told_apart("bolt"))
def test_a_plan_of_stacks_lies_between_what_is_proven_and_strips_alone(
    instance, stages
):
    kinds, width = kinds_of(instance), instance["width"]

    answer = least_length(kinds, width, Stages(stages), seconds=1.0)

    known = instance["answer"]
    assert answer.bound <= known[stages]["best"]
    assert known[stages]["lower_bound"] <= answer.length
    assert answer.length >= answer.bound
    assert bolt_faults(answer, kinds, width, stages) == []


def test_a_search_that_runs_out_of_time_says_so_and_still_cuts_everything():
    instance = next(line for line in instances("bolt") if "mix600" in line["id"])
    kinds, width = kinds_of(instance), instance["width"]

    answer = least_length(kinds, width, Stages("3N"), seconds=0.05)

    assert answer.bound < answer.length
    assert bolt_faults(answer, kinds, width, "3N") == []


@given(small_bolt_lists(), st.booleans())
@settings(max_examples=200, deadline=None)
def test_strips_listed_stack_by_stack_are_those_of_the_table(small, equal):
    kinds, width = small
    pricer = ThreeStage(kinds, width, equal=equal)
    limits = [kind.count for kind in kinds]

    for row in range(len(pricer.heights)):
        stacks = useful(pricer.full_stacks(row, limits, 1000))
        one_by_one = list_strips(stacks, width, limits, 1_000_000).counts
        from_table = list_from_table(stacks, width, limits).counts
        one_by_one = one_by_one[unbeaten(one_by_one)]
        assert sorted(one_by_one.tolist()) == sorted(from_table.tolist())


@given(small_bolt_lists(), st.sampled_from(["3E", "3N"]))
@settings(max_examples=150, deadline=None)
def test_every_strip_that_is_listed_can_be_cut(small, stages):
    kinds, width = small
    pricer = ThreeStage(kinds, width, equal=stages == "3E")
    every = checker.EveryWay(kinds, width, stages)

    for row, height in enumerate(pricer.heights):
        for held in pricer.every_filling(row).astype(int).tolist():
            strip = pricer.strip_of(row, held)
            assert (strip.counts(len(kinds)), strip.height) == (tuple(held), height)
            assert every.fits(tuple(held), height)


@given(small_bolt_lists(), st.sampled_from(["3E", "3N"]))
@settings(max_examples=150, deadline=None)
def test_strips_priced_without_any_list_prove_nothing_that_is_not_so(small, stages):
    kinds, width = small
    pricer = ThreeStage(kinds, width, equal=stages == "3E", lists=False)
    areas = [kind.area for kind in kinds]
    limits = [kind.count for kind in kinds]

    prices = pricer.price(areas, limits)

    for row, height in enumerate(pricer.heights):
        held = prices.strip(row).counts(len(kinds))
        made = sum(a * c for a, c in zip(areas, held, strict=True))
        best = checker.best_strip(kinds, width, stages, height)
        assert made <= best <= prices.values[row]
