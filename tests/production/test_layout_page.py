"""The page of one layout: its files again, its first piece measured, its changes."""

import re
from datetime import datetime
from fractions import Fraction
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from production import actions as making
from production import prints
from production.models import Layout
from production.queries.bench import layout_picture
from studio.lengths import to_mm
from studio.maths.sheet_layout import Sheet
from studio.maths.sheets import keeping, layout
from studio.maths.sheets.problem import SheetPiece
from tests.factories.production import a_person, an_item

pytestmark = pytest.mark.django_db
NOON = datetime(2027, 2, 1, 12, tzinfo=ZoneInfo("Europe/London"))


@pytest.fixture
def owner(client):
    client.force_login(a_person())
    return client


@pytest.fixture
def kept(db):
    """Six A575 on a sheet, kept as layout LK."""
    side = to_mm(Fraction(23, 4))
    plan = layout.lay_out([SheetPiece("A575", side, side)], Sheet(), seconds=0.05)
    text = keeping.keep(
        plan, plan.full_laid, kerf_mm=Fraction(1, 5), kerf_in=True
    ).as_text()
    return making.keep_layout(
        "LK",
        kept_sheet=text,
        sheet=an_item("AS-A3", kind="sheet", held=9),
        minutes=18,
        gives={an_item("A575"): 6},
        request_id=uuid4(),
    )


def show(client, kept, **asked):
    url = reverse("production:layout_show", args=[kept.pk])
    return client.get(url, asked).content.decode()


def change(client, kept, **typed):
    form = {
        "request_id": str(uuid4()),
        "code": "LK",
        "name": "",
        "minutes": "18",
        "sheet": kept.sheet.pk,
        "gives-TOTAL_FORMS": "1",
        "gives-INITIAL_FORMS": "1",
        "gives-0-piece": "A575",
        "gives-0-count": "6",
    }
    url = reverse("production:layout_show", args=[kept.pk])
    return client.post(url, form | typed, follow=True).content.decode()


def log(kept):
    return making.log_cutting(
        kept,
        sheets=1,
        request_id=uuid4(),
        logged_at=NOON,
        now=NOON,
        by=None,
    )


def test_the_page_shows_where_the_pieces_lie_and_gives_the_files_again(owner, kept):
    page = show(owner, kept)

    assert "A sheet of LK gives 6 A575, in 18 minutes." in page
    assert "It is drawn with 6 × A575." in page
    assert "the book counts something else" not in page
    for kind in ("svg", "dxf", "proof"):
        url = reverse("production:layout_file", args=[kept.pk, kind])
        assert url in page
        assert owner.get(url).status_code == 200


def test_the_file_of_a_layout_is_the_sheet_that_was_kept(owner, kept):
    """A575 is 146.05 mm, and 146.25 mm with a kerf of 0.2 mm in; arithmetic."""
    url = reverse("production:layout_file", args=[kept.pk, "svg"])

    svg = owner.get(url).content.decode()

    assert svg.count("A575</text>") == 6
    assert "M4.9 4.9L151.15 4.9L151.15 151.15L4.9 151.15Z" in svg


def test_a_layout_that_was_never_drawn_has_no_files(owner, kept):
    Layout.objects.update(kept_sheet="")
    url = reverse("production:layout_file", args=[kept.pk, "svg"])

    assert owner.get(url).status_code == 404
    assert "Measure the first piece" not in show(owner, kept)


def test_a_damaged_keeping_leads_back_with_a_sentence(owner, kept):
    kept.kept_sheet = re.sub(r'\[0,"[^"]*"', '[0,"5"', kept.kept_sheet)
    kept.save()
    url = reverse("production:layout_file", args=[kept.pk, "svg"])

    page = owner.get(url, follow=True).content.decode()

    assert "What was kept of this sheet does not hold" in page


