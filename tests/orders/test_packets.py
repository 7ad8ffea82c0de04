"""Formats and prices against the Ofcom size table and packets worked by hand."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

import pytest

from orders.packets import (
    LimitsOutOfOrder,
    NothingToPack,
    NotMeasured,
    Price,
    Rules,
    cheapest,
    fit,
    format_for,
    packing_minutes,
    plan_packet,
    roll_fits,
    show_tenths_mm,
    total_pence,
)
from tests.orders.price_list import loft_goods, loft_rules, things, worked

RULES = loft_rules()
GOODS = loft_goods()


def _by_order():
    rows = worked("post_packets.csv")
    grouped = groupby(rows, key=lambda row: row["packet"].split(" (")[0])
    return [pytest.param(list(group), id=order) for order, group in grouped]


def _planned(rows):
    """Plan all things of one order, in the order of their codes."""
    contents = [t for row in rows for t in things(row["contents"], GOODS)]
    contents.sort(key=lambda thing: thing.code)
    abroad = rows[0]["abroad"] == "yes"
    return cheapest(contents, RULES, rows[0]["service"], abroad=abroad)


def _minutes(plan, row):
    gift, abroad = row["gift"] == "yes", row["abroad"] == "yes"
    kind = plan.fit.format.kind
    return packing_minutes(kind, gift=gift, customs=abroad, rules=RULES)


def _codes(contents):
    return sorted(thing.code for thing in contents)


@pytest.mark.parametrize("rows", _by_order())
def test_each_packet_of_the_day_has_its_format_weight_and_price(rows):
    plans = _planned(rows)

    for plan, row in zip(plans, rows, strict=True):
        postage = int(row["postage_pence"]) if row["postage_pence"] else None
        assert _codes(plan.things) == _codes(things(row["contents"], GOODS))
        assert plan.fit.format.name == row["format"]
        assert plan.fit.grams == int(row["grams"])
        assert plan.fit.thickness_tenths_mm == int(row["thickness_tenths_mm"])
        assert plan.postage_pence == postage
        assert _minutes(plan, row) == int(row["minutes"])
        assert plan.exact


def test_the_day_is_twenty_packets_for_53_95_and_95_minutes():
    # Worked by hand: 12.60 + 4.75 + 10.80 + 25.80; 10 + 20 + 36 + 23 + 6.
    pairs = [
        pair
        for param in _by_order()
        for pair in zip(_planned(param.values[0]), param.values[0], strict=True)
    ]

    assert len(pairs) == 20
    assert sum(plan.postage_pence or 0 for plan, _ in pairs) == 5395
    assert sum(_minutes(plan, row) for plan, row in pairs) == 95


@pytest.mark.parametrize("row", worked("post_format.csv"))
def test_a_measured_packet_takes_the_smallest_format_that_passes(row):
    sides = tuple(int(row[f"side_{side}_tenths_mm"]) for side in "abc")

    found = format_for(sides, int(row["grams"]), RULES)

    assert (found.kind if found else "none") == row["format"]


@pytest.mark.parametrize("row", worked("post_roll.csv"))
def test_a_roll_goes_while_length_and_two_diameters_stay_within_1040_mm(row):
    goes = roll_fits(int(row["length_mm"]), int(row["diameter_mm"]))

    assert goes == (row["goes"] == "yes")


@pytest.mark.parametrize("row", worked("post_goods_alone.csv"))
def test_each_thing_posted_alone_takes_the_format_in_the_list(row):
    result = fit([GOODS[row["code"]]], RULES)

    assert result.format.name == row["alone"]


def test_a_hard_piece_never_goes_as_a_letter():
    beaker = GOODS["BK-030"]
    soft = replace(beaker, may_go_as_letter=True)

    assert fit([beaker], RULES).refused[0].reason == (
        "BK-030 is a hard piece: those never go as a letter."
    )
    assert fit([soft], RULES).format.code == "LTR"


def test_the_width_of_a_nine_inch_set_makes_it_a_parcel():
    result = fit([GOODS["SG-090"]], RULES)

    assert result.sentence == (
        "Goes as a small parcel (615 g, 18 mm thick). "
        "The width, 265 mm, is over the 250 mm of a large letter ≤750 g."
    )


def test_three_patterns_are_too_thick_for_one_letter():
    patterns = things("1 × PT-LTR, 1 × PT-MKT, 1 × PT-NHQ", GOODS)

    result = fit(patterns, RULES)

    assert result.refused[0].reason == (
        "The thickness, 6.5 mm, is over the 5 mm of a letter."
    )


def test_weight_alone_pushes_a_packet_up_a_band():
    result = fit([GOODS["SG-030"]], RULES)

    assert result.pushed_up_by == "156 g is over the 100 g of a large letter ≤100 g."


def test_a_packet_exactly_at_the_limit_is_to_be_measured():
    result = fit(things("1 × SG-030, 1 × FB-01", GOODS), RULES)

    assert result.warnings == (
        "Measure it: the thickness is 25 mm and the limit 25 mm.",
    )


@pytest.mark.parametrize(
    ("thickness", "grams", "warnings"),
    [
        (34, 88, 0),
        (35, 88, 1),
        (34, 89, 1),
        (35, 89, 2),
    ],
)
def test_the_last_millimetre_and_the_last_five_grams_are_warned_of(
    thickness, grams, warnings
):
    # Envelope adds 0.5 mm and 6 g to limits of 5 mm and 100 g; by hand.
    pattern = replace(GOODS["PT-LTR"], thickness_tenths_mm=thickness, grams=grams)

    result = fit([pattern], RULES)

    assert result.format.code == "LTR"
    assert len(result.warnings) == warnings


def test_two_letters_beat_one_large_letter():
    patterns = things("1 × PT-LTR, 1 × PT-MKT, 1 × PT-NHQ", GOODS)

    plans = cheapest(patterns, RULES, "standard")

    assert [p.postage_pence for p in plans] == [95, 95]
    assert plan_packet(patterns, RULES, "standard").postage_pence == 215


def test_equal_postage_goes_to_fewer_packets():
    # A large letter for the price of two letters, made up by hand.
    prices = [p for p in RULES.prices if (p.format_code, p.service) != _LL250]
    rules = _with_prices([*prices, Price(*_LL250, 190)])
    patterns = things("1 × PT-LTR, 1 × PT-MKT, 1 × PT-NHQ", GOODS)

    plans = cheapest(patterns, rules, "standard")

    assert [p.postage_pence for p in plans] == [190]


_LL250 = ("LL250", "standard")


def _with_prices(prices):
    return Rules(RULES.formats, RULES.services, tuple(prices), RULES.minutes)


def test_a_larger_format_is_taken_when_the_list_makes_it_cheaper():
    prices = [p for p in RULES.prices if (p.format_code, p.service) != _LL250]
    rules = _with_prices([*prices, Price(*_LL250, 999)])

    plan = plan_packet([GOODS["SG-030"]], rules, "standard")

    assert (plan.fit.format.code, plan.postage_pence) == ("LL500", 270)


def test_at_equal_postage_the_smaller_format_is_kept():
    prices = [p for p in RULES.prices if (p.format_code, p.service) != _LL250]
    rules = _with_prices([*prices, Price(*_LL250, 270)])

    plan = plan_packet([GOODS["SG-030"]], rules, "standard")

    assert (plan.fit.format.code, plan.postage_pence) == ("LL250", 270)


def test_a_split_order_costs_a_second_packet():
    # Worked by hand: 120 + 455 + 120 g, 11 + 60 + 10 mm; then 175 + 45 g, 11 mm.
    first = plan_packet(things("1 × RF-090, 1 × FB-07", GOODS), RULES, "standard")
    second = plan_packet([GOODS["SG-045"]], RULES, "standard")

    assert (first.fit.grams, first.fit.thickness_tenths_mm) == (695, 810)
    assert (first.fit.format.code, first.postage_pence) == ("SP", 430)
    assert (second.fit.grams, second.fit.thickness_tenths_mm) == (220, 110)
    assert (second.fit.format.code, second.postage_pence) == ("LL250", 215)


def test_eight_different_things_are_tried_in_every_split():
    codes = ["SG-030", "RF-045", "BK-030", "PT-LTR", "PT-MKT", "PT-NHQ", "GD-REF"]
    mixed = [GOODS[code] for code in [*codes, "SP-350"]]

    plans = cheapest(mixed, RULES, "standard")

    assert all(plan.exact for plan in plans)
    assert total_pence(plans) == _by_every_partition(mixed)


def _by_every_partition(contents):
    """Price each set partition one by one: a second, slower road."""
    return min(
        sum(plan_packet(part, RULES, "standard").postage_pence for part in parts)
        for parts in _partitions(contents)
    )


def _partitions(contents):
    if not contents:
        yield []
        return
    first, *others = contents
    for parts in _partitions(others):
        yield [[first], *parts]
        for i, part in enumerate(parts):
            yield [*parts[:i], [first, *part], *parts[i + 1 :]]


def test_a_very_large_heap_says_that_it_was_not_tried_in_full():
    every_kind = [GOODS[code] for code in GOODS if code not in ("FB-05", "FB-07")]

    plans = cheapest(every_kind, RULES, "standard")

    assert not any(plan.exact for plan in plans)
    assert _codes(t for plan in plans for t in plan.things) == _codes(every_kind)
    apart = sum(total_pence(cheapest([t], RULES, "standard")) for t in every_kind)
    assert total_pence(plans) < apart


def test_a_large_heap_is_never_worse_than_one_packet():
    many = [replace(GOODS["PT-LTR"], code=f"P{n}") for n in range(30)]

    plans = cheapest(many, RULES, "standard")

    # Thirty patterns: 30 × 38 + 120 g, 30 × 2 + 10 mm, one parcel; by hand.
    assert [(p.fit.grams, p.postage_pence) for p in plans] == [(1260, 430)]


def test_a_large_heap_too_heavy_for_one_packet_is_shared_out():
    # Nine of 3 kg and a box of 120 g: six in 20 kg, three left; by hand.
    iron = replace(GOODS["PT-LTR"], grams=3000)
    heavy = [replace(iron, code=f"I{n}") for n in range(9)]

    plans = cheapest(heavy, RULES, "standard")

    assert [(p.fit.grams, p.postage_pence) for p in plans] == [
        (18120, 740),
        (9120, 740),
    ]


def test_abroad_is_one_packet_priced_at_the_counter():
    plans = cheapest(
        things("1 × PT-LTR, 3 × SG-090", GOODS), RULES, "standard", abroad=True
    )

    assert len(plans) == 1
    assert plans[0].postage_pence is None
    assert total_pence(plans) is None


def test_a_thing_no_format_takes_gets_its_own_packet_without_postage():
    board = replace(GOODS["SG-090"], code="BOARD", length_mm=700)

    plans = cheapest([board, GOODS["PT-LTR"]], RULES, "standard")

    assert [(p.fit.format, p.postage_pence) for p in plans] == [
        (None, None),
        (RULES.formats[0], 95),
    ]
    assert plans[0].fit.sentence == (
        "No format takes it (615 g, 18 mm thick). The length, 700 mm, is over the "
        "610 mm of a medium parcel. Split it or ask at the counter."
    )


def test_a_thing_without_a_weight_asks_to_be_measured():
    unmeasured = replace(GOODS["PT-LTR"], grams=0)

    with pytest.raises(NotMeasured) as caught:
        fit([unmeasured], RULES)

    assert str(caught.value) == (
        "PT-LTR (Pattern: Larktarn tool roll) has no packed size or weight yet. "
        "Measure one and enter it on its page."
    )


def test_the_thinnest_and_lightest_thing_counts_as_measured():
    tissue = replace(GOODS["PT-LTR"], grams=1, thickness_tenths_mm=1)

    result = fit([tissue], RULES)

    assert (result.grams, result.thickness_tenths_mm) == (7, 6)


def test_an_empty_packet_is_refused():
    with pytest.raises(NothingToPack):
        cheapest([], RULES, "standard")
    with pytest.raises(NothingToPack):
        fit([], RULES)


def test_limits_are_entered_the_longest_side_first():
    letter = RULES.formats[0]

    with pytest.raises(LimitsOutOfOrder) as caught:
        replace(letter, max_tenths_mm=(1650, 2400, 50))

    assert caught.value.format_name == "letter"


def test_what_no_format_takes_is_packed_like_a_parcel():
    assert packing_minutes(None, gift=False, customs=False, rules=RULES) == 6


@pytest.mark.parametrize(("tenths", "shown"), [(250, "25 mm"), (45, "4.5 mm")])
def test_tenths_of_a_millimetre_are_shown_without_a_needless_nought(tenths, shown):
    assert show_tenths_mm(tenths) == shown
