"""The phone's presses arrive once, and what cannot be is said in a sentence."""

import json
from uuid import uuid4

import pytest
from django.urls import reverse

from inventory.queries.balances import balance_differences
from production.models import CuttingLog
from tests.factories.bench import merle, posy, rufus, the_morning
from tests.factories.production import held

pytestmark = pytest.mark.django_db
LOG = "/bench/cutting/log/"


@pytest.fixture
def morning(client):
    items, session = the_morning()
    client.force_login(rufus())
    return items, session


def sent(client, what="sheet", text=None, **more):
    """Post a press the way the phone does; return status and answer."""
    press = {"what": what, "request_id": str(uuid4()), **more}
    body = json.dumps(press) if text is None else text
    response = client.post(LOG, body, content_type="application/json")
    return response.status_code, response.json()


def line(piece, count, reason, where=""):
    return {"piece": piece, "count": count, "reason": reason, "where": where}


def story_four_log_118(session):
    """Three sheets of LA with the spoil of the story, worked by hand there."""
    return {
        "request_id": str(uuid4()),
        "layout": "LA",
        "session": session.pk,
        "sheets": 3,
        "spoiled": [
            line("A425", 2, "cracked"),
            line("A425", 1, "wrong-text"),
            line("A425", 1, "scratched"),
        ],
    }


def test_a_whole_log_sent_twice_counts_once(client, morning):
    _, session = morning
    log_118 = story_four_log_118(session)
    log_119 = {
        "layout": "LG",
        "session": session.pk,
        "sheets": 2,
        "spoiled": [
            line("A388", 1, "cracked"),
            line("SQ350", 3, "cracked", "right edge"),
        ],
    }

    answers = [sent(client, **log) for log in (log_118, log_119, log_118)]

    # Worked by hand: the cutting log with a bad signal.
    assert [status for status, _ in answers] == [200, 200, 200]
    assert {code: held(code) for code in ("A425", "SQ350", "A388", "C200")} == {
        "A425": 46,
        "SQ350": 18,
        "A388": 21,
        "C200": 20,
    }
    assert held("A425", state="second") == 1
    assert held("SHEET") == 9
    assert answers[-1][1]["done"] == {"LA": 3, "LG": 2}
    assert balance_differences() == []


def test_single_presses_come_to_the_same_as_the_whole_log(client, morning):
    _, session = morning
    here = {"session": session.pk, "layout": "LA"}
    for _ in range(3):
        sent(client, **here)
    for reason in ("cracked", "cracked", "wrong-text", "scratched"):
        sent(client, "spoiled", spoiled=[line("A425", 1, reason)], **here)

    # 5 + 3 × 15 − 4 = 46, worked by hand.
    assert (held("A425"), held("A425", state="second")) == (46, 1)
    assert held("SHEET") == 11
    assert balance_differences() == []


def test_a_spoiled_piece_sent_twice_is_spoiled_once(client, morning):
    _, session = morning
    here = {"session": session.pk, "layout": "LG"}
    sent(client, **here)
    press = {"spoiled": [line("C200", 1, "cracked")], "request_id": str(uuid4())}

    answers = [sent(client, "spoiled", **here, **press) for _ in range(2)]

    assert [status for status, _ in answers] == [200, 200]
    assert held("C200") == 9


def test_undo_takes_back_the_named_press_once(client, morning):
    _, session = morning
    here = {"session": session.pk, "layout": "LA"}
    first, second = str(uuid4()), str(uuid4())
    sent(client, request_id=first, **here)
    sent(client, request_id=second, **here)
    undo = {"request_id": str(uuid4()), "takes_back": second}

    answers = [sent(client, "take-back", **here, **undo) for _ in range(2)]

    assert [status for status, _ in answers] == [200, 200]
    assert answers[0][1]["done"] == {"LA": 1}
    assert (held("A425"), held("SHEET")) == (20, 13)


def test_a_second_undo_of_the_same_press_is_told_so(client, morning):
    _, session = morning
    here = {"session": session.pk, "layout": "LA"}
    press = str(uuid4())
    sent(client, request_id=press, **here)
    sent(client, "take-back", takes_back=press, **here)

    status, answer = sent(client, "take-back", takes_back=press, **here)

    assert status == 409
    assert "taken back" in answer["sentence"]
    assert held("A425") == 5


