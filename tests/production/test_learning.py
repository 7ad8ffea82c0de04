"""Minutes a sheet against lines from textbooks, and against figures worked by hand."""

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as some

from production import learning
from production.learning import Believed, Line, TimedLog, learned

WORKED = Path(__file__).parents[1] / "worked" / "learning.csv"
TYPED = Line(Fraction(0), Fraction(28))
NOTHING_KNOWN = Believed(Fraction(0), None)


def worked_rows(*, column=None):
    with WORKED.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return [row for row in rows if column is None or row[column]]


def logs_of(row):
    pairs = zip(row["sheets"].split(), row["minutes"].split(), strict=True)
    return [TimedLog(key, int(n), Fraction(t)) for key, (n, t) in enumerate(pairs)]


def logs(*pairs):
    return [TimedLog(key, n, Fraction(t)) for key, (n, t) in enumerate(pairs)]


def believed(row, which):
    if not row[f"typed {which}"]:
        return NOTHING_KNOWN
    return Believed(Fraction(row[f"typed {which}"]), Fraction(row[f"{which} width"]))


def close_to(printed):
    """As near as the last figure printed."""
    places = len(printed.partition(".")[2])
    return pytest.approx(float(printed), abs=0.51 * 10**-places)


@pytest.mark.parametrize(
    "row", worked_rows(column="robust setup"), ids=lambda row: row["id"]
)
def test_the_robust_line_is_the_one_worked_out_elsewhere(row):
    line = learning.robust_line(logs_of(row), TYPED)

    assert line == Line(Fraction(row["robust setup"]), Fraction(row["robust sheet"]))


@pytest.mark.parametrize("row", worked_rows(), ids=lambda row: row["id"])
def test_the_blend_is_the_textbook_line_where_nothing_was_typed(row):
    found = logs_of(row)
    spreads = [Fraction(row["spread"])] * len(found)

    blended = learning.blend(
        found, believed(row, "setup"), believed(row, "sheet"), spreads
    )

    assert float(blended.line.setup_minutes) == close_to(row["blended setup"])
    assert float(blended.line.sheet_minutes) == close_to(row["blended sheet"])


@pytest.mark.parametrize(
    "row", worked_rows(column="setup error"), ids=lambda row: row["id"]
)
def test_the_widths_of_a_blend_are_the_standard_errors_printed(row):
    found = logs_of(row)
    spreads = [Fraction(row["spread"])] * len(found)

    blended = learning.blend(
        found, believed(row, "setup"), believed(row, "sheet"), spreads
    )

    assert float(blended.setup_square_width) ** 0.5 == close_to(row["setup error"])
    assert float(blended.sheet_square_width) ** 0.5 == close_to(row["sheet error"])


def test_an_interrupted_log_is_shown_and_pulls_nothing_away():
    row = next(row for row in worked_rows() if row["id"] == "LR-5")

    found = learned(logs_of(row), Line(Fraction(20), Fraction(7)))

    # Worked by hand: 24.5 + 6.5 × 12 = 102.5, and least squares would say 18.93.
    [odd] = found.odd
    assert (odd.log.minutes, odd.expected_minutes) == (260, Fraction(205, 2))
    assert learning.odd_sentence(odd, "LG", "Sat 6 March") == (
        "12 sheets of LG on Sat 6 March took 260 minutes, and 103 were expected: "
        "was it interrupted, or is the figure wrong?"
    )
    assert 6 < found.line.sheet_minutes < 7


def test_nine_logs_of_one_size_say_what_a_sheet_takes():
    nine = logs(*((2, t) for t in (62, 62, 61, 63, 62, 60, 64, 62, 62)))

    found = learned(nine, TYPED)

    # Worked by hand: the median is 62 / 2 = 31; the spread is the least, one minute, so
    # the typed 28, 28/3 wide, weighs 9/784 against 36, and 64 and 60 are pulled in to
    # 63.5 and 60.5: (36 × 31 + 28 × 9/784) / (36 + 9/784).
    assert found.sheet_minutes == (36 * 31 + Fraction(9, 28)) / (36 + Fraction(9, 784))
    assert learning.sentence_of(found, "LG", "Rufus") == (
        "Rufus takes 31 minutes a sheet of LG over the last 9 logs; the layout says 28."
    )
    assert (found.offer_minutes, found.odd) == (31, ())


