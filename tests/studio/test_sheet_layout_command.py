"""Sheets asked for from the keyboard: for people, for programs, and asked wrongly."""

import json
from fractions import Fraction
from types import SimpleNamespace

import pytest
from django.core.management import call_command

from studio import printing
from studio.maths.sheet_layout import Sheet
from tests.maths.sheet_checking import faults

HEAD = "name,width,height,count,turn\n"
NINE_INCH = (
    HEAD + 'A1025,10 1/4,10¼,1,\nSQ950,9½",241.3 mm,1,\nSQ350,3 1/2,8.89 cm,6,yes\n'
)


@pytest.fixture
def asked(tmp_path, capsys):
    """Write a list of pieces, run the command on it, and give what it said."""

    def run(text, *words):
        path = tmp_path / "pieces.csv"
        path.write_text(text, encoding="utf-8")
        call_command("sheet_layout", str(path), *words)
        return capsys.readouterr().out

    return run


@pytest.fixture
def refused(asked, tmp_path, capsys):
    """Run the command on what it should refuse; give its one line."""

    def run(text, *words):
        with pytest.raises(SystemExit) as stopped:
            asked(text, *words, "--svg", str(tmp_path / "sheet.svg"))
        said = capsys.readouterr()
        assert (stopped.value.code, said.out) == (2, "")
        assert [path.name for path in tmp_path.iterdir()] == ["pieces.csv"]
        return said.err.strip()

    return run


def in_json(said):
    return json.loads(said)


def test_the_near_miss_of_six_squares_is_told(asked):
    """6 A575 at 2 mm between, 8 at 1½ mm; worked by hand."""
    said = asked(HEAD + "A575,5 3/4,5 3/4,1,\n", "--sets", "6").splitlines()

    assert said[0] == "6 sets need 1 sheet of 600 × 400 mm, the least possible."
    assert said[1] == "One sheet gives 6 of A575, and no sheet gives more."
    assert said[2] == "  Sheet 1: 6 × A575."
    assert said[3] == "In plain rows a sheet gives 6 upright, 6 turned."
    assert said[4] == (
        "A near miss: with 1½ mm gap 2 more of A575 would fit a sheet, 8 in place of 6."
    )


def test_a_set_of_six_alike_is_warned_of_by_the_piece(asked):
    """6 A575 at 2 mm between, 8 at 1½ mm; worked by hand."""
    said = asked(HEAD + "A575,5 3/4,5 3/4,6,\n")

    assert "with 1½ mm gap 2 more of A575 would fit a sheet, 8 in place of 6." in said


def test_the_bar_is_counted_both_ways_round_and_drawn_with_its_kerf(asked):
    """30 turned, 27 upright, drawn at 60.525 × 108.15 mm; worked by hand."""
    said = asked(HEAD + "Bar,2 3/8,4 1/4,30,\n", "--kerf", "0.2")

    assert "In plain rows a sheet gives 27 upright, 30 turned." in said
    assert (
        "Bar: 60.325 × 107.95 mm nominal, drawn 60.525 × 108.15 mm (kerf in)." in said
    )


def test_cautions_for_cutting_plastic_are_printed(asked):
    """Common practice for laser and saw."""
    laser = asked(HEAD + "A,1,1,1,\n")
    saw = asked(HEAD + "A,1,1,1,\n", "--saw")

    for words in ("Extraction on", "never leave it unattended", "never PVC", "manual"):
        assert words in laser
    for words in ("Guard and riving knife", "push-stick", "never PVC", "manual"):
        assert words in saw


def test_programs_get_exact_fractions_of_a_millimetre(asked):
    """1 A1025, 1 SQ950 and 6 SQ350 on one sheet; worked by hand."""
    found = in_json(asked(NINE_INCH, "--json"))

    assert (found["sheets"], found["stock_used"], found["bound"]) == (1, 1, 1)
    assert (found["proven"], found["gap"], found["sets_per_sheet"]) == (True, 0, 1)
    assert found["cuts"] == []
    sizes = {one["name"]: (one["width"], one["height"]) for one in found["placements"]}
    assert sizes == {
        "A1025": ("5207/20", "5207/20"),
        "SQ950": ("2413/10", "2413/10"),
        "SQ350": ("889/10", "889/10"),
    }