def test_sheets_stay_while_their_spoiled_pieces_do(client, morning):
    _, session = morning
    here = {"session": session.pk, "layout": "LG"}
    press = str(uuid4())
    sent(client, request_id=press, **here)
    sent(client, "spoiled", spoiled=[line("SQ350", 1, "cracked")], **here)

    status, answer = sent(client, "take-back", takes_back=press, **here)

    assert status == 422
    assert answer["sentence"] == (
        "1 spoiled SQ350 belong to these sheets of LG. "
        "Take the spoiled pieces back first."
    )
    assert held("SQ350") == 9 + 6 - 1


def test_more_spoiled_than_the_sheets_gave_is_refused(client, morning):
    _, session = morning
    here = {"session": session.pk, "layout": "LG"}
    sent(client, **here)
    sent(client, "spoiled", spoiled=[line("SQ350", 5, "cracked")], **here)

    status, answer = sent(
        client, "spoiled", spoiled=[line("SQ350", 2, "other")], **here
    )

    assert status == 422
    assert answer["sentence"].startswith("7 SQ350 are logged as spoiled but only 6")
    assert held("SQ350") == 9 + 1


def test_a_spoiled_piece_before_its_sheet_is_told_to_wait(client, morning):
    _, session = morning

    status, answer = sent(
        client,
        "spoiled",
        session=session.pk,
        layout="LG",
        spoiled=[line("SQ350", 1, "cracked")],
    )

    assert status == 422
    assert answer["sentence"].startswith("No sheet of LG is logged in this session")


def test_what_can_never_be_logged_gets_a_sentence_and_changes_nothing(client, morning):
    _, session = morning
    here = {"session": session.pk}
    answers = {
        "unknown layout": sent(client, layout="LZ", **here),
        "no sheets": sent(client, layout="LA", sheets=0, **here),
        "half a sheet": sent(client, layout="LA", sheets=1.5, **here),
        "too many": sent(client, layout="LA", sheets=10**40, **here),
        "other piece": sent(
            client, layout="LA", spoiled=[line("C200", 1, "cracked")], **here
        ),
        "other reason": sent(
            client, layout="LA", spoiled=[line("A425", 1, "dropped")], **here
        ),
        "nought spoiled": sent(
            client, layout="LA", spoiled=[line("A425", 0, "cracked")], **here
        ),
        "other session": sent(client, layout="LA", session=99_999),
        "nothing to undo": sent(client, "take-back", takes_back=str(uuid4())),
    }

    assert {status for status, _ in answers.values()} == {422}
    starts = {
        why: answer["sentence"].split(".")[0] for why, (_, answer) in answers.items()
    }
    assert starts["unknown layout"] == "There is no layout called LZ"
    assert starts["no sheets"] == "0 is not a number of sheets"
    assert starts["other piece"] == "Layout LA gives no C200, so none can be spoiled"
    assert starts["other session"] == "That session is not in the diary any more"
    assert CuttingLog.objects.count() == 0
    assert held("SHEET") == 14


@pytest.mark.parametrize(
    "text",
    [
        " ",
        "{",
        "[]",
        "null",
        "17",
        '"sheet"',
        "\x00",
        "[" * 100_000,
        '{"what": "sheet"}',
        '{"what": "sheet", "request_id": "17"}',
        '{"what": "burn", "request_id": "0b0f0f0e-5a0b-4f7e-9a53-0b1f6f0a8f11"}',
        '{"what": ["sheet"], "request_id": {}}',
        '{"what": "sheet", "layout": 5, '
        '"request_id": "0b0f0f0e-5a0b-4f7e-9a53-0b1f6f0a8f11"}',
        '{"what": "sheet", "layout": "\\ud800", '
        '"request_id": "0b0f0f0e-5a0b-4f7e-9a53-0b1f6f0a8f11"}',
        '{"what": "spoiled", "layout": "LA", "spoiled": "A425", '
        '"request_id": "0b0f0f0e-5a0b-4f7e-9a53-0b1f6f0a8f11"}',
        '{"what": "spoiled", "layout": "LA", "spoiled": [1], '
        '"request_id": "0b0f0f0e-5a0b-4f7e-9a53-0b1f6f0a8f11"}',
    ],
)
def test_what_no_button_sends_is_answered_with_a_sentence(client, morning, text):
    status, answer = sent(client, text=text)

    assert status == 400
    assert answer["sentence"].endswith(
        "Write it on the card, and type it in at the bench later."
    )
    assert CuttingLog.objects.count() == 0


