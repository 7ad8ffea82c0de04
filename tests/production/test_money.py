"""Money to come and to pay, and what the bank says."""

import re
from datetime import date

import pytest
from django.urls import reverse

from production.queries.cash import cash_to
from studio.models import MoneyLine
from tests.factories.production import MONDAY_1_FEB, a_person, new_id, the_studio

pytestmark = pytest.mark.django_db
APRIL = date(2027, 4, 30)


@pytest.fixture
def merle(client):
    the_studio(clock_stands_at=MONDAY_1_FEB)
    client.force_login(a_person())
    return client


def words_of(answer):
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(text.replace("&#x27;", "'").split())


def heading(answer):
    return re.search(r"<h1>(.*?)</h1>", answer.content.decode(), re.DOTALL)[1].strip()


def send(client, page_name, /, *args, **data):
    data.setdefault("request_id", str(new_id()))
    return client.post(reverse(f"production:{page_name}", args=args), data, follow=True)


def a_bill(**more):
    return {
        "text": "Print bill",
        "way": "out",
        "pounds": "155.00",
        "day": "5 March 2027",
    } | more


def test_a_bill_sent_twice_is_one_and_lowers_the_bank(merle):
    typed = a_bill(request_id=str(new_id()))

    first = merle.get(reverse("production:money"))
    send(merle, "money_bank", bank="1,140.00")
    send(merle, "money_add", **typed)
    answer = send(merle, "money_add", **typed)

    # Worked by hand: 1,140.00 - 155.00.
    assert heading(first) == "Nobody has written what is in the bank."
    assert heading(answer) == (
        "The bank stands lowest on Fri 5 March 2027, with £985.00."
    )
    assert MoneyLine.objects.filter(category="bill").count() == 1


def test_what_the_bank_says_goes_before_what_the_book_thought(merle):
    send(merle, "money_bank", bank="1140")
    send(merle, "money_bank", bank="-20.50")

    kept = cash_to(APRIL, now=MONDAY_1_FEB)

    assert kept.opening_pence == -2_050
    assert sum(line.pence for line in MoneyLine.objects.all()) == -2_050


def test_a_count_of_the_bank_sent_twice_is_one(merle):
    request_id = str(new_id())

    send(merle, "money_bank", bank="1140", request_id=request_id)
    send(merle, "money_bank", bank="1140", request_id=request_id)

    assert [line.pence for line in MoneyLine.objects.all()] == [114_000]


def test_what_was_paid_can_be_unpaid_and_then_taken_off(merle):
    send(merle, "money_bank", bank="200")
    send(merle, "money_add", **a_bill())
    bill = MoneyLine.objects.get(category="bill")

    send(merle, "money_moved", bill.pk)
    paid = cash_to(APRIL, now=MONDAY_1_FEB)
    send(merle, "money_take_back", bill.pk)
    unpaid = cash_to(APRIL, now=MONDAY_1_FEB)
    send(merle, "money_take_back", bill.pk)
    answer = send(merle, "money_take_back", bill.pk)
    off = cash_to(APRIL, now=MONDAY_1_FEB)
    send(merle, "money_put_back", bill.pk)
    send(merle, "money_put_back", bill.pk)
    back = cash_to(APRIL, now=MONDAY_1_FEB)

    assert (paid.opening_pence, paid.steps) == (4_500, ())
    assert (unpaid.opening_pence, len(unpaid.steps)) == (20_000, 1)
    assert "Print bill is off the list." in words_of(answer)
    assert (off.opening_pence, off.steps) == (20_000, ())
    assert [step.move.words for step in back.steps] == ["Print bill"]


def test_a_wrong_count_of_the_bank_can_be_taken_back(merle):
    send(merle, "money_bank", bank="200")
    send(merle, "money_bank", bank="2000")
    wrong = MoneyLine.objects.order_by("pk").last()

    send(merle, "money_take_back", wrong.pk)
    taken_back = cash_to(APRIL, now=MONDAY_1_FEB).opening_pence
    send(merle, "money_put_back", wrong.pk)

    assert taken_back == 20_000
    assert cash_to(APRIL, now=MONDAY_1_FEB).opening_pence == 200_000


def test_a_refund_is_paid_on_its_order_only(merle):
    refund = MoneyLine.objects.create(
        text="Refund", pence=-50, expected_on=date(2027, 2, 3), category="refund"
    )

    page = merle.get(reverse("production:money"))
    send(merle, "money_take_back", refund.pk)

    assert "paid on its order" in words_of(page)
    assert "Paid today" not in words_of(page)
    assert MoneyLine.objects.get() == refund


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"text": ""}, "What is it? is empty."),
        ({"pounds": "0"}, "Nothing comes and nothing goes at £0.00."),
        ({"pounds": "-5"}, "below nought"),
        ({"pounds": "lots"}, "lots"),
        ({"day": "31 April"}, "31 April does not exist"),
        ({"way": "round"}, "Choose one from the list."),
    ],
    ids=str,
)
def test_wrong_money_keeps_what_was_typed_and_says_what_is_wrong(
    merle, wrong, sentence
):
    answer = send(merle, "money_add", **a_bill(**wrong))

    assert sentence in words_of(answer)
    assert 'role="alert"' in answer.content.decode()
    assert wrong.get("text") == "" or 'value="Print bill"' in answer.content.decode()
    assert MoneyLine.objects.count() == 0


def test_a_page_of_many_bills_asks_no_more_than_one_of_few(
    merle, django_assert_num_queries
):
    url = reverse("production:money")
    for rows in (1, 3, 300):
        for _ in range(rows):
            MoneyLine.objects.create(
                text="Bill", pence=-1, expected_on=date(2027, 3, 5), category="bill"
            )

        # Session, person, settings; what moved, whether the bank is written, to come.
        with django_assert_num_queries(6):
            merle.get(url)


@pytest.mark.parametrize("role", ["workshop", "packer"])
def test_money_is_the_owners(client, role):
    client.force_login(a_person("Posy Oakenby", role))

    assert client.get(reverse("production:money")).status_code == 403
