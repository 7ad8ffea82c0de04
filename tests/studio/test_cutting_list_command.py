"""What to cut, asked from the keyboard: for people, for programs, and asked wrongly."""

import json
from fractions import Fraction

import pytest
from django.core.management import call_command
from django.db import OperationalError

from studio import block_book, own_block_keeping
from studio.management.commands.cutting_list import Command
from tests.conftest import MORNING
from tests.factories.production import new_id
from tests.maths import worked

pytestmark = pytest.mark.django_db


def run(capsys, *words):
    call_command("cutting_list", *words)
    return capsys.readouterr().out


def refused(capsys, *words):
    with pytest.raises(SystemExit) as stopped:
        call_command("cutting_list", *words)
    said = capsys.readouterr()
    assert said.out == ""
    return stopped.value.code, said.err.strip()


def in_json(capsys, *words):
    return json.loads(run(capsys, *words, "--json"))


def cut(listed, unit=Fraction(1)):
    """Every single piece by its size, as the worked rows have it."""
    sides = [
        (piece["count"], Fraction(piece["width"]), Fraction(piece["height"]))
        for piece in listed["pieces"]
    ]
    return sorted(
        tuple(sorted((width * unit, height * unit)))
        for count, width, height in sides
        for _ in range(count)
    )


def test_the_list_for_programs_has_exact_lengths_and_nothing_more(capsys):
    # "Three 8-in sawtooth stars from one fat quarter", blog tutorial, Mar 2018.
    assert in_json(capsys, "sawtooth star", "8") == {
        "block": "sawtooth star",
        "finished": "8",
        "way": "four at a time",
        "mode": "trade",
        "seam": "1/4",
        "pieces": [
            piece("square", "centre", 1, "9/2"),
            piece("square", "ground", 4, "5/2"),
            piece("goose square", "ground", 1, "21/4"),
            piece("sky square", "point", 4, "23/8"),
        ],
    }


def piece(name, role, count, side):
    return {
        "name": name,
        "role": role,
        "count": count,
        "width": side,
        "height": side,
        "then": "",
    }


def published():
    """Worked rows of blocks that the command knows by the same name."""
    renamed = {"log cabin of three rounds": "log cabin"}
    own = {"sixteen triangles", "mother's favourite", "eight geese", "single chain"}
    return [
        row | {"block": renamed.get(row["block"], row["block"])}
        for row in worked.rows("trade_blocks.csv")
        if row["block"] not in own
    ]


@pytest.mark.parametrize(
    "row",
    published(),
    ids=lambda r: f"{r['block']} {r['finished']} {r['cutting']} {r['ways']}",
)
def test_the_list_is_the_published_one(capsys, row):
    # Each row of the table names its source.
    metric = ["--metric"] if row["ruler"] == "metric" else []

    listed = in_json(
        capsys,
        *(row["block"], row["finished"]),
        *("--mode", row["cutting"], "--way", row["ways"], *metric),
    )

    unit = Fraction(50, 127) if metric else Fraction(1)
    assert cut(listed, unit) == worked.pieces(row["pieces"])
    assert row["source"]


GEESE_CHART = [
    row
    for row in worked.rows("trade_units.csv")
    if (row["patch"], row["way"], row["ruler"], row["cutting"], row["number"])
    == ("flying geese", "four at a time", "inch", "trade", "4")
]


@pytest.mark.parametrize("row", GEESE_CHART, ids=lambda r: r["finished"])
def test_geese_four_at_a_time_are_cut_as_the_charts_say(capsys, row):
    # Each row of the table names its chart.
    listed = in_json(capsys, "flying geese", row["finished"])

    assert cut(listed) == worked.pieces(row["pieces"])


def test_the_list_for_people_is_written_in_eighths_with_a_caution(capsys):
    said = run(capsys, "Sawtooth-Star", "8 in").splitlines()

    assert said[:3] == [
        "Sawtooth star, 8 in square finished, four at a time, as the trade rounds, "
        "seam ¼ in.",
        "centre:",
        "  1 × square, 4½ in square",
    ]
    assert "  1 × goose square, 5¼ in square" in said
    assert said[-1].startswith("Cut away from yourself")