def test_the_places_a_program_gets_keep_gap_and_edge(asked):
    found = in_json(asked(NINE_INCH, "--json", "--sets", "3", "--gap", "3 mm"))

    laid = [
        SimpleNamespace(
            stock=one["stock"],
            **{
                f"{key}_mm": Fraction(one[key]) for key in ("x", "y", "width", "height")
            },
        )
        for one in found["placements"]
    ]
    assert len(laid) == 24
    assert {one.stock for one in laid} == set(range(1, found["sheets"] + 1))
    assert list(faults(laid, Sheet(gap_mm=Fraction(3)))) == []


def test_the_saws_cuts_are_listed_in_order_on_every_sheet(asked):
    found = in_json(asked(HEAD + "A575,5 3/4,5 3/4,8,\n", "--json", "--saw"))

    first = [cut["number"] for cut in found["cuts"] if cut["stock"] == 1]
    assert first == list(range(1, len(first) + 1))
    assert {cut["stock"] for cut in found["cuts"]} == {1, 2}
    assert {cut["direction"] for cut in found["cuts"]} == {"down", "across"}


def test_what_else_fits_in_the_gap_is_told(asked):
    """6 SQ350 beside the nine-inch pair; worked by hand."""
    pair = NINE_INCH.rsplit("SQ350", 1)[0]

    said = asked(pair, "--fill", "3 1/2x3 1/2")

    assert "Beside one set 6 more of 3 1/2x3 1/2 go on the sheet" in said


def test_each_sheet_cut_differently_gets_a_file_of_each_kind(asked, tmp_path):
    """14 at 6 a sheet: two sheets alike, and one of 2; arithmetic."""
    svg, dxf = tmp_path / "a575.svg", tmp_path / "a575.dxf"

    asked(
        HEAD + "A575,5 3/4,5 3/4,1,\n",
        "--sets",
        "14",
        "--svg",
        str(svg),
        "--dxf",
        str(dxf),
    )

    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == ["a575-2.dxf", "a575-2.svg", "a575.dxf", "a575.svg", "pieces.csv"]
    assert "cut 2 of this sheet" in svg.read_text(encoding="utf-8")
    assert svg.read_text(encoding="utf-8").count("<text") == 6 + 1


def test_a_kerf_left_out_is_left_out_of_the_file(asked, tmp_path):
    svg = tmp_path / "a.svg"
    words = (HEAD + "A,10 mm,10 mm,1,\n", "--kerf", "0.2", "--svg", str(svg))

    asked(*words, "--kerf-out")
    without = svg.read_text(encoding="utf-8")
    asked(*words)

    assert "M5 5L15 5L15 15L5 15Z" in without
    assert "M4.9 4.9L15.1 4.9L15.1 15.1L4.9 15.1Z" in svg.read_text(encoding="utf-8")


SHAPES = """name,width,height,count,shape,finished,fills
Kite,1 1/2,,6,kite,yes,
Hex,1 1/2,,1,hexagon,yes,
Bit,1,1,1,,,yes
"""


def test_outlines_of_the_list_are_laid_together_and_the_rest_is_filled(asked):
    found = in_json(asked(SHAPES, "--json", "--seconds", "0.3"))

    kite, hexagon, bit = found["pieces"]
    assert [len(one["outline"]) for one in (kite, hexagon, bit)] == [4, 6, 0]
    assert {one["name"] for one in found["placements"]} == {"Kite", "Hex"}
    fullest = {one["name"]: one["count"] for one in found["fullest"]}
    assert fullest["Kite"] == 6 * found["sets_per_sheet"]
    assert fullest["Bit"] > 0


def test_the_size_to_draw_of_a_point_takes_in_more_than_the_kerf(asked):
    """Half a square of 100 mm and a kerf of 1 mm: each leg grows by ½ (2 + √2)."""
    said = asked(
        "name,width,height,count,shape\nT,100 mm,,1,half-square triangle\n",
        "--kerf",
        "1",
        "--seconds",
        "0.2",
    )

    assert "T: 100 × 100 mm nominal, drawn 101.707 × 101.707 mm (kerf in)." in said
    assert "Measured at 20 °C, 99.8 to 100.2 mm is in order." in said


