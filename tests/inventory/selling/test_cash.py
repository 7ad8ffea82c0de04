"""Money in goods by age and place, the ten worst, and stock at the end of the year."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.selling.ages import Age, Layer, age_of, layers
from inventory.selling.cash import Act, Pile, best_act, cash_asleep
from inventory.selling.year_end import Counted, value_stock

TODAY = date(2027, 3, 3)
NEW_YEAR, SUMMER = date(2027, 1, 1), date(2026, 7, 1)


def a_pile(name="SG-030", cost_mills=3210, **more):
    given_facts = {
        "kind": "set",
        "place": "Shelf B",
        "layers": (Layer(4, NEW_YEAR),),
    }
    return Pile(name, cost_mills=cost_mills, **(given_facts | more))


def test_what_is_there_is_the_last_that_came():
    # Worked by hand: 12 there; 5 came on 1 January, 6 in July, 1 before the book.
    found = layers(12, [(SUMMER, 6), (NEW_YEAR, 5)])

    assert found == (Layer(5, NEW_YEAR), Layer(6, SUMMER), Layer(1, None))
    assert layers(3, [(SUMMER, 6), (NEW_YEAR, 5)]) == (Layer(3, NEW_YEAR),)


@pytest.mark.parametrize("count", [0, -4])
def test_what_is_not_there_has_no_age(count):
    assert layers(count, [(SUMMER, 6)]) == ()


@pytest.mark.parametrize(
    ("came_on", "age"),
    [
        (TODAY, Age.FRESH),
        (date(2026, 12, 2), Age.FRESH),
        (date(2026, 12, 1), Age.QUARTER),
        (date(2026, 9, 1), Age.HALF_YEAR),
        (date(2026, 3, 4), Age.HALF_YEAR),
        (date(2026, 3, 3), Age.YEAR),
        (date(2027, 4, 1), Age.FRESH),
        (None, Age.UNKNOWN),
    ],
)
def test_the_age_of_a_layer_by_the_day_it_came(came_on, age):
    # Worked by hand: 91 days before 3 March is 2 December; 364 days, 4 March.
    assert age_of(Layer(1, came_on), TODAY) is age


@given(
    st.integers(0, 90),
    st.lists(st.tuples(st.dates(date(2024, 1, 1), TODAY), st.integers(0, 30))),
)
def test_no_piece_is_lost_between_the_layers(count, arrivals):
    found = layers(count, arrivals)

    assert sum(layer.count for layer in found) == count
    days = [layer.came_on for layer in found if layer.came_on]
    assert days == sorted(days, reverse=True)


def test_money_in_goods_by_kind_place_and_age():
    # Worked by hand: 4 x 321.0p = £12.84; 10 x 145p = £14.50 at the channel, 4 of them
    # from July (£5.80); 7 x 1.5p = 10.5p, rounded once to 11p.
    sets = a_pile()
    away = a_pile(
        "FB-05",
        1450,
        kind="bundle",
        place="Tinderbrook",
        layers=(Layer(6, NEW_YEAR), Layer(4, SUMMER)),
        still_ours_elsewhere=True,
    )
    dots = a_pile("dots", 15, kind="consumable", layers=(Layer(7, None),))

    found = cash_asleep([sets, away, dots], TODAY)

    assert found.total_pence == 1284 + 1450 + 11
    assert found.elsewhere_pence == 1450
    assert found.by_place == {"Tinderbrook": 1450, "Shelf B": 1295}
    assert found.by_kind == {"bundle": 1450, "set": 1284, "consumable": 11}
    assert found.by_age == {
        Age.FRESH: 1284 + 870,
        Age.QUARTER: 0,
        Age.HALF_YEAR: 580,
        Age.YEAR: 0,
        Age.UNKNOWN: 11,
    }


def test_samples_stand_apart_from_the_money_in_goods():
    found = cash_asleep([a_pile(is_sample=True), a_pile("RF-090")], TODAY)

    assert (found.total_pence, found.samples_pence) == (1284, 1284)
    assert [one.pile.name for one in found.top] == ["RF-090"]


def test_the_worst_has_slept_longest_for_its_money():
    # Worked by hand: £12.84 x 61 days = 783; £4.00 x 245 days = 980.
    old = a_pile("old", 1000, layers=(Layer(4, SUMMER),))

    found = cash_asleep([a_pile("new"), old], TODAY)

    assert [one.pile.name for one in found.top] == ["old", "new"]
    assert found.top[0].sentence == (
        "4 old, Shelf B, up to 245 days: £4.00 asleep. Nothing cheap is known that would "
        "wake it."
    )


def test_the_act_that_frees_most_for_what_it_takes_is_told():
    # Worked by hand: £16.80 for a sheet of £4.10 and 12 minutes (£2.40) is 2.6 times;
    # £16.80 for asking, 5 minutes (£1.00), is 16.6 times.
    cut = Act("Five SQ950 would free five sets.", 1680, costs_pence=410, minutes=12)
    ask = Act("Ask for them back.", 1680, minutes=5)
    loss = Act("Buy new boxes.", 100, costs_pence=400)

    [sleeper] = cash_asleep([a_pile(acts=(cut, ask, loss))], TODAY).top

    assert sleeper.act is ask
    assert sleeper.sentence.endswith("£12.84 asleep. Ask for them back.")
    assert best_act([loss]) is None


def test_her_minutes_count_as_a_cost():
    # Worked by hand: 20p a minute; £5.00 for an hour (£12.00) or for a stamp of £1.00.
    slow, stamp = Act("Sew it.", 500, minutes=60), Act("Post it.", 500, costs_pence=100)

    assert best_act([slow, stamp]) is stamp


def test_only_the_ten_worst_are_named():
    found = cash_asleep([a_pile(f"item {n}") for n in range(14)], TODAY)

    assert len(found.top) == 10
    assert (
        found.sentence
        == "£179.76 lies in goods. £128.40 of it lies in the 10 piles below."
    )


def test_goods_without_a_cost_are_named_and_not_called_worthless():
    found = cash_asleep([a_pile("gift", 0)], TODAY)

    assert (found.without_cost, found.top) == (("gift",), ())
    assert found.sentence == "No money lies in goods, or no cost is written for them."


def test_nothing_there_is_no_money():
    assert cash_asleep([], TODAY).total_pence == 0
    assert cash_asleep([a_pile(layers=())], TODAY).by_place == {}


@given(
    st.lists(
        st.tuples(
            st.integers(0, 9999),
            st.lists(st.tuples(st.integers(1, 9), st.dates(SUMMER, TODAY)), min_size=1),
        ),
        max_size=6,
    )
)
def test_parts_by_age_and_place_add_up_to_the_total(facts):
    piles = [
        a_pile(
            f"item {n}",
            cost,
            place=f"Shelf {n % 2}",
            layers=tuple(Layer(count, day) for count, day in came),
        )
        for n, (cost, came) in enumerate(facts)
    ]

    found = cash_asleep(piles, TODAY)

    assert sum(found.by_age.values()) == found.total_pence
    assert sum(found.by_place.values()) == found.total_pence
    assert min(found.by_age.values()) >= 0


def counted(name="FB-05", count=10, cost_mills=9000, **more):
    return Counted(name, "Shelf B", count, cost_mills, **more)


def test_a_line_stands_at_the_lower_of_cost_and_what_it_fetches():
    # Worked by hand: cost £9.00; it fetches £8.00 less £1.50 to sell, £6.50: 10 x 6.50.
    low = counted(fetches_pence=800, still_to_pay_pence=150)
    high = counted("FB-06", fetches_pence=2000, still_to_pay_pence=150)

    sheet = value_stock([low, high])

    assert [line.value_pence for line in sheet.lines] == [6500, 9000]
    assert sheet.total_pence == 15500
    assert (
        sheet.lines[0].sentence == "At what it fetches, £6.50 each: £25.00 below cost."
    )
    assert sheet.lines[0].written_down_pence == 2500


def test_one_line_that_fetches_more_never_covers_for_another():
    # Worked by hand: cost 90 + 90, fetches 65 + 500: 65 + 90, not 180.
    sheet = value_stock([counted(fetches_pence=650), counted("b", fetches_pence=5000)])

    assert (sheet.total_pence, sheet.cost_pence) == (6500 + 9000, 18000)


def test_parts_for_goods_stay_at_cost_to_the_tenth_of_a_penny():
    # Worked by hand: 7 x 1.5p = 10.5p, rounded half up once.
    [line] = value_stock([counted("dots", 7, 15)]).lines

    assert (line.value_pence, line.sentence) == (11, "At cost.")


def test_what_costs_more_to_sell_than_it_brings_is_worth_nothing():
    [line] = value_stock([counted(fetches_pence=100, still_to_pay_pence=150)]).lines

    assert line.value_pence == 0


def test_a_price_of_nought_is_what_it_fetches():
    [line] = value_stock([counted(fetches_pence=0)]).lines

    assert (line.value_pence, line.cost_pence) == (0, 9000)


def test_samples_stand_apart_and_goods_elsewhere_count():
    sheet = value_stock([counted(is_sample=True), Counted("a", "Tinderbrook", 2, 1000)])

    assert (sheet.total_pence, sheet.by_place) == (200, {"Tinderbrook": 200})
    assert [line.counted.name for line in sheet.samples] == ["FB-05"]


def test_what_the_book_cannot_value_is_asked():
    sheet = value_stock(
        [counted(count=-2), counted("b", cost_mills=0), counted(count=0)]
    )

    assert sheet.to_ask == (
        "FB-05, Shelf B: the book says -2. Count it, please.",
        "b, Shelf B: no cost is written. Write it, please.",
    )
    assert sheet.total_pence == 0


def test_the_law_is_named_and_hers_to_decide():
    first, second, third = value_stock([]).reminders

    assert "IAS 2, paragraph 9, and FRS 102, section 13" in first
    assert "is for you to say" in second
    assert "hours are no cost" in third
