"""Charts: values stand where they should, in a picture that can be read aloud."""

from __future__ import annotations

import re
from fractions import Fraction
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio import charts
from studio.charts import Bar, Interval, Level

SVG = "{http://www.w3.org/2000/svg}"
BARS = [Bar("Sandglass", 120), Bar("Ringfence", 60), Bar("Beaker", 0)]
ROWS = [Interval("RF-090", 22, 31, 41), Interval("DU-SG", 0, 2, 5)]
STEPS = [(0, Fraction(1)), (18, Fraction(5, 6)), (22, Fraction(2, 3))]


def bars():
    return charts.bar_chart("Sandglass brings the most.", BARS, "sets")


def intervals():
    return charts.interval_chart("Ringfence will need most.", ROWS, "sets")


def steps(level=None):
    return charts.step_chart("Few want more.", STEPS, "Sets", "Share", level)


ALL = pytest.mark.parametrize(
    "drawn", [bars(), intervals(), steps()], ids=["bars", "intervals", "steps"]
)


def parsed(drawn):
    return ElementTree.fromstring(drawn)  # noqa: S314 - drawn by the studio itself


def marks(drawn, name, **look):
    return [
        mark
        for mark in parsed(drawn).iter(SVG + name)
        if look.items() <= mark.attrib.items()
    ]


@ALL
def test_a_chart_has_its_sentence_as_title_and_its_values_as_description(drawn):
    root = parsed(drawn)

    title, description = root[0], root[1]

    assert root.get("role") == "img"
    assert (title.tag, description.tag) == (SVG + "title", SVG + "desc")
    assert title.text == root.get("aria-label")
    assert title.text.endswith(".")
    assert ": " in description.text


@ALL
def test_a_chart_needs_no_style_no_script_and_no_id(drawn):
    names = {name for mark in parsed(drawn).iter() for name in mark.attrib}

    assert names.isdisjoint({"style", "class", "id", "href"})
    assert not re.search(r"<(style|script|image)", drawn)


@ALL
def test_no_text_of_a_chart_is_smaller_than_fourteen(drawn):
    sizes = {int(mark.get("font-size")) for mark in marks(drawn, "text")}

    assert min(sizes) == 14


def test_bars_are_as_long_as_their_values():
    lengths = [int(float(mark.get("width"))) for mark in marks(bars(), "rect")]

    assert lengths[0] == 2 * lengths[1]
    assert lengths[1] > 0
    assert lengths[2] == 0


def test_each_bar_says_its_value_beside_it_and_aloud():
    words = [mark.text for mark in marks(bars(), "text")]

    assert {"120 sets", "60 sets", "0 sets", "Beaker"} <= set(words)
    assert parsed(bars())[1].text == (
        "Sandglass: 120 sets; Ringfence: 60 sets; Beaker: 0 sets."
    )


def test_money_is_shown_as_money():
    drawn = charts.bar_chart("One sold.", [Bar("SG-030", 1350)], show=charts.pounds)

    assert "£13.50" in [mark.text for mark in marks(drawn, "text")]
    assert parsed(drawn)[1].text == "SG-030: £13.50."


def test_an_interval_reaches_from_its_low_to_its_high_with_its_value_between():
    bands = [mark.get("d") for mark in marks(intervals(), "path", stroke=charts.BAND)]
    ends = [[float(n) for n in re.findall(r"[MH]([0-9.]+)", band)] for band in bands]
    middles = [float(mark.get("cx")) for mark in marks(intervals(), "circle")]

    (low, high), (nought, _) = ends
    unit = (high - low) / (41 - 22)

    assert nought == charts.LEFT
    assert middles[0] == pytest.approx(low + unit * (31 - 22), abs=0.1)
    assert low == pytest.approx(charts.LEFT + unit * 22, abs=0.1)
    assert "RF-090: 31 sets, between 22 and 41 sets" in parsed(intervals())[1].text


