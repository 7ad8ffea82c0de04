"""Making up from shared pieces, against sums worked by hand and against every plan."""

from __future__ import annotations

from itertools import product as every

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.half_sets import half_sets
from inventory.making_up import Mend, Wanted, Way, best_mix, mend_first, possible
from inventory.mix_problem import CircularParts

SG_030 = Way("SG-030", {"A425": 1, "SQ350": 1, "BKLT-SG": 1})
SG_090 = Way("SG-090", {"A1025": 1, "SQ950": 1, "BKLT-SG": 1})
RF_090 = Way("RF-090", {"A388": 1, "SQ350": 1, "C200": 1, "BKLT-RF": 1})
DUO_FROM_PIECES = Way(
    "DU-SG",
    {"A425": 1, "SQ350": 1, "A1025": 1, "SQ950": 1, "BKLT-SG": 1, "GBOX": 1},
)
DUO_FROM_SETS = Way("DU-SG", {"SG-030": 1, "SG-090": 1, "GBOX": 1}, {"BKLT-SG": 1})
SP_350 = Way("SP-350", {"SQ350": 1})
WAYS = (SG_030, RF_090, SG_090, DUO_FROM_PIECES, DUO_FROM_SETS, SP_350)

DRAWER = {
    **{"A425": 31, "SQ350": 44, "A388": 26, "C200": 29, "A1025": 9, "SQ950": 8},
    **{"GBOX": 6, "BKLT-SG": 90, "BKLT-RF": 90},
}
WANTED = (
    Wanted("SG-030", 20, 10, 1167),
    Wanted("RF-090", 18, 3, 1896),
    Wanted("SG-090", 4, 1, 1980),
    Wanted("DU-SG", 0, 5, 2851),
    Wanted("SP-350", 0, 6, 500),
)
# Loose pieces of the demo morning, and what a piece costs in material.
MARCH_DRAWER = {
    **{"A425": 7, "SQ350": 3, "SQ500": 6, "A1025": 5, "SQ950": 0},
    **{"A388": 6, "C200": 8, "BKLT-SG": 44, "BKLT-RF": 40},
}
COST_PENCE = {
    **{"A425": 57, "SQ350": 36, "A1025": 336, "SQ950": 289, "A388": 44, "C200": 20}
}


def test_promises_come_first_and_then_the_most_gain():
    # Worked by hand.
    mix = best_mix(WANTED, WAYS, DRAWER)

    assert [line.promised for line in mix.lines] == [20, 18, 4, 0, 0]
    assert [line.extra for line in mix.lines] == [0, 3, 1, 3, 0]
    assert mix.gain_pence == 16_221
    assert mix.proven


def test_the_left_over_pieces_are_named():
    # Worked by hand: booklets 90 - 20 - 5 - 3 = 62, one for each duo.
    mix = best_mix(WANTED, WAYS, DRAWER)

    left = {part: count for part, count in mix.left_over.items() if count}
    assert left == {
        **{"A425": 8, "A388": 5, "C200": 8, "A1025": 1, "GBOX": 3},
        **{"BKLT-SG": 62, "BKLT-RF": 69},
    }


def test_each_product_says_why_there_are_no_more():
    mix = best_mix(WANTED, WAYS, DRAWER)

    assert [line.reason for line in mix.lines] == [
        "No more SG-030; one more wins £11.67 but costs 1 RF-090: £18.96.",
        "18 RF-090 promised and 3 more RF-090: as many as can be sold.",
        "4 SG-090 promised and 1 more SG-090: as many as can be sold.",
        "3 more DU-SG; one more wins £28.51 but costs 1 RF-090 and 1 SG-090: £38.76.",
        "No more SP-350; one more wins £5.00 but costs 1 RF-090: £18.96.",
    ]


def test_a_promise_that_cannot_be_kept_says_what_is_missing():
    mix = best_mix((Wanted("RF-090", must=4),), WAYS, DRAWER | {"C200": 3})

    assert mix.lines[0].promised_short == 1
    assert mix.lines[0].reason == (
        "3 of 4 promised RF-090 can be made up, 1 short; the next one lacks 1 C200."
    )


def test_the_earlier_promise_gets_the_last_square():
    wanted = (Wanted("RF-090", must=1), Wanted("SG-030", must=1))

    mix = best_mix(wanted, WAYS, DRAWER | {"SQ350": 1})

    assert [line.promised for line in mix.lines] == [1, 0]


def test_a_duo_gives_one_booklet_back_when_made_from_two_sets():
    shelf = {"SG-030": 2, "SG-090": 2, "GBOX": 6, "BKLT-SG": 0}

    mix = best_mix((Wanted("DU-SG", at_most=5, gain_pence=2851),), WAYS, shelf)

    assert mix.lines[0].extra == 2
    assert mix.ways_used == ((DUO_FROM_SETS, 2),)
    assert mix.left_over["BKLT-SG"] == 2
    assert mix.lines[0].reason.startswith("2 more DU-SG; the next one lacks")


def test_mending_comes_before_three_new_sets():
    # Worked by hand: min(5, 3, 8) = 3 after one A388 has mended the cracked set.
    loose = {"A388": 6, "SQ350": 3, "C200": 8, "BKLT-RF": 40}

    mended = mend_first((Mend("RF-090", {"A388": 1}),), loose)
    new = possible("RF-090", WAYS, mended.left_over)

    assert (len(mended.mended), new.count) == (1, 3)
    assert mended.left_over["A388"] == 5
    assert new.reason == "3 RF-090 can be made up; the next one lacks 1 SQ350."