@pytest.mark.skipif(not printing.pdf_available()[0], reason="no library for PDF here")
def test_a_proof_is_written_beside_the_other_files(asked, tmp_path):
    pdf = tmp_path / "proof.pdf"

    said = asked(HEAD + "A,4,4,1,\n", "--pdf", str(pdf))

    assert f"Written: {pdf}" in said
    assert pdf.read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("A,0,1,1,", "A: the width is nought, and a piece has a size above it."),
        ("A,1,-2,1,", "A: the height cannot be read. “-2” is below nought."),
        ("A,1/32,1,1,", "A: the width is 1/32, and a sixteenth of an inch is the"),
        ("A,4 5/0,1,1,", "A: the width cannot be read. Nothing can be parted"),
        ("A,4.5.1,1,1,", "A: the width cannot be read. “4.5.1” is not a length."),
        ("A,3000,1,1,", "A is 76200 × 25.4 mm, and the room inside the edges is 590"),
        ("Ruler,24,2,1,", "Ruler is 609.6 × 50.8 mm, and the room inside the edges"),
        ("Bar,1,20,1,no", "Bar is 25.4 × 508 mm, and the room inside the edges"),
        ("A,1,1,0,", "A: the count is “0”, and it is a whole number from 1 to 5000."),
        ("A,1,1,2.5,", "A: the count is “2.5”, and it is a whole number"),
        ("A,1,1,1,maybe", "A: turn is “maybe”, and it is yes or no."),
        (",,1,1,", "Line 2: the width cannot be read. No length is written."),
        ("", "The list holds no piece; the first line is name,width,height,count,"),
    ],
)
def test_a_piece_that_cannot_be_meant_is_named_with_the_limit(refused, row, words):
    assert refused(f"{HEAD}{row}\n").startswith(words)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (
            ["--edge", "200"],
            "A sheet of 600 × 400 mm has no room inside an edge of 200",
        ),
        (["--sheet", "600"], "A sheet of “600” cannot be meant; write its two sides"),
        (["--sheet", "0x400"], "A sheet side of nought cannot be meant;"),
        (["--sheet", "60000x400"], "A sheet side of 60000 mm cannot be meant; 5000 mm"),
        (["--gap", "two"], "A gap of “two” cannot be meant; “two” is not a length."),
        (["--gap=-1"], "A gap of “-1” cannot be meant; “-1” is below nought."),
        (["--kerf", "50"], "A kerf of 50 mm cannot be meant; 10 mm is the limit."),
        (["--sets", "0"], "A number of sets of “0” cannot be meant;"),
        (
            ["--sets", "9999"],
            "That is 9999 pieces, and 5000 is the limit for one plan.",
        ),
        (["--seconds", "soon"], "A search of “soon” seconds cannot be meant;"),
        (["--seconds", "0"], "A search of “0” seconds cannot be meant;"),
        (["--fill", "1"], "A piece of “1” cannot be meant; write its two sides"),
    ],
)
def test_a_sheet_that_cannot_be_meant_is_refused(refused, options, words):
    assert refused(f"{HEAD}A,1,1,1,\n", *options).startswith(words)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "name,width,count\nA,1,1\n",
            "The list has no column height; its first line is",
        ),
        ("\n\n", "The list holds no piece;"),
    ],
)
def test_a_list_without_its_columns_is_refused(refused, text, words):
    assert refused(text).startswith(words)


def test_a_list_that_is_not_there_is_named(capsys, tmp_path):
    missing = tmp_path / "none.csv"

    with pytest.raises(SystemExit) as stopped:
        call_command("sheet_layout", str(missing))

    assert stopped.value.code == 2
    assert capsys.readouterr().err.startswith(f"{missing} cannot be opened:")


def test_a_picture_in_place_of_a_list_is_refused(capsys, tmp_path):
    picture = tmp_path / "pieces.csv"
    picture.write_bytes(b"\x89PNG\r\n\x1a\n\xff\xfe\x00")

    with pytest.raises(SystemExit) as stopped:
        call_command("sheet_layout", str(picture))

    assert stopped.value.code == 2
    assert capsys.readouterr().err.startswith("The list of pieces cannot be read;")
