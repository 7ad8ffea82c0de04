"""Labels lie where the sheet has them."""

import csv
from pathlib import Path

import pytest

from studio import label_sheets
from studio.label_sheets import KNOWN_SHEETS, NoSuchLabel

WORKED = Path(__file__).parent.parent / "worked"


def worked(name):
    with (WORKED / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("case", worked("label_slot"), ids=lambda case: case["sheet"])
def test_a_label_lies_where_the_sheet_has_it(case):
    sheet = KNOWN_SHEETS[case["sheet"]]

    place = label_sheets.place_of(sheet, int(case["label"]))

    assert (place.row, place.column) == (int(case["row"]), int(case["column"]))
    assert place.x_hundredths_mm == round(float(case["x_mm"]) * 100)
    assert place.y_hundredths_mm == round(float(case["y_mm"]) * 100)


@pytest.mark.parametrize("case", worked("label_sheets"), ids=lambda case: case["sheet"])
def test_a_part_used_sheet_is_used_up_first(case):
    sheet = KNOWN_SHEETS[case["sheet"]]
    labels = [f"label {n}" for n in range(int(case["labels"]))]
    first_free = int(case["first_free"])

    needed = label_sheets.sheets_needed(sheet, len(labels), first_free=first_free)
    sheets = label_sheets.lay_out(sheet, labels, first_free=first_free)

    assert needed == int(case["sheets"])
    assert len(sheets) == int(case["sheets"])
    assert [slot.label for slots in sheets for slot in slots] == labels


def test_the_first_label_goes_to_the_first_free_place():
    sheets = label_sheets.lay_out(KNOWN_SHEETS["2x4"], ["a", "b", "c"], first_free=7)

    names = [[slot.class_name for slot in slots] for slots in sheets]
    assert names == [["label-7", "label-8"], ["label-1"]]


# Centring on A4, 210 mm wide (ISO 216): left = (210 - (across - 1) x pitch - width) / 2.
@pytest.mark.parametrize("sheet", KNOWN_SHEETS.values(), ids=lambda sheet: sheet.name)
def test_a_known_sheet_is_centred_on_the_paper(sheet):
    across = (sheet.across - 1) * sheet.pitch_x_hundredths_mm
    down = sheet.down * sheet.height_hundredths_mm

    assert sheet.left_hundredths_mm * 2 + across + sheet.width_hundredths_mm == 21_000
    assert sheet.top_hundredths_mm * 2 + down == 29_700


def test_a_nudge_moves_every_label_the_same_way():
    rules = label_sheets.stylesheet(
        KNOWN_SHEETS["3x7"], nudge_x_tenths_mm=-5, nudge_y_tenths_mm=5
    )

    assert ".label { width: 63.50mm; height: 38.10mm; }" in rules
    assert ".label-1 { left: 6.75mm; top: 15.65mm; }" in rules
    assert ".label-21 { left: 138.75mm; top: 244.25mm; }" in rules


@pytest.mark.parametrize("number", [0, 22, -1])
def test_a_place_the_sheet_lacks_is_refused_with_the_numbers(number):
    with pytest.raises(NoSuchLabel) as refused:
        label_sheets.place_of(KNOWN_SHEETS["3x7"], number)

    assert (refused.value.number, refused.value.count) == (number, 21)
    assert "from 1 to 21" in str(refused.value)