def test_the_same_number_with_other_sheets_is_refused(client, morning):
    _, session = morning
    press = {"request_id": str(uuid4()), "session": session.pk, "layout": "LA"}
    sent(client, **press)

    status, _ = sent(client, sheets=2, **press)

    assert status == 409
    assert held("A425") == 20


def test_a_press_from_a_packer_or_a_stranger_is_not_taken(client):
    _, session = the_morning()
    press = {"session": session.pk, "layout": "LA", "what": "sheet"}

    stranger = client.post(LOG, json.dumps(press), content_type="application/json")
    client.force_login(posy())
    packer = client.post(LOG, json.dumps(press), content_type="application/json")

    assert (stranger.status_code, packer.status_code) == (302, 403)
    assert "/sign-in/" in stranger["Location"]
    assert CuttingLog.objects.count() == 0


def test_a_press_made_without_a_signal_is_dated_when_it_was_made(client, morning):
    _, session = morning

    sent(client, session=session.pk, layout="LA", seconds_ago=600)

    log = CuttingLog.objects.get()
    assert (log.saved_at - log.logged_at).total_seconds() == 600
    assert log.session == session
    assert log.batch.done == 1


def test_without_scripts_the_same_buttons_post_plain_forms(client, morning):
    _, session = morning
    here = {"session": session.pk, "layout": "LG"}
    forms = [
        {"what": "sheet", "sheets": 1, "request_id": str(uuid4())},
        {
            "what": "spoiled",
            "piece": "SQ350",
            "reason": "cracked",
            "where": "right edge",
            "request_id": str(uuid4()),
        },
        {"what": "sheet", "sheets": 1, "request_id": str(uuid4())},
        {"what": "take-back", "request_id": str(uuid4())},
    ]

    pages = [client.post(LOG, {**here, **form}, follow=True) for form in forms]

    assert [page.redirect_chain[-1][0] for page in pages] == [
        f"/bench/cutting/{session.pk}/?layout=LG"
    ] * 4
    assert "Logged: LG: 1 SQ350 (cracked, right edge) found spoiled." in (
        pages[1].content.decode()
    )
    assert "Taken back: 1 sheet of LG." in pages[3].content.decode()
    assert (held("SQ350"), held("SHEET")) == (9 + 6 - 1, 13)


def test_a_plain_form_sent_twice_counts_once(client, morning):
    _, session = morning
    form = {
        "what": "sheet",
        "sheets": 1,
        "session": session.pk,
        "layout": "LA",
        "request_id": str(uuid4()),
    }

    for _ in range(2):
        client.post(LOG, form)

    assert held("A425") == 20


def test_a_plain_form_that_cannot_be_is_told_on_the_page(client, morning):
    _, session = morning
    form = {"what": "sheet", "session": session.pk, "layout": "LZ"}

    page = client.post(LOG, {**form, "request_id": str(uuid4())}, follow=True)

    assert "There is no layout called LZ." in page.content.decode()


def test_a_card_typed_in_later_is_the_same_log(client):
    items, _ = the_morning()
    client.force_login(merle())
    a425 = items["A425"].pk
    url = reverse("production:cutting_add") + "?layout=LA"
    card = {
        "request_id": str(uuid4()),
        "sheets": "3",
        f"spoiled-{a425}-cracked": "2",
        f"spoiled-{a425}-wrong-text": "1",
        f"spoiled-{a425}-scratched": "1",
        f"where-{a425}": "right edge",
        "at": "08:10",
    }

    for _ in range(2):
        client.post(url, card)

    log = CuttingLog.objects.get()
    assert (held("A425"), held("A425", state="second"), held("SHEET")) == (46, 1, 11)
    assert f"{log.logged_at:%H:%M}" == "08:10"
    assert {row.where for row in log.spoiled.all()} == {"right edge"}


def test_a_card_with_too_many_spoiled_keeps_what_was_typed(client):
    items, _ = the_morning()
    client.force_login(merle())
    box = f"spoiled-{items['A425'].pk}-cracked"
    card = {"request_id": str(uuid4()), "sheets": "1", box: "16"}

    page = client.post(reverse("production:cutting_add") + "?layout=LA", card)

    html = page.content.decode()
    assert "16 A425 are logged as spoiled but only 15 were cut." in html
    assert f'name="{box}" value="16"' in html
    assert CuttingLog.objects.count() == 0
