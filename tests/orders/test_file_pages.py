"""A shop's file is sent, looked at, taken in, and its stay-outs come back as a file."""

import csv
import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from orders import waiting_files
from orders.models import FileMatch, FileRun, Order
from studio.models import StudioSettings
from tests.factories.orders import MORNING, a_person, a_set, an_outlet, new_id

pytestmark = pytest.mark.django_db

HEAD = "Order,Placed,Buyer,Address,Postcode,Item,Number,Each,Paid on"
ONE = 'L-1,02/03/2027 09:00,Una,"1 Rope Lane, Marrowick",ZY1 1AP,RF-090,1,21.00,yes'
BAD = 'L-2,02/03/2027 09:00,=1+1,"2 Rope Lane, Marrowick",ZY1 1AP,NO-1,1,21.00,yes'


@pytest.fixture
def owner(client):
    StudioSettings.objects.create(pk=1, name="The loft", clock_stands_at=MORNING)
    client.force_login(a_person())
    a_set(held=5)
    an_outlet()
    return client


def send(client, content, name="orders.csv"):
    data = content if isinstance(content, bytes) else "\n".join(content).encode()
    return client.post(
        "/orders/files/",
        {"file": SimpleUploadedFile(name, data), "request_id": new_id()},
        follow=True,
    )


def address_of(page):
    return page.redirect_chain[-1][0]


def words_of(page):
    return " ".join(page.content.decode().split())


def take_in(client, page, **changed):
    form = page.context["form"]
    chosen = {name: form[name].value() or "" for name in form.fields}
    chosen["outlet"] = an_outlet().pk
    return client.post(address_of(page), chosen | changed, follow=True)


def test_a_new_kind_of_file_shows_how_it_reads_before_anything_goes_in(owner):
    page = send(owner, [HEAD, ONE, BAD])

    words = words_of(page)
    assert "Which column of orders.csv is which?" in words
    assert (
        "L-1, Tue 2 March, 09:00: Una, 1&nbsp;×&nbsp;RF-090 at £21.00. Paid." in words
    )
    assert "Line 3 would stay out." in words
    assert Order.objects.count() == 0


def test_choosing_another_column_shows_at_once_how_it_would_read(owner):
    page = send(owner, [HEAD, ONE])

    part = owner.get(address_of(page), {"column_buyer": "Order", "part": "preview"})

    assert "L-1, Tue 2 March, 09:00: L-1," in words_of(part)
    assert "<html" not in words_of(part)


def test_what_is_taken_in_is_remembered_and_known_the_next_time(owner):
    first = take_in(owner, send(owner, [HEAD, ONE]), name="Shop list")

    again = send(owner, [HEAD, ONE])

    assert "1 row of orders.csv went in" in words_of(first)
    assert "orders.csv is a file you know: Shop list." in words_of(again)
    assert FileMatch.objects.get().columns["count"] == "Number"


def test_the_same_file_again_adds_nothing_and_says_so(owner):
    take_in(owner, send(owner, [HEAD, ONE]))

    page = take_in(owner, send(owner, [HEAD, ONE]))

    assert "0 rows of orders.csv went in, 1 was here already" in words_of(page)
    assert Order.objects.count() == 1


def test_the_rows_that_stayed_out_come_back_as_a_file_no_spreadsheet_runs(owner):
    take_in(owner, send(owner, [HEAD, ONE, BAD]))
    run = FileRun.objects.get()

    answer = owner.get(f"/orders/files/{run.pk}/out.csv")

    header, *rows = csv.reader(io.StringIO(answer.content.decode(), newline=""))
    assert header[:4] == ["Line", "Why it did not go in", "Order", "Placed"]
    # The formula guard: an apostrophe in front (OWASP, CSV injection).
    assert [(row[0], row[2], row[4]) for row in rows] == [("3", "L-2", "'=1+1")]
    assert answer["Content-Disposition"].startswith("attachment")


def test_the_page_of_a_run_names_line_and_reason(owner):
    page = take_in(owner, send(owner, [HEAD, ONE, BAD]))

    words = words_of(page)
    assert "Line 3." in words
    assert "There is no item with the code NO-1." in words
    assert "L-1" in words


@pytest.mark.parametrize(
    ("content", "name", "says"),
    [
        (b"", "a.csv", "The file is empty."),
        (b"Order,Item\n", "a.csv", "no rows below them"),
        (b"GIF89a\x00\x01", "a.csv", "This is not a text file inside"),
        (b"Order,Item\n1,2\n", "a.xlsx", "it is not one inside"),
        (b"x" * (10 * 1024 * 1024 + 1), "a.csv", "The file is larger than 10 MB."),
    ],
)
def test_a_file_that_cannot_be_read_says_why(owner, content, name, says):
    page = send(owner, content, name)

    assert says in words_of(page)
    assert FileRun.objects.count() == 0


def test_no_file_at_all_is_said(owner):
    page = owner.post("/orders/files/", {"request_id": new_id()})

    assert "Choose a file first." in words_of(page)


def test_a_column_that_is_missing_is_named_and_nothing_goes_in(owner):
    page = take_in(owner, send(owner, [HEAD, ONE]), column_item="")

    assert "Item code or name: an order cannot do without it." in words_of(page)
    assert (Order.objects.count(), FileMatch.objects.count()) == (0, 0)


def test_a_file_that_waits_no_longer_says_so(owner):
    page = send(owner, [HEAD, ONE])
    take_in(owner, page)

    again = owner.get(address_of(page), follow=True)

    assert "That file is not waiting here any more" in words_of(again)


def test_only_the_newest_few_files_wait(owner):
    keys = [waiting_files.keep(f"{n}.csv", b"x").key for n in range(25)]

    still = [key for key in keys if waiting_files.fetch(key)]

    assert still == keys[-20:]


def test_a_waiting_file_keeps_its_name_and_content(owner):
    kept = waiting_files.keep("März.csv", b"a\nb\n")

    assert waiting_files.fetch(kept.key) == kept
