"""Every form of the studio is sent what no form should take, on the demo.

The forms are found by following the owner's links, so a new page is tried without
being named here. Whatever is refused says so, shows what was typed and saves nothing;
nothing breaks. The files of a shop and the lists of goods have their own refusals,
tried one by one in `tests/orders` and `tests/inventory`; what is here is the rest.
"""

import html
import json
from dataclasses import dataclass, field
from datetime import date
from html.parser import HTMLParser

import pytest
from django.apps import apps
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction

from inventory.models import Outlet
from orders.models import FileRow, FileRun, Order
from studio.demo.loading import load_demo
from studio.models import Person, WorkSession
from tests.factories.production import new_id
from tests.journeys import demo_pages

pytestmark = pytest.mark.django_db

NONSENSE = {
    "below nought": "-1",
    "no whole number": "1.5",
    "a million": "1000000",
    "no such day": "30/02/2027",
    "a formula": "=1+1",
    "letters": "ünsinn & <b>",
    "a nought byte": "a\x00b",
    "without end": "9" * 5000,
}
# Sent in earnest these end the session of the tests, or send a file back.
NOT_SENT = {"studio:leave", "studio:copy_carry", "studio:copy_make", "studio:word"}
# Passwords and PINs are never shown again.
NEVER_SHOWN = {"word", "password", "pin"}
# A link for a device is shown once, on the page that answers; a name is any text.
ANSWERS_WITH_A_PAGE = {"studio:link_make"}
# Counts of wrong tries at a password are kept on purpose.
NOT_COUNTED = {"SignInAttempt", "Session"}
FEWEST_FORMS = 50


@dataclass
class FormSeen:
    """A form as a page shows it: where it goes, what it holds, what may be typed."""

    action: str
    holds: dict = field(default_factory=dict)
    boxes: list = field(default_factory=list)

    @property
    def name(self):
        return demo_pages.name_of(self.action)

    def filled_with(self, typed):
        return self.holds | dict.fromkeys(self.boxes, typed)


class FormReader(HTMLParser):
    """Reads the forms of a page that are sent by POST."""

    def __init__(self, url):
        super().__init__()
        self.url, self.forms = url, []
        self.form = self.select = self.area = None

    def handle_starttag(self, tag, attributes):
        told = dict(attributes)
        if tag == "form":
            self.form = FormSeen(told.get("action") or self.url)
            if told.get("method", "get").lower() == "post":
                self.forms.append(self.form)
        elif self.form is not None and tag == "input" and told.get("name"):
            self.handle_input(told)
        elif self.form is not None and tag == "select":
            self.select = told["name"]
        elif self.select and tag == "option":
            first = self.select not in self.form.holds and told.get("value")
            if "selected" in told or first:
                self.form.holds[self.select] = told.get("value", "")
        elif self.form is not None and tag == "textarea":
            self.form.boxes.append(told["name"])

    def handle_input(self, told):
        kind, name = told.get("type", "text"), told["name"]
        if kind in ("checkbox", "radio"):
            if "checked" in told:
                self.form.holds[name] = told.get("value", "on")
        elif kind == "hidden":
            self.form.holds[name] = told.get("value") or ""
        elif kind not in ("file", "submit"):
            self.form.boxes.append(name)

    def handle_endtag(self, tag):
        if tag == "form":
            self.form = None
        elif tag == "select":
            self.select = None


@pytest.fixture(scope="module")
def forms(django_db_setup, django_db_blocker):
    """The demo with a day's work begun, and every form on the owner's pages."""
    with django_db_blocker.unblock(), transaction.atomic():
        load_demo()
        demo_pages.begin_the_work()
        pages = demo_pages.pages_of("owner", first=demo_pages.begun_with()).pages
        yield forms_on(pages)
        transaction.set_rollback(True)


def forms_on(pages):
    client, found = demo_pages.client_of("owner"), {}
    for page in pages:
        if page.is_paper:
            continue
        reader = FormReader(page.url)
        reader.feed(client.get(demo_pages.as_page(page.url)).content.decode())
        for form in reader.forms:
            if form.boxes and form.name not in NOT_SENT:
                found.setdefault((form.name, tuple(form.boxes)), form)
    return list(found.values())


def rows_in_the_book():
    return {
        model.__name__: model.objects.count()
        for model in apps.get_models()
        if model.__name__ not in NOT_COUNTED
    }