def test_inches_are_redrafted_to_round_centimetres(capsys):
    # "Inches or centimetres?", readers' thread of a UK quilting magazine, 2008.
    redrafted = in_json(capsys, "sawtooth star", "12", "--metric")
    typed = in_json(capsys, "sawtooth star", "30 cm")

    assert (redrafted["finished"], redrafted["seam"], redrafted["unit"]) == (
        *("30", "3/4"),
        "cm",
    )
    assert redrafted == typed


def test_centimetres_that_are_inches_are_cut_in_inches(capsys):
    # 2.54 cm to the inch: the international inch of 1959.
    assert in_json(capsys, "pinwheel", "20.32 cm") == in_json(capsys, "pinwheel", "8")


def test_another_seam_is_sewn(capsys):
    listed = in_json(capsys, "nine-patch", "6", "--seam", "3/8")

    # Two seams of three eighths on two inches: common practice.
    assert listed["seam"] == "3/8"
    assert {piece["width"] for piece in listed["pieces"]} == {"11/4"}


@pytest.mark.parametrize(
    ("seam", "square", "triangle"),
    [("6 mm", "87/10", "48/5"), ("1/4", "44/5", "97/10"), ("7.3 mm", "9", "10")],
)
def test_a_metric_seam_of_tenths_is_cut_on_whole_millimetres(
    capsys, seam, square, triangle
):
    # Metric practice: squares take two seams and half squares 3.414, each up to 0.1 cm:
    # 1.2 and 2.1, 1.3 and 2.2, 1.5 and 2.5 on a step of 7.5 cm.
    listed = in_json(capsys, "sawtooth star", "12", "--metric", "--seam", seam)

    widths = {piece["name"]: piece["width"] for piece in listed["pieces"][1:]}
    assert (widths["square"], widths["sky square"]) == (square, triangle)


def test_a_nine_patch_can_come_from_strips_without_waste(capsys):
    # Nine patch tips (no-waste strips chart), quilters' guild.
    listed = in_json(capsys, "nine-patch", "6", "--way", "strips without waste")

    assert cut(listed) == worked.pieces(
        "1 × 2 1/2 × 10; 1 × 2 1/2 × 10; 1 × 2 1/2 × 2 1/2"
    )


def test_oversize_says_what_to_trim_to(capsys):
    # 6 inch heart block, quilting blog, Nov 2013: 4 in squares for 3 in finished.
    said = run(capsys, "heart of two lobes", "6", "--mode", "oversize")
    listed = in_json(capsys, "heart of two lobes", "6", "--mode", "oversize")

    assert "3 in square finished: trim each to 3½ in square." in said
    assert listed["trim"] == [
        {"unit": "half-square triangle", "count": 2, "width": "7/2", "height": "7/2"}
    ]


def test_a_way_that_trims_nothing_says_that_nothing_is_cut_oversize(capsys):
    # Stitch and flip rounds nothing and trims nothing: common practice.
    flipped = run(
        capsys, "sawtooth star", "8", "--way=stitch and flip", "--mode=oversize"
    )
    sewn = run(capsys, "sawtooth star", "8", "--mode=oversize")

    assert "Nothing here is cut oversize: made so, no unit is trimmed." in flipped
    assert "Nothing here is cut oversize" not in sewn


def test_units_of_one_name_are_told_apart_by_their_cloth(capsys):
    # Heart block of 14 triangle units, a charity circle, 2017: 8 of them of two cloths.
    said = run(capsys, "heart on four steps", "12")

    assert "8 × half-square triangle (ground and heart), 3 in square finished" in said
    assert "6 × half-square triangle (heart), 3 in square finished" in said


def test_sizes_without_a_root_are_not_said_to_be_rounded(capsys):
    said = run(capsys, "sawtooth star", "8", "--way=stitch and flip", "--mode=exact")

    assert "rounded outward" not in said


