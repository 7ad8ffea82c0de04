"""After a session: what it came to, what is short, and the card that went before it."""

import socket
from datetime import date, datetime
from io import BytesIO

import pytest
from django.urls import reverse
from pypdf import PdfReader

from production import actions as making
from production import prints
from production.models import Layout
from studio import printing
from tests.factories.bench import merle, plan, rufus, the_morning
from tests.factories.production import LONDON, a_session, new_id, the_studio

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 8, 30, tzinfo=LONDON)
needs_pdf = pytest.mark.skipif(
    not printing.pdf_available()[0], reason="the libraries that make PDFs are missing"
)


def cut(code, sheets, spoiled, session):
    return making.log_cutting(
        Layout.objects.get(code=code),
        sheets=sheets,
        spoiled=spoiled,
        session=session,
        request_id=new_id(),
        now=NOW,
    )


@pytest.fixture
def after(client):
    """Give the page after the two logs of the story."""
    items, session = the_morning()
    cut(
        "LA",
        3,
        [
            (items["A425"], 2, "cracked", ""),
            (items["A425"], 1, "wrong-text", ""),
            (items["A425"], 1, "scratched", ""),
        ],
        session,
    )
    cut(
        "LG",
        2,
        [
            (items["A388"], 1, "cracked", ""),
            (items["SQ350"], 3, "cracked", "right edge"),
        ],
        session,
    )
    client.force_login(rufus())
    return client.get(reverse("production:cutting_after", args=[session.pk]))


def test_promises_need_squares_and_one_sheet_mends_it(after):
    html = after.content.decode()

    # Worked by hand: 14 + 10 = 24 squares wanted, 18 loose; LB and not LE.
    assert "Promises need 24 SQ350; 18 are loose: 6 short." in html
    assert [row.code for row in after.context["short"]] == ["SQ350"]
    assert [
        (one.best.layout.code, one.best.sheets) for one in after.context["mending"]
    ] == [("LB", 1)]


def test_sheets_planned_for_later_are_not_asked_for_again(client):
    _, session = the_morning()
    plan("LB", 1, a_session(date(2027, 3, 9)))
    client.force_login(rufus())

    page = client.get(reverse("production:cutting_after", args=[session.pk]))

    # 24 squares wanted, 9 loose, 24 × 0.95 = 22.8 → 22 good ones planned by hand.
    short = {row.code: (row.short, row.lacking) for row in page.context["short"]}
    assert short["SQ350"] == (15, 0)
    assert "15 short. 22 good ones are planned." in page.content.decode()
    assert {one.best.layout.code for one in page.context["mending"]} == {"LA", "LG"}


def test_only_the_squares_of_lg_are_more_than_bad_luck(after):
    notes = after.context["notes"]

    # Worked by hand: 3 or more of 12 at 0.05 is 0.0196; 4 of 45 is 0.187.
    assert [(n.warning.piece, n.warning.layout) for n in notes] == [("SQ350", "LG")]
    assert round(float(notes[0].warning.chance), 4) == 0.0196
    assert notes[0].sentence.endswith("All 3 lay at the right edge.")


def test_the_same_squares_are_not_counted_for_two_sets(after):
    # 18 squares make 18 sets in all, and never 36: worked by hand.
    assert after.context["sets"] == 18


def test_what_was_cut_is_shown_with_its_seconds(after):
    la, lg = after.context["cuts"]

    assert [(p.code, p.cut, p.spoiled, p.seconds, p.good) for p in la.pieces] == [
        ("A425", 45, 3, 1, 41)
    ]
    assert [(p.code, p.cut, p.good) for p in lg.pieces] == [
        ("A388", 20, 19),
        ("C200", 20, 20),
        ("SQ350", 12, 9),
    ]
    assert "5 sheets were cut on Sat 6 March" in after.content.decode()


def test_a_session_without_logs_says_so(client):
    _, session = the_morning()
    client.force_login(merle())

    page = client.get(reverse("production:cutting_after", args=[session.pk]))

    assert "No sheet is logged for Sat 6 March" in page.content.decode()
    assert page.context["notes"] == []


def text_of(pdf):
    reader = PdfReader(BytesIO(pdf))
    return len(reader.pages), " ".join(page.extract_text() for page in reader.pages)


@needs_pdf
def test_the_card_is_one_sheet_with_everything_on_it():
    _, session = the_morning()

    pages, text = text_of(prints.session_card_pdf(session, NOW))

    words = " ".join(text.split())
    assert pages == 1
    assert "1. LA: 3 sheets, 66 minutes" in words
    assert "2. LG: 2 sheets, 60 minutes" in words
    assert "165 minutes to cut in; 126 are planned" in words
    # 4¼ in is 107.95 mm: 25.4 mm to the inch, exact by definition.
    assert "107.95 mm × 107.95 mm" in words
    assert f"/b/{session.pk}/" in words
    assert "Fan on, lid shut, and stay with it." in words
    assert "manual" in words
    assert "Printed Wed 3 March" in words


@needs_pdf
@pytest.mark.parametrize("more", [1, 2, 3, 6])
def test_the_card_stays_one_sheet_when_much_is_planned(more):
    _, session = the_morning()
    for code in ("LB", "LE", "LP", "LG", "LA", "LE")[:more]:
        plan(code, 4, session)

    pages, text = text_of(prints.session_card_pdf(session, NOW))

    # Two batches of one layout are one run: 3 and 4 sheets of LA.
    assert pages == 1
    assert ("LA: 7 sheets" in text) == (more == 6)


def test_the_card_opens_as_a_page_and_leads_to_the_phone(client):
    _, session = the_morning()
    client.force_login(rufus())

    card = client.get(
        reverse("production:session_card", args=[session.pk]), {"as": "page"}
    )
    short = client.get(f"/b/{session.pk}/")

    html = card.content.decode()
    name = socket.gethostname()
    assert f"{name}.local:8321/b/{session.pk}/" in html
    assert html.count('class="tick"') == 5
    assert short["Location"] == f"/bench/cutting/{session.pk}/"


def test_the_code_on_the_card_uses_the_name_that_stays_the_same():
    _, session = the_morning()
    studio = the_studio(host_name="loft.example")

    address = prints.phone_address(session, studio)

    assert address == f"http://loft.example:8321/b/{session.pk}/"


def test_a_session_without_sheets_has_no_card_and_says_so(client):
    _, session = the_morning()
    for batch in session.batches.all():
        making.drop_batch(batch, now=NOW)
    client.force_login(merle())

    page = client.get(
        reverse("production:session_card", args=[session.pk]), follow=True
    )

    assert "Plan its sheets, then print the card." in page.content.decode()
