"""Several things together. Source: acceptance story O2, worked by hand."""

from tests.factories.inventory import one_drawer_of_squares
from tests.inventory.conftest import rows_of, sentence_of, words_of

AT_MOST = {"SG-030": 10, "RF-090": 3, "SG-090": 1, "DU-SG": 5, "SP-350": 6}


def ask(client, at_most):
    question = {"form-TOTAL_FORMS": len(at_most), "form-INITIAL_FORMS": 0}
    for n, (code, count) in enumerate(at_most.items()):
        question[f"form-{n}-item"] = code
        question[f"form-{n}-count"] = count
    return client.get("/goods/ask/", question)


def test_the_squares_are_shared_out_for_the_most_gain_after_the_promises(owner):
    one_drawer_of_squares()

    page = ask(owner, AT_MOST)

    made_up = {
        row[0].split()[-1]: (row[2], row[4], row[5])
        for row in rows_of(page, "What you can have together")
    }
    assert made_up == {
        "SG-030": ("20", "0", "£11.67"),
        "RF-090": ("18", "3", "£18.96"),
        "SG-090": ("4", "1", "£19.80"),
        "DU-SG": ("0", "3", "£28.51"),
        "SP-350": ("0", "0", "£5.00"),
    }
    assert sentence_of(page) == (
        "You can have no SG-030, three RF-090, one SG-090, three DU-SG and "
        "no SP-350; what is made up gains £162.21."
    )


def test_what_is_left_over_is_named(owner):
    one_drawer_of_squares()

    words = words_of(ask(owner, AT_MOST))

    assert "Left over afterwards: 1 A1025, 5 A388, 8 A425, 8 C200." in words


def test_each_reason_says_what_one_more_would_cost(owner):
    one_drawer_of_squares()

    words = words_of(ask(owner, AT_MOST))

    assert (
        "3 more DU-SG; one more wins £28.51 but costs 1 RF-090 and 1 SG-090: £38.76."
        in words
    )


def test_a_thing_that_is_not_in_the_book_is_refused_and_stays_in_its_box(owner):
    one_drawer_of_squares()

    page = ask(owner, {"RF-909": 3})

    assert "Nothing in the book is called RF-909." in words_of(page)
    assert 'value="RF-909"' in page.content.decode()
    assert sentence_of(page) == "What would you like to have together?"


def test_the_same_thing_twice_is_refused_with_a_sentence(owner):
    one_drawer_of_squares()

    page = owner.get(
        "/goods/ask/",
        {
            "form-TOTAL_FORMS": 2,
            "form-INITIAL_FORMS": 0,
            "form-0-item": "RF-090",
            "form-0-count": 1,
            "form-1-item": "rf-090",
            "form-1-count": 2,
        },
    )

    assert "RF-090 stands there twice." in words_of(page)