def test_a_step_holds_its_value_until_the_next():
    (line,) = marks(steps(), "path", stroke=charts.BAR)
    start, *moves = re.findall(r"[MHV][0-9. ]+", line.get("d"))

    heights = [float(start.split()[1]), *(float(m[1:]) for m in moves if m[0] == "V")]
    floor = charts.TOP + 24 + charts.PLOT_HEIGHT

    assert [move[0] for move in moves] == ["H", "V", "H", "V", "H"]
    assert [round((floor - y) / charts.PLOT_HEIGHT, 3) for y in heights] == [
        1.0,
        0.833,
        0.667,
    ]


def test_a_level_is_drawn_dashed_and_named():
    drawn = steps(Level("Wanted", Fraction(2, 5)))

    (line,) = marks(drawn, "path", stroke=charts.SOFT)

    assert line.get("stroke-dasharray")
    assert "Wanted: 0.4" in [mark.text for mark in marks(drawn, "text")]
    assert marks(steps(), "path", stroke=charts.SOFT) == []


@pytest.mark.parametrize(
    ("most", "ticks"),
    [
        (41, [0, 10, 20, 30, 40, 50]),
        (6, [0, 1, 2, 3, 4, 5, 6]),
        (7, [0, 2, 4, 6, 8]),
        (120, [0, 20, 40, 60, 80, 100, 120]),
        (1, [0, Fraction(1, 5), Fraction(2, 5), Fraction(3, 5), Fraction(4, 5), 1]),
        (0, [0, Fraction(1, 5), Fraction(2, 5), Fraction(3, 5), Fraction(4, 5), 1]),
    ],
)
def test_ticks_are_round_numbers(most, ticks):
    """Steps of 1, 2 or 5 times a power of ten; worked by hand."""
    drawn = charts.bar_chart("Some.", [Bar("x", most)], show=str)

    shown = [mark.text for mark in marks(drawn, "text", fill=charts.SOFT)]

    assert shown == [str(Fraction(tick)) for tick in ticks]


@given(st.fractions(min_value=0, max_value=10**7, max_denominator=1000))
def test_any_value_fits_its_chart(value):
    drawn = charts.bar_chart("Some.", [Bar("x", value)])

    (bar,) = marks(drawn, "rect")
    ticks = marks(drawn, "text", fill=charts.SOFT)

    assert float(bar.get("width")) <= charts.WIDTH - charts.LEFT - charts.RIGHT
    assert 2 <= len(ticks) <= charts.MOST_TICKS + 1


def test_a_long_title_takes_a_second_line_and_moves_the_rest_down():
    short = charts.bar_chart("Few.", BARS)
    title = "Sandglass brings the most in a week, and Ringfence comes next after it."
    long = charts.bar_chart(title, BARS)

    lines = [mark.text for mark in marks(long, "text", **{"font-weight": "bold"})][:2]

    assert " ".join(lines) == title
    assert int(parsed(long).get("height")) == int(parsed(short).get("height")) + 22


def lightness(colour):
    """Relative luminance of WCAG 2.2."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize(
    ("colour", "least"), [(charts.BAR, 3), (charts.BAND, 3), (charts.SOFT, 4.5)]
)
def test_marks_and_words_stand_out_on_calico_and_on_paper(colour, least):
    """WCAG 2.2: 3 to 1 for drawn parts, 4.5 to 1 for words."""
    for ground in ("#fdfbf5", "#ffffff"):
        contrast = (lightness(ground) + 0.05) / (lightness(colour) + 0.05)

        assert contrast >= least


@pytest.mark.parametrize(
    ("draw", "sentence"),
    [
        (lambda: charts.bar_chart("None.", []), "nothing to draw yet"),
        (lambda: charts.interval_chart("None.", []), "nothing to draw yet"),
        (lambda: charts.step_chart("None.", [], "x", "y"), "nothing to draw yet"),
        (lambda: charts.bar_chart("Low.", [Bar("x", -1)]), "a value is below it"),
        (
            lambda: charts.interval_chart("Odd.", [Interval("SG-030", 3, 2, 4)]),
            "The middle of SG-030 lies outside",
        ),
        (
            lambda: charts.step_chart("Back.", [(2, 1), (1, 1)], "x", "y"),
            "do not run from left to right",
        ),
    ],
)
def test_what_cannot_be_drawn_is_said_in_a_sentence(draw, sentence):
    with pytest.raises(charts.ChartImpossible, match=sentence):
        draw()