def test_mending_completes_as_many_sets_as_the_pieces_allow():
    both = Mend("RF-090", {"A388": 1, "C200": 1})
    one, other = Mend("RF-090", {"A388": 1}), Mend("RF-090", {"C200": 1})

    mended = mend_first((both, one, other), {"A388": 1, "C200": 1})

    assert (mended.mended, mended.waiting) == ((one, other), (both,))


@pytest.mark.parametrize(
    ("product", "count", "missing"),
    [
        ("SG-030", 31, {"A425": 1}),
        ("RF-090", 26, {"A388": 1}),
        ("SG-090", 8, {"SQ950": 1}),
        ("DU-SG", 6, {"GBOX": 1}),
        ("SP-350", 44, {"SQ350": 1}),
        ("FB-01", 0, {}),
    ],
)
def test_one_product_alone_counts_its_scarcest_part(product, count, missing):
    # Worked by hand: the least of the loose parts of each set.
    alone = possible(product, WAYS, DRAWER)

    assert (alone.count, alone.next_lacks) == (count, missing)


def test_a_set_that_needs_another_set_looks_down_both_levels():
    ways = (SG_030, SG_090, DUO_FROM_SETS)

    alone = possible("DU-SG", ways, DRAWER | {"SG-030": 0, "SQ350": 2, "A1025": 9})

    assert (alone.count, alone.next_lacks) == (2, {"SQ350": 1})


def test_a_parts_list_that_needs_itself_is_refused():
    ways = (Way("KIT", {"BAG": 1}), Way("BAG", {"KIT": 1}))

    with pytest.raises(CircularParts, match="The parts list of KIT needs KIT itself"):
        possible("KIT", ways, {"BAG": 3})


def test_five_nine_inch_squares_without_a_partner_are_asleep():
    # Worked by hand: 5 x 3.36 = 16.80.
    names = {"SG-090": "nine-inch set"}

    found = half_sets(WAYS, MARCH_DRAWER, COST_PENCE, names)

    assert found[0].sentence == (
        "Five A1025 have no partner: £16.80 asleep. "
        "Five SQ950 would free five nine-inch sets."
    )
    assert [(half.piece, half.count, half.asleep_pence) for half in found] == [
        ("A1025", 5, 1680),
        ("A425", 4, 228),
        ("A388", 3, 132),
        ("C200", 5, 100),
    ]


def test_a_piece_that_is_sold_alone_never_lacks_a_partner():
    found = half_sets(WAYS, {"SQ350": 9}, COST_PENCE)

    assert found == ()
    assert half_sets(WAYS[:-1], {"SQ350": 9}, COST_PENCE)[0].count == 9


def test_half_sets_that_lack_two_kinds_say_so():
    found = half_sets((RF_090,), {"A388": 1}, COST_PENCE)

    assert found[0].sentence == (
        "One A388 has no partner: £0.44 asleep. "
        "No single kind of piece would free them."
    )


PARTS = ("p", "q", "r")


@st.composite
def small_shops(draw):
    needs = st.dictionaries(st.sampled_from(PARTS), st.integers(1, 2), min_size=1)
    ways = [Way(code, draw(needs)) for code in ("one", "two")]
    ways.append(Way("both", {"one": 1, "two": 1}))
    ways.append(Way("both", draw(needs)))
    loose = {part: draw(st.integers(0, 4)) for part in (*PARTS, "one")}
    wanted = [
        Wanted(
            code,
            draw(st.integers(0, 1)),
            draw(st.integers(0, 2)),
            draw(st.integers(1, 9)),
        )
        for code in ("one", "two", "both")
    ]
    return wanted, ways, loose


def allowed(ways, uses, kept, loose):
    left = dict(loose)
    made = dict.fromkeys(kept, 0)
    for way, times in zip(ways, uses, strict=True):
        made[way.product] += times
        left[way.product] = left.get(way.product, 0) + times
        for part, count in way.needs.items():
            left[part] = left.get(part, 0) - count * times
    for code, count in kept.items():
        left[code] -= count
    return min(left.values()) >= 0 and all(made[code] >= kept[code] for code in kept)


def best_by_looking_at_all(wanted, ways, loose):
    best = (0, 0)
    counts = every(*(range(w.must + w.at_most + 1) for w in wanted))
    for kept_counts in counts:
        kept = {w.product: n for w, n in zip(wanted, kept_counts, strict=True)}
        if any(allowed(ways, uses, kept, loose) for uses in every(range(6), repeat=4)):
            promised = [
                min(n, w.must) for w, n in zip(wanted, kept_counts, strict=True)
            ]
            gain = sum(
                w.gain_pence * (n - p)
                for w, n, p in zip(wanted, kept_counts, promised, strict=True)
            )
            best = max(best, (sum(promised), gain))
    return best


@settings(max_examples=25, deadline=None)
@given(small_shops())
def test_no_other_plan_keeps_more_promises_or_gains_more(shop):
    wanted, ways, loose = shop

    mix = best_mix(wanted, ways, loose)

    promised = sum(line.promised for line in mix.lines)
    assert promised == best_by_looking_at_all(wanted, ways, loose)[0]
    if promised == sum(want.must for want in wanted):
        assert (promised, mix.gain_pence) == best_by_looking_at_all(wanted, ways, loose)
    kept = {line.wanted.product: line.promised + line.extra for line in mix.lines}
    uses = dict.fromkeys(range(len(ways)), 0)
    for way, times in mix.ways_used:
        uses[next(j for j, w in enumerate(ways) if w is way)] = times
    assert allowed(ways, list(uses.values()), kept, loose)