def test_the_bench_and_the_card_draw_what_was_kept(kept):
    """Two rows of A575 begin at the edge of 5 mm; arithmetic."""
    drawn = layout_picture(kept, 240)

    assert "M5 5L151.05 5L151.05 151.05L5 151.05Z" in drawn
    assert prints.layout_picture is layout_picture


@pytest.mark.parametrize("saw", [True, False])
def test_the_card_of_a_session_minds_the_saw_where_a_sheet_is_laid_for_it(kept, saw):
    """Common practice for a saw."""
    kept.kept_sheet = kept.kept_sheet.replace(
        '"saw":false', f'"saw":{str(saw).lower()}'
    )
    run = prints.CardRun(1, kept, 1, 18, "", "", 0)

    words = prints.saw_words([run])

    assert ("riving knife" in words) is saw


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"measured": "146.2"}, "In order: 0.15 mm off, and 0.2 mm is allowed."),
        ({"measured": "145.8"}, "Not in order: 0.25 mm too small"),
        ({"measured": "146.3", "degrees": "30"}, "In order: 0.14 mm off"),
        ({"measured": "wide"}, "A size of “wide” cannot be meant"),
        ({"measured": ""}, "Write what it measures, in millimetres."),
        ({"measured": "1", "side": "9"}, "Choose one of the sides of this layout."),
        ({"measured": "1", "degrees": "90"}, "Write a whole number from 0 to 45."),
    ],
)
def test_the_first_piece_is_measured_against_its_nominal_size(owner, kept, asked, says):
    """146.05 mm at 20 °C, and 0.11 mm longer at 30 °C (7.7 × 10⁻⁵); arithmetic."""
    page = show(owner, kept, **({"side": "0", "degrees": "20"} | asked))

    assert says in page


def test_a_layout_is_written_down_anew(owner, kept):
    page = change(owner, kept, code="LK-2", name="Squares", minutes="21")

    kept.refresh_from_db()
    assert (kept.code, kept.name, kept.minutes) == ("LK-2", "Squares", 21)
    assert "Layout LK-2 is written down anew." in page
    assert kept.kept_sheet


def test_other_counts_are_taken_until_a_sheet_was_cut(owner, kept):
    first = change(owner, kept, **{"gives-0-count": "5"})
    log(kept)

    page = change(owner, kept, **{"gives-0-count": "4"})

    assert "the book counts something else" in first
    assert "Sheets have been cut from LK, so what it gives stays as it is." in page
    assert kept.gives.get().count == 5


def test_a_code_of_another_layout_is_refused(owner, kept):
    making.add_layout("LZ", sheet=kept.sheet, minutes=5, gives={an_item("Z"): 1})

    page = change(owner, kept, code="lz")

    assert "There is already a layout lz." in page
    assert Layout.objects.get(pk=kept.pk).code == "LK"


def test_a_layout_taken_back_is_out_of_the_book_however_often_it_is_sent(owner, kept):
    url = reverse("production:layout_take_back", args=[kept.pk])

    first = owner.post(url, {"request_id": str(uuid4())}, follow=True)
    again = owner.post(url, {"request_id": str(uuid4())}, follow=True)

    assert "The layout is out of the book again." in first.content.decode()
    assert again.status_code == 200
    assert not Layout.objects.exists()


def test_a_layout_that_was_cut_is_laid_aside_and_stays(owner, kept):
    log(kept)
    url = reverse("production:layout_take_back", args=[kept.pk])

    page = owner.post(url, {"request_id": str(uuid4())}, follow=True).content.decode()

    assert "so it is laid aside and stays in the book." in page
    assert not Layout.objects.get().is_in_use


def test_the_workshop_reads_the_page_and_changes_nothing(client, kept):
    client.force_login(a_person("Rufus Tallboys", "workshop"))

    page = show(client, kept)
    url = reverse("production:layout_show", args=[kept.pk])

    assert "Change it" not in page
    assert client.post(url, {"code": "NEW"}).status_code == 403