def what_is_wrong(form, typed):
    """Send the form, and say what the answer lacks; the book is then as it was."""
    client = demo_pages.client_of("owner")
    client.raise_request_exception = False
    before = rows_in_the_book()
    with transaction.atomic():
        answer = client.post(form.action, form.filled_with(typed))
        after = rows_in_the_book()
        transaction.set_rollback(True)
    if answer.status_code >= 500:
        return "broken"
    if answer.status_code == 302 or form.name in ANSWERS_WITH_A_PAGE:
        return "" if answer.status_code < 400 else f"answered {answer.status_code}"
    page = answer.content.decode()
    shown = html.escape(typed.replace("\x00", ""))
    return ", ".join(
        words
        for words, is_so in {
            "says nothing": 'role="alert"' not in page,
            "saved something": after != before,
            "lost what was typed": shown not in page and not is_secret(form),
        }.items()
        if is_so
    )


def is_secret(form):
    return set(form.boxes) <= NEVER_SHOWN


@pytest.mark.parametrize("kind", NONSENSE)
def test_a_form_refuses_nonsense_with_a_sentence_and_keeps_it(forms, kind, db):
    answers = {
        (one.name, *one.boxes[:2]): what_is_wrong(one, NONSENSE[kind]) for one in forms
    }

    assert {form: wrong for form, wrong in answers.items() if wrong} == {}
    assert len(forms) >= FEWEST_FORMS


def test_boxes_for_numbers_and_days_take_no_nonsense_at_all(forms, db):
    """Each box on its own, the others as the page filled them in."""
    taken = []
    numbers = ("count", "found", "grams", "minutes", "price", "pence", "_mm", "inches")
    for form in forms:
        for box in form.boxes:
            if not any(word in box for word in numbers):
                continue
            with transaction.atomic():
                before = rows_in_the_book()
                sent = form.holds | {box: "-1"}
                answer = demo_pages.client_of("owner").post(form.action, sent)
                if answer.status_code != 200 or rows_in_the_book() != before:
                    taken.append((form.name, box))
                transaction.set_rollback(True)

    assert taken == []


# ------------------------------------------------------------------ files


def send_file(name, content):
    sent = {"request_id": new_id(), "file": SimpleUploadedFile(name, content)}
    return demo_pages.client_of("owner").post("/orders/files/", sent, follow=True)


def test_a_file_of_50_mb_is_refused_unread_with_a_sentence(forms, db):
    before = FileRun.objects.count()

    page = send_file("orders.csv", b"x" * 50 * 1024 * 1024)

    assert "The file is larger than 10 MB." in page.content.decode()
    assert FileRun.objects.count() == before


BAD_ROWS = b"""Reference,Bought by,Sent to,Thing,Pieces,Each,When
B-1,Tansy Underhay,"4 Sallow Lane, Marrowick, ZY4 7TQ",NO-SUCH,1,13.50,02/03/2027
B-2,Tansy Underhay,"4 Sallow Lane, Marrowick, ZY4 7TQ",SG-030,-1,13.50,02/03/2027
B-3,Tansy Underhay,"4 Sallow Lane, Marrowick, ZY4 7TQ",SG-030,1.5,13.50,02/03/2027
B-4,Tansy Underhay,"4 Sallow Lane, Marrowick, ZY4 7TQ",SG-030,1000000,13.50,02/03/2027
B-5,Tansy Underhay,"4 Sallow Lane, Marrowick, ZY4 7TQ",SG-030,1,13.50,30/02/2027
B-6,Tansy Underhay,"4 Sallow Lane, Marrowick, ZY4 7TQ",SG-030,1,13.50,04/03/2027
L-0460,Corin Brackenlea,"17 Orchard Row, Saltby Strand, ZY2 2LT",SG-090,1,13.50,02/03/2027
B-7,=cmd|' /C calc'!A0,"4 Sallow Lane, Marrowick, ZY4 7TQ",QQQ,1,13.50,02/03/2027
B-8,+Tansy @Underhay,"4 Sallow Lane, Marrowick, ZY4 7TQ",SG-030,1,13.50,02/03/2027
"""
COLUMNS = {
    "number": "Reference",
    "buyer": "Bought by",
    "address": "Sent to",
    "item": "Thing",
    "count": "Pieces",
    "price": "Each",
    "placed_at": "When",
}