@pytest.mark.parametrize(
    ("found", "sentence"),
    [
        (
            logs(),
            "No log says yet how long a sheet of LG takes, so the layout’s own figure "
            "stays: 28 minutes.",
        ),
        (
            logs((1, 40)),
            "Only 1 log says how long a sheet of LG takes, which is too few to learn "
            "from, so the layout’s own figure stays: 28 minutes.",
        ),
        (
            logs((1, 40), (2, 80)),
            "Only 2 logs say how long a sheet of LG takes, which is too few to learn "
            "from, so the layout’s own figure stays: 28 minutes.",
        ),
        (
            logs((1, 28), (2, 57), (1, 28)),
            "Rufus takes 28 minutes a sheet of LG over the last 3 logs, as the layout "
            "says.",
        ),
    ],
    ids=["none", "one", "two", "the same"],
)
def test_the_typed_figure_stays_where_the_logs_say_too_little(found, sentence):
    got = learned(found, TYPED)

    assert learning.sentence_of(got, "LG", "Rufus") == sentence
    assert got.offer_minutes is None


def test_two_logs_can_already_be_odd_beside_the_typed_figure():
    found = learned(logs((1, 260), (2, 56)), TYPED)

    # Worked by hand: 28 was expected, and 3.5 × 15 in 100 of it is 14.7.
    assert [(odd.log.key, odd.expected_minutes) for odd in found.odd] == [(0, 28)]
    assert found.sheet_minutes == 28


def test_a_log_of_far_too_few_minutes_asks_another_question():
    [odd] = learned(logs((3, 9)), TYPED).odd

    assert learning.odd_sentence(odd, "LA", "Mon 1 February") == (
        "3 sheets of LA on Mon 1 February took 9 minutes, and 84 were expected: "
        "were fewer sheets meant, or is the figure wrong?"
    )


def test_setting_up_is_shared_out_over_a_usual_log():
    """The plan counts by the sheet alone, so what it counts must come out right."""
    found = learned(logs(*((n, 24 + 7 * n) for n in (1, 2, 3, 4, 5, 6))), TYPED)

    usual = 3.5
    planned = float(found.sheet_minutes) * usual
    # Worked by hand: a log of three and a half sheets takes 24 + 24.5 = 48.5 minutes.
    assert planned == pytest.approx(48.5, abs=1)


def test_a_slope_below_nought_falls_back_to_the_middle():
    line = learning.robust_line(logs((1, 90), (2, 60), (3, 30)), TYPED)

    # Worked by hand: 90, 30 and 10 a sheet; the middle is 30.
    assert line == Line(Fraction(0), Fraction(30))


def test_a_set_up_below_nought_is_none():
    line = learning.robust_line(logs((1, 20), (2, 50), (4, 110)), TYPED)

    # Worked by hand: slope 30 and set-up −10; then 20, 25 and 27.5 a sheet.
    assert line == Line(Fraction(0), Fraction(25))


some_logs = some.lists(
    some.tuples(some.integers(1, 12), some.integers(1, 600)), min_size=3, max_size=20
)


@given(some_logs)
def test_what_is_learned_is_never_below_nought_and_hangs_on_no_order(pairs):
    found, turned = learned(logs(*pairs), TYPED), learned(logs(*pairs[::-1]), TYPED)

    assert found.line.setup_minutes >= 0
    assert found.line.sheet_minutes >= 0
    assert found.whole_minutes >= 1
    assert turned.sheet_minutes == found.sheet_minutes


@given(some.integers(10, 60), some.lists(some.integers(1, 6), min_size=9, max_size=15))
def test_one_log_gone_wild_moves_a_sheet_by_less_than_two_minutes(each, sizes):
    steady = [(n, each * n) for n in sizes]
    wild = [(sizes[0], 960), *steady[1:]]

    before, after = learned(logs(*steady), TYPED), learned(logs(*wild), TYPED)

    assert abs(after.sheet_minutes - before.sheet_minutes) < 2
