"""Outings that sold out at a moment nobody wrote down say "at least"."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.demand import Belief, NoLimitToServe
from inventory.selling.sold_out import (
    Outing,
    OutingImpossible,
    belief_after,
    likeliest_rate,
)
from tests.inventory.selling import worked

ROWS = worked.rows("selling_sold_out.csv")
SOMETHING = Belief(2, 1)


def outings(row):
    return [
        Outing(int(word.rstrip("*")), sold_out=word.endswith("*"))
        for word in worked.words(row["outings"])
    ]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["case"])
def test_the_likeliest_rate_of_worked_outings(row):
    rate = likeliest_rate(outings(row))

    expected = row["likeliest"]
    assert rate == (pytest.approx(float(expected), abs=1e-6) if expected else None)


@pytest.mark.parametrize(
    "row", [row for row in ROWS if row["mean"]], ids=lambda row: row["case"]
)
def test_what_worked_outings_teach(row):
    belief = belief_after(
        outings(row), Belief(float(row["shape"]), float(row["exposure"]))
    )

    assert belief.mean == pytest.approx(float(row["mean"]), abs=1e-6)
    assert belief.doubt == pytest.approx(float(row["doubt"]), abs=1e-6)


def test_a_number_that_is_enough_after_outings_that_sold_out():
    # Own instance recomputed by a second program: F(5) = .6840, F(6) = .8038.
    belief = belief_after(outings(ROWS[0]), Belief(2, 0.5))

    assert belief.chance_at_most(5) == pytest.approx(0.6840, abs=5e-5)
    assert belief.chance_at_most(6) == pytest.approx(0.8038, abs=5e-5)
    assert belief.smallest_with(0.75) == 6


def test_nobody_can_be_served_for_certain():
    with pytest.raises(NoLimitToServe):
        belief_after([Outing(3)], SOMETHING).smallest_with(1.0)


@pytest.mark.parametrize(
    ("told", "rate"),
    [
        ([], None),
        ([Outing(4, sold_out=True)], None),
        ([Outing(0, sold_out=True), Outing(3)], 3.0),
        ([Outing(0), Outing(0)], 0.0),
        ([Outing(0)], 0.0),
    ],
    ids=["none", "only sold out", "nothing to sell", "nothing sold", "one"],
)
def test_bare_records_give_a_figure_or_none(told, rate):
    found = likeliest_rate(told)

    assert found == (rate if rate is None else pytest.approx(rate, abs=1e-9))


@pytest.mark.parametrize("wrong", [Outing(-1), Outing(2, 0), Outing(2, -1.0)])
def test_an_outing_that_cannot_be_is_refused(wrong):
    with pytest.raises(OutingImpossible, match="cannot be"):
        likeliest_rate([wrong])
    with pytest.raises(OutingImpossible):
        belief_after([wrong], SOMETHING)


some_outings = st.lists(
    st.builds(Outing, st.integers(0, 12), st.floats(0.25, 4), st.booleans()),
    min_size=1,
    max_size=6,
)


@given(some_outings, st.floats(0.3, 6), st.floats(0.3, 6))
def test_a_sold_out_record_never_lowers_what_is_believed(told, shape, exposure):
    prior = Belief(shape, exposure)
    as_if_not = [Outing(one.sold, one.length) for one in told]

    believed, otherwise = belief_after(told, prior), belief_after(as_if_not, prior)

    assert believed.mean >= otherwise.mean - 1e-9


@given(some_outings)
def test_a_sold_out_record_never_lowers_the_likeliest_rate(told):
    rate = likeliest_rate(told)

    if rate is not None:
        length = sum(one.length for one in told if one.sold or not one.sold_out)
        assert rate >= sum(one.sold for one in told) / length - 1e-9


@given(some_outings.map(lambda all_of: [Outing(o.sold, o.length) for o in all_of]))
def test_without_a_sell_out_the_grid_is_the_plain_belief(told):
    # Closed form: Gamma(shape + sold, exposure + length).
    plain = SOMETHING
    for one in told:
        plain = plain.after(one.sold, one.length)

    assert belief_after(told, SOMETHING).mean == pytest.approx(plain.mean, rel=1e-6)
