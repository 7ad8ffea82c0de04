"""What to write to a customer: the letter fits what the order waits for."""

from datetime import date

import pytest

from orders.letters import LetterFacts, called, letter

FACTS = {"first_name": "Bettina", "number": "L-0433", "signed_by": "The loft"}


def body(about, **more):
    greeting, words, farewell = letter(LetterFacts(about=about, **FACTS, **more)).split(
        "\n\n"
    )
    assert (greeting, farewell) == ("Dear Bettina,", "Kind regards,\nThe loft")
    return words


@pytest.mark.parametrize(
    ("about", "more", "says"),
    [
        ("ready", {}, "It is packed next"),
        (
            "short",
            {"missing": ("a Sandglass set",), "follows_on": date(2027, 3, 8)},
            "a Sandglass set is not here yet. It can leave on Mon 8 March.",
        ),
        (
            "short",
            {"missing": ("Tin Roof Rain",)},
            "Would you like something else instead, or your money back for it?",
        ),
        ("unpaid", {"held_until": date(2027, 3, 5)}, "for you until Fri 5 March."),
        ("address", {"question": "No house number."}, "not whole. No house number."),
        ("double", {"other_number": "L-0432"}, "L-0432 and L-0433"),
        (
            "collect",
            {"collect_on": date(2027, 3, 13), "collect_at": "the fair"},
            "is ready for you on Sat 13 March at the fair.",
        ),
    ],
)
def test_the_letter_says_what_is_the_matter(about, more, says):
    assert says in body(about, **more)


def test_several_missing_things_are_listed():
    assert "of your order L-0433, A, B and C are not here yet." in body(
        "short", missing=("A", "B", "C")
    )


@pytest.mark.parametrize(
    ("name", "begins"),
    [
        ("Wren Tolley", "Wren"),
        ("Mrs Wren Tolley", "Mrs Tolley"),
        ("Dr. P. Ashby", "Dr. Ashby"),
        ("Tolley", "Tolley"),
        ("Lady", "Lady"),
        ("", ""),
    ],
)
def test_a_letter_calls_a_customer_as_an_envelope_would(name, begins):
    """Common practice: a title goes with the surname."""
    assert called(name) == begins
