"""Binding, backing, beds and what each kind of project needs, against printed pages."""

from __future__ import annotations

from fractions import Fraction

import pytest

from studio.lengths import MM_IN_AN_INCH, parse_length
from studio.maths import finishing, project_kinds
from studio.maths.finished_sizes import SizeImpossible
from studio.maths.finishing import BEDS
from studio.maths.metric import METRIC
from studio.maths.patch.recipe import Making
from tests.maths import worked


@pytest.mark.parametrize(
    "row",
    worked.rows("trade_binding.csv"),
    ids=lambda r: f"{r['width']} by {r['height']}",
)
def test_binding_takes_the_published_strips(row):
    size = [parse_length(row[side]) for side in ("width", "height")]

    bound = finishing.binding(
        *size,
        allowance_inches=parse_length(row["allowance"]),
        usable_inches=parse_length(row["usable"]),
        strip_inches=parse_length(row["strip"]),
    )

    assert bound.strips == int(row["strips"])
    assert bound.cloth_inches == parse_length(row["cloth"])


@pytest.mark.parametrize(
    "row",
    worked.rows("trade_backing.csv"),
    ids=lambda r: f"{r['width']} by {r['height']}",
)
def test_backing_takes_the_published_widths(row):
    size = [parse_length(row[side]) for side in ("width", "height")]

    backed = finishing.backing(
        *size,
        margin_inches=parse_length(row["margin"]),
        usable_inches=parse_length(row["usable"]),
        seam_inches=parse_length(row["seam"]),
    )

    assert backed.widths == int(row["widths"])
    assert backed.length_inches == parse_length(row["length"])
    assert backed.cloth_inches == parse_length(row["cloth"])


@pytest.mark.parametrize(
    "row", worked.rows("trade_sold.csv"), ids=lambda r: r["length"]
)
def test_cloth_is_bought_in_eighths_of_a_yard_or_half_metres(row):
    length, (sold, unit) = parse_length(row["length"]), row["sold"].rsplit(" ", 1)

    bought = {"yd": finishing.yards_up, "m": finishing.half_metres_up}[unit](length)

    assert bought == parse_length(sold)


@pytest.mark.parametrize(
    "row", worked.rows("trade_bias.csv"), ids=lambda r: r["length"]
)
def test_bias_binding_comes_from_a_square(row):
    length, strip = parse_length(row["length"]), parse_length(row["strip"])

    assert finishing.bias_square(length, strip) == parse_length(row["side"])


@pytest.mark.parametrize(
    "row", worked.rows("trade_binding_width.csv"), ids=lambda r: r["finished"]
)
def test_the_barest_strip_is_four_times_the_binding_and_a_half(row):
    strip = finishing.bare_strip(parse_length(row["finished"]))

    assert strip == parse_length(row["strip"])


@pytest.mark.parametrize(
    "row", worked.rows("trade_areas.csv"), ids=lambda r: f"{r['width']} {r['height']}"
)
def test_backing_is_not_planned_by_area(row):
    """Width × length ÷ 1296 and half a yard is now short and now long."""
    width, height = parse_length(row["width"]), parse_length(row["height"])
    backed = finishing.backing(
        width,
        height,
        margin_inches=parse_length(row["margin"]),
        usable_inches=parse_length(row["usable"]),
    )

    assert backed.cloth_inches == parse_length(row["needed"])
    assert round(float(width * height) / 1296 + 0.5, 2) == float(row["area_yards"])
    assert finishing.yards_up(backed.cloth_inches) != float(row["area_yards"])


def test_diagonal_joins_can_cost_one_strip_more():
    """4 × 40 − 3 × 2½ = 152½ falls short of 156, so 5; worked by hand."""
    square = (Fraction(73, 2), Fraction(73, 2))

    plain = finishing.binding(*square)
    joined = finishing.binding(*square, diagonal_joins=True)

    assert plain.length_inches == 156
    assert (plain.strips, joined.strips) == (4, 5)


def test_four_inches_all_round_are_eight_each_way():
    """51 by 61 becomes 59 by 69, against a shop blog that adds one side only."""
    backed = finishing.backing(Fraction(51), Fraction(61))

    assert (backed.width_inches, backed.height_inches) == (59, 69)


def test_a_seam_can_cost_a_width_of_backing():
    """80 in across from cloth of 40: 2 × 40 − ½ = 79½ falls short, so 3, and 2 × 40
    the other way is for 79½; worked by hand."""
    no_margin = {"margin_inches": Fraction(0)}

    short = finishing.backing(Fraction(80), Fraction(80), **no_margin)
    enough = finishing.backing(Fraction(159, 2), Fraction(80), **no_margin)

    assert (short.widths, enough.widths) == (3, 2)


def test_cloth_too_narrow_to_join_is_refused():
    with pytest.raises(finishing.ClothTooNarrow, match="½ in wide cannot be joined"):
        finishing.backing(Fraction(51), Fraction(61), usable_inches=Fraction(1, 2))


def test_a_quilt_of_no_size_is_refused():
    with pytest.raises(SizeImpossible, match="how large the quilt ends up"):
        finishing.binding(Fraction(0), Fraction(10))


@pytest.mark.parametrize("row", worked.rows("trade_beds.csv"), ids=lambda r: r["bed"])
def test_beds_are_those_of_the_guide(row):
    (found,) = (one for one in BEDS if one.name == row["bed"])

    shown = [
        " ".join(str(side * MM_IN_AN_INCH / 10) for side in size)
        for size in (found.mattress_inches, found.quilt_inches)
    ]

    assert shown == [row["mattress_cm"], row["quilt_cm"]]


def test_a_bed_quilt_hangs_down_on_three_sides():
    """Width + 2 drops, length + 1 drop and 25 cm to tuck in: common practice."""
    drop, tuck = 250 / MM_IN_AN_INCH, 250 / MM_IN_AN_INCH

    width, length = finishing.bed_quilt(BEDS[2], drop, tuck)

    assert (width * MM_IN_AN_INCH, length * MM_IN_AN_INCH) == (1850, 2400)


def test_metric_finishing_keeps_to_centimetres():
    """25 cm to spare and 102 cm usable: 2 × 240 + 25 = 505, 5 strips; by hand."""
    size = (1200 / MM_IN_AN_INCH, 1200 / MM_IN_AN_INCH)

    *_, bound = project_kinds.finish("quilt", size, Making(ruler=METRIC))

    assert bound.count == 5
    assert METRIC.show(bound.width_inches) == "102 cm"
