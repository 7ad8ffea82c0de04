"""What every page shows: colours that can be read, its own letters, nothing from outside."""

import csv
import re
from pathlib import Path

import pytest
from django.conf import settings
from fontTools.ttLib import TTFont

STATIC = Path(settings.BASE_DIR) / "studio" / "static" / "studio"
TEMPLATES = Path(settings.BASE_DIR) / "templates"
WORKED = Path(__file__).parent.parent / "worked"


def worked(name):
    with (WORKED / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def luminance(colour):
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    """Return (L1 + 0.05) / (L2 + 0.05), the contrast ratio of WCAG 2.2."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def colours():
    text = (STATIC / "variables.css").read_text(encoding="utf-8")
    return dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", text))


def templates():
    return sorted(TEMPLATES.glob("**/*.html"))


def sheets():
    return sorted(STATIC.glob("*.css"))


@pytest.mark.parametrize("case", worked("contrast"), ids=lambda case: case["ink"])
def test_contrast_is_worked_out_as_the_standard_says(case):
    ratio = contrast(case["ink"], case["ground"])

    assert f"{ratio:.2f}" == case["ratio"]
    assert (ratio >= 4.5) == (case["text"] == "pass")
    assert (ratio >= 3) == (case["large"] == "pass")


@pytest.mark.parametrize("case", worked("face_colours"), ids=lambda case: case["use"])
def test_every_colour_can_be_read_on_its_ground(case):
    named = colours()

    ratio = contrast(named[case["ink"]], named[case["ground"]])

    assert ratio >= float(case["least"]), f"{ratio:.2f}"


def test_every_colour_of_the_pages_is_among_those_measured():
    measured = {
        case[key] for case in worked("face_colours") for key in ("ink", "ground")
    }

    assert set(colours()) == measured


def test_screen_sheets_take_their_colours_from_the_variables():
    named = set(colours())
    own_colours = {"variables.css", "print.css", "paper.css", "paper_page.css"}
    # Papers are black on white.
    own_colours |= {"post_papers.css", "session_card.css"}
    strays, unknown = [], set()
    for sheet in sheets():
        text = sheet.read_text(encoding="utf-8")
        if sheet.name not in own_colours:
            strays += re.findall(r"(?<![\w-])#[0-9a-fA-F]{3,8}\b", text)
        variables = re.findall(r"(?:color|background)[^;]*var\(--([a-z-]+)", text)
        unknown |= {name for name in variables if name not in named}

    assert strays == []
    assert unknown <= {"stitch", "stitch-down", "swatch", "edge"}


# Source: the strict Content-Security-Policy of Level 3 (W3C): without 'unsafe-inline'
# none of these is obeyed.
@pytest.mark.parametrize("path", templates(), ids=lambda path: path.name)
def test_a_template_holds_no_style_and_no_script_of_its_own(path):
    text = path.read_text(encoding="utf-8")

    assert re.findall(r"<style|<script(?![^>]*\bsrc=)|\sstyle=|\son[a-z]+=", text) == []


@pytest.mark.parametrize("path", [*templates(), *sheets()], ids=lambda path: path.name)
def test_a_page_fetches_nothing_from_outside(path):
    text = path.read_text(encoding="utf-8")
    addresses = re.findall(
        r"(?:src|href|action)=\"(?:https?:)?//|url\(\"?https?:", text
    )

    assert addresses == []


WORDS_KEPT_OFF = (
    "SKU|MRP|BOM|WIP|ATP|allocations?|fulfilment|backorders?|consignments?|RMA|dunning|"
    "fractile|censored|posterior|optimi[sz]e\\w*|sync\\w*|workflows?|dashboards?"
)


@pytest.mark.parametrize("path", templates(), ids=lambda path: path.name)
def test_a_page_speaks_plainly(path):
    text = path.read_text(encoding="utf-8")
    shown = re.sub(r"(?s){% comment %}.*?{% endcomment %}|{%.*?%}|{{.*?}}", " ", text)
    words = re.sub(r"<[^>]*>", " ", shown)

    assert re.findall(rf"\b(?:{WORDS_KEPT_OFF})\b", words) == []


TRADE_SIGNS = "£½¼¾⅛⅜⅝⅞⅓⅔×÷−±°≤≥→←↑↓▲▼✓✗□■☐☑′″“”‘’–—…•·  "


@pytest.mark.parametrize(
    "path", sorted(STATIC.glob("fonts/*.*tf*")), ids=lambda p: p.name
)
def test_the_letters_have_every_sign_of_the_trade(path):
    font = TTFont(path)

    assert {
        sign for sign in TRADE_SIGNS if ord(sign) not in font.getBestCmap()
    } == set()


@pytest.mark.parametrize(
    "path", sorted(STATIC.glob("fonts/*.woff2")), ids=lambda p: p.name
)
def test_the_cut_down_letters_do_not_bear_the_name_kept_for_whole_ones(path):
    names = {str(record) for record in TTFont(path)["name"].names if record.nameID < 7}
    names = {name for name in names if "Adobe" not in name}

    assert any("Bench Sans" in name for name in names)
    assert not any("Source" in name for name in names)


def test_the_licence_lies_beside_the_letters():
    text = (STATIC / "fonts" / "OFL.txt").read_text(encoding="utf-8")

    assert "SIL OPEN FONT LICENSE Version 1.1" in text


def test_what_every_page_brings_leaves_room_for_the_page_within_100_kb():
    brought = [
        *(
            STATIC / name
            for name in ("variables.css", "base.css", "forms.css", "print.css")
        ),
        *(STATIC / name for name in ("base.js", "calico.svg", "mark.svg")),
        *STATIC.glob("fonts/*.woff2"),
    ]

    assert len(brought) == 9
    assert all(path.stat().st_size < 40_000 for path in brought)
    assert sum(path.stat().st_size for path in brought) < 70_000


# Sizes at the browser's usual 16 px: 18 px words, 24 px numbers, 44 px to press on a
# desk and 72 px in gloves (WCAG 2.2 SC 2.5.5; common practice for gloves).
@pytest.mark.parametrize(
    ("where", "name", "least_px"),
    [
        (":root", "text", 18),
        (":root", "number", 24),
        (":root", "target", 44),
        (".bench", "text", 18),
        (".bench", "number", 24),
        (".bench", "target", 72),
    ],
)
def test_words_numbers_and_buttons_are_large_enough(where, name, least_px):
    text = (STATIC / "variables.css").read_text(encoding="utf-8")
    block = text[text.index(f"{where} {{") :].split("}")[0]

    size = re.search(rf"--{name}: ([\d.]+)rem;", block)[1]

    assert float(size) * 16 >= least_px


def test_the_ring_round_what_has_the_keys_is_wide_enough_to_see():
    text = (STATIC / "base.css").read_text(encoding="utf-8")
    ring = re.search(r":focus-visible \{\s+outline: ([\d.]+)rem solid", text)[1]

    assert float(ring) * 16 >= 3
    assert not re.search(r"outline:\s*(?:none|0)\s*[;}]", text)