def test_exact_sizes_stand_in_millimetres_too_and_say_how_they_are_rounded(capsys):
    # Worked by hand: 4 + ¼(2 + √2) in is 123.280 25… mm, outward 123.281.
    said = run(capsys, "pinwheel", "8", "--mode", "exact")

    assert "triangle square, about 4.854 in square (123.281 mm)" in said
    assert "Sizes with a root in them are rounded outward to 0.001 mm." in said


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("sawtooth star", "-1/2"), "“-1/2” is below nought."),
        (("sawtooth star", "-½"), "“-½” is below nought."),
        (("sawtooth star", "8", "--seam", "-1/4"), "The seam cannot be “-1/4”."),
        (("--seam", "-.25", "sawtooth star", "8"), "The seam cannot be “-.25”."),
    ],
)
def test_a_length_below_nought_is_no_option(capsys, words, sentence):
    # Typed at the keyboard as it stands, where a dash could begin an option.
    with pytest.raises(SystemExit) as stopped:
        Command().run_from_argv(["manage.py", "cutting_list", *words])

    said = capsys.readouterr()
    assert (stopped.value.code, said.out) == (2, "")
    assert sentence in said.err
    assert "usage" not in said.err


@pytest.mark.parametrize(
    ("size", "sentence"),
    [
        ("0", "A finished size is above nought."),
        ("-3", "“-3” is below nought."),
        ("3000 in", "150 in is the limit here."),
        ("4 1/32", "whose finest is 1/16 in. Write 4 in or 4 1/16 in."),
        ("4 5/0", "Nothing can be parted into noughts, as “4 5/0” does."),
        ("4.5.1", "“4.5.1” is not a length."),
        ("", "No length is written."),
        ("9 1/4", "The nearest kind sizes are 9 in and 9½ in."),
        ("1/16", "The nearest kind size is ½ in. Choose it, or exact sizes."),
        ("8 x 4", "At that width the sawtooth star is 8 in high."),
    ],
)
def test_a_size_that_cannot_be_cut_is_refused_in_a_sentence(capsys, size, sentence):
    code, said = refused(capsys, "sawtooth star", size)

    assert code == 2
    assert sentence in said
    assert "\n" not in said


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("garden gate", "8"), "“garden gate” is no block known here."),
        (("pinwheel", "8", "--mode", "roughly"), "“roughly” is no mode of cutting."),
        (
            ("pinwheel", "8", "--way", "by eye"),
            "“by eye” is no way to make the pinwheel.",
        ),
        (("snowball", "6", "--way", "by eye"), "made in one way only"),
        (("nine-patch", "6", "--way", "by eye"), "squares, strips without waste."),
        (("pinwheel", "8", "--seam", "0"), "The seam cannot be “0”."),
        (("pinwheel", "8", "--seam", "1/3"), "Write it in sixteenths of an inch"),
        (("pinwheel", "8", "--seam", "2"), "up to 1 in"),
        (
            ("pinwheel", "8", "--metric", "--seam", "1/3"),
            "Write it in tenths of a millimetre, such as 7.5 mm.",
        ),
    ],
)
def test_what_is_not_known_is_refused_in_a_sentence(capsys, words, sentence):
    code, said = refused(capsys, *words)

    assert code == 2
    assert sentence in said
    assert "\n" not in said


def test_a_block_that_was_laid_out_here_is_found_by_its_name(capsys):
    # Worked by hand: two squares of 4 in finished, cut 4½ in.
    lines = "Steps: 2 by 1\nsquare: light at 1 1\nsquare: dark at 2 1"
    own_block_keeping.add_block(
        lines, name="Garden gate", request_id=new_id(), by=None, now=MORNING
    )

    listed = in_json(capsys, "garden gate", "8")

    assert [(one["role"], one["width"]) for one in listed["pieces"]] == [
        ("light", "9/2"),
        ("dark", "9/2"),
    ]


def test_without_a_book_the_blocks_of_the_trade_are_still_known(capsys, monkeypatch):
    def no_book(_name):
        raise OperationalError("no such table")

    monkeypatch.setattr(block_book, "find", no_book)

    assert in_json(capsys, "pinwheel", "8")["block"] == "pinwheel"
    assert refused(capsys, "garden gate", "8")[0] == 2