@pytest.fixture
def bad_file(forms, db):
    """A file with every bad row at once, matched and taken in as the pages do it."""
    client = demo_pages.client_of("owner")
    waiting = client.post(
        "/orders/files/",
        {
            "request_id": new_id(),
            "file": SimpleUploadedFile("shop.csv", BAD_ROWS),
        },
    ).headers["Location"]
    said = {f"column_{key}": heading for key, heading in COLUMNS.items()} | {
        "request_id": new_id(),
        "name": "The shop",
        "outlet": Outlet.objects.get(code="web").pk,
        "day_order": "dmy",
    }
    return client.post(waiting, said), client


def test_bad_rows_stay_out_each_with_its_line_and_reason_and_the_rest_goes_in(bad_file):
    answer, _client = bad_file
    run = FileRun.objects.latest("pk")

    rows = {
        row.line_number: (row.outcome, row.reason)
        for row in FileRow.objects.filter(run=run)
    }

    assert answer.status_code == 302
    assert [outcome for outcome, _ in rows.values()] == [
        *["refused"] * 6,
        "known",
        "refused",
        "added",
    ]
    for line, words in {
        2: "no item with the code NO-SUCH",
        3: "-1 is not a number of goods",
        4: "1.5 is not a number of goods",
        5: "1000000 is not a number of goods",
        6: "30 February does not exist",
        7: "which is still to come",
        9: "no item with the code QQQ",
    }.items():
        assert words in rows[line][1]
    assert Order.objects.filter(number__startswith="B-").count() == 1


def test_the_rows_that_stayed_out_leave_as_a_file_that_runs_nothing(bad_file):
    _answer, client = bad_file
    run = FileRun.objects.latest("pk")

    page = client.get(f"/orders/files/{run.pk}/")
    out = client.get(f"/orders/files/{run.pk}/out.csv").content.decode()

    assert "NO-SUCH" in page.content.decode()
    # A field that a spreadsheet would run begins with an apostrophe (OWASP, CSV
    # injection: =, +, - and @ at the beginning of a cell).
    assert "'=cmd|" in out
    assert "\n=" not in out
    assert ",=" not in out


def test_a_buyer_who_is_called_like_a_formula_runs_nothing_on_the_lists(bad_file):
    _answer, client = bad_file

    page = client.get("/orders/?q=B-8").content.decode()

    assert "+Tansy @Underhay" in html.unescape(page)


# ------------------------------------------------------------------ cutting logs


def pressed(what, **more):
    """Send a press the way the phone does; return the status and the sentence."""
    press = {"what": what, "layout": "LG", "request_id": str(new_id()), **more}
    answer = demo_pages.client_of("owner").post(
        "/bench/cutting/log/", json.dumps(press), content_type="application/json"
    )
    return answer.status_code, answer.json()["sentence"]


def spoiled(piece, count):
    return [{"piece": piece, "count": count, "reason": "cracked"}]


def a_demo_session(day):
    helper = Person.objects.get(role="workshop")
    return WorkSession.objects.create(person=helper, day=day, net_minutes=165)


LOGS_THAT_CANNOT_BE = {
    "a session long closed": (
        {"what": "sheet"},
        "The session of Sat 2 January 2027 was 60 days ago and is closed",
    ),
    "a piece it does not give": (
        {"what": "sheet", "spoiled": spoiled("A425", 1)},
        "Layout LG gives no A425, so none can be spoiled.",
    ),
    "more spoiled than cut": (
        {"what": "sheet", "spoiled": spoiled("A388", 11)},
        "11 A388 are logged as spoiled but only 10 were cut.",
    ),
    "spoiled before any sheet": (
        {"what": "spoiled", "spoiled": spoiled("A388", 1)},
        "No sheet of LG is logged in this session",
    ),
}


@pytest.mark.parametrize("kind", LOGS_THAT_CANNOT_BE)
def test_a_log_that_cannot_be_is_told_why_and_changes_nothing(forms, kind, db):
    sent, words = LOGS_THAT_CANNOT_BE[kind]
    # The demo's clock stands on Wed 3 March 2027.
    closed = kind == "a session long closed"
    session = a_demo_session(date(2027, 1, 2) if closed else date(2027, 3, 2))
    before = rows_in_the_book()

    status, sentence = pressed(session=session.pk, **sent)

    assert (status, words in sentence) == (422, True), sentence
    assert rows_in_the_book() == before
