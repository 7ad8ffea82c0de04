"""The shared parts of pages say what they should and lose nothing that was typed."""

import re
from datetime import UTC, date, datetime, time
from fractions import Fraction
from types import SimpleNamespace

import django_tables2
import pytest
from django import forms
from django.template import TemplateSyntaxError, engines
from django.template.loader import render_to_string
from django.test import RequestFactory
from django.urls import include, path

from studio.models import Person
from studio.templatetags import studio_format, studio_selvedge
from tests.conftest import MORNING


def room(request):
    raise AssertionError("These addresses are only named.")


urlpatterns = [
    path(
        "",
        include(
            (
                [
                    path("", room, name="today"),
                    path("people/", room, name="people"),
                    path("clock/", room, name="clock_move"),
                    path("studio/", room, name="studio"),
                ],
                "studio",
            )
        ),
    ),
    path("goods/", include(([path("", room, name="goods")], "inventory"))),
    path(
        "",
        include(
            (
                [
                    path("orders/", room, name="orders"),
                    path("orders/post/", room, name="post"),
                ],
                "orders",
            )
        ),
    ),
]

pytestmark = pytest.mark.urls(__name__)


@pytest.fixture(autouse=True)
def files_as_they_lie(settings):
    """Show static files by their own names, which tests have not collected."""
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {
            "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        },
    }


def plain(html):
    """Return the words of some HTML, each run of white space as one space."""
    text = re.sub(r"<[^>]*>", " ", html)
    return re.sub(r"[ \n]+", " ", text).strip()


def step(label, count, total, why=""):
    return SimpleNamespace(label=label, count=count, total=total, why=why)


# Worked by hand: a shelf of 19 with 2 shown, 7 paid for.
def test_a_number_opens_its_sum_line_by_line():
    lines = [
        step("On the shelf", 19, 19),
        step("Show sets", -2, 17, "Two stand opened in the bag."),
        step("Paid, not gone", -7, 10),
    ]

    html = render_to_string(
        "studio/_sum.html", {"number": 10, "words": "sets to promise.", "lines": lines}
    )

    cells = re.findall(r'<td class="count[^"]*">([^<]*)</td>', html)
    steps = zip(cells[::2], cells[1::2], strict=True)
    assert html.strip().startswith('<details class="sum">')
    assert list(steps) == [
        ("+\u00a019", "19"),
        ("\u2212\u00a02", "17"),
        ("\u2212\u00a07", "10"),
    ]
    assert "Two stand opened in the bag." in plain(html)


def test_a_sum_of_money_shows_pounds_with_their_signs():
    lines = [step("Duo boxes", 8553, 8553), step("Charges", -250, 8303)]

    html = render_to_string("studio/_sum.html", {"lines": lines, "pence": True})

    cells = re.findall(r'<td class="count[^"]*">([^<]*)</td>', html)
    assert cells == ["+\u00a0£85.53", "£85.53", "\u2212\u00a0£2.50", "£83.03"]


class RingsForm(forms.Form):
    count = forms.IntegerField(
        label="How many sets",
        help_text="Three can be promised.",
        widget=forms.TextInput,
        error_messages={"invalid": "Write it in figures, such as 3."},
    )
    name = forms.CharField(label="Who rings", required=False)
    outlet = forms.ChoiceField(
        label="Sold by", choices=[("web", "Web")], widget=forms.RadioSelect
    )
    gift = forms.BooleanField(label="It is a gift.", required=False)


def shown(form, name, **more):
    return render_to_string("studio/_field.html", {"field": form[name], **more})


def test_a_field_keeps_what_was_typed_and_says_beside_it_what_is_wrong():
    form = RingsForm({"count": "three or so"})

    html = shown(form, "count", kind="field-number")

    box = re.search(r"<input[^>]*>", html)[0]
    described_by = re.search(r'aria-describedby="([^"]*)"', box)[1].split()
    assert 'value="three or so"' in box
    assert 'aria-invalid="true"' in box
    assert described_by == re.findall(r'id="(id_count_[a-z]+)"', html)
    assert "Write it in figures, such as 3." in plain(html)
    assert 'class="field field-number field-wrong"' in html


def test_a_field_without_fault_bears_no_mark_of_one():
    html = shown(RingsForm({"count": "3"}), "count")

    assert "field-wrong" not in html
    assert "aria-invalid" not in html
    assert '<label for="id_count">How many sets</label>' in html


def test_a_field_that_may_stay_empty_says_so():
    assert "Who rings (if there is one)" in plain(shown(RingsForm(), "name"))


def test_a_choice_has_a_legend_and_a_tick_box_its_own_label():
    form = RingsForm({"outlet": "web"})

    assert "<legend>Sold by</legend>" in shown(form, "outlet")
    assert "checked" in shown(form, "outlet")
    gift = re.sub(r"\s+", " ", shown(form, "gift"))
    assert re.search(r'<label class="choice" for="id_gift"><input [^>]*>', gift)


def test_the_list_of_faults_leads_to_each_box_and_takes_the_keys():
    html = render_to_string(
        "studio/_form_errors.html", {"form": RingsForm({"count": "three or so"})}
    )

    assert 'role="alert" tabindex="-1" autofocus' in html
    assert "Two things need a look." in plain(html)
    assert (
        '<a class="alone" href="#id_count">How many sets: Write it in figures' in html
    )


def test_a_form_without_faults_raises_no_alarm():
    form = RingsForm({"count": "3", "outlet": "web"})

    assert render_to_string("studio/_form_errors.html", {"form": form}).strip() == ""


class OrderTable(django_tables2.Table):
    number = django_tables2.Column(verbose_name="Order")
    name = django_tables2.Column(verbose_name="For", orderable=False)

    class Meta:
        template_name = "studio/_table.html"
        attrs = {"aria_label": "Orders that wait"}


def shown_table(rows, address, **more):
    request = RequestFactory().get(address)
    table = OrderTable(rows, request=request, **more)
    django_tables2.RequestConfig(request, paginate={"per_page": 2}).configure(table)
    return table.as_html(request)


ROWS = [{"number": f"L-{n}", "name": f"Buyer <{n}>"} for n in (2, 3, 1)]


def test_a_list_is_read_sorted_and_turned_by_keyboard():
    html = shown_table(ROWS, "/orders/?sort=number&q=pell")

    sorted_by = re.findall(r'aria-sort="(\w+)"><a [^>]*>(\w+)', html)
    assert 'role="region" tabindex="0" aria-label="Orders that wait"' in html
    assert sorted_by == [("ascending", "Order")]
    assert 'href="?sort=-number&amp;q=pell"' in html
    assert re.findall(r"L-\d", html) == ["L-1", "L-2"]
    assert "Page 1 of 2, 3 in all." in plain(html)
    assert 'rel="next" href="?sort=number&amp;q=pell&amp;page=2"' in html


def test_what_a_buyer_is_called_cannot_break_out_of_a_list():
    html = shown_table(ROWS, "/orders/")

    assert "Buyer &lt;2&gt;" in html
    assert "<2>" not in html


def test_an_empty_list_says_so():
    assert "There is nothing here yet." in plain(shown_table([], "/orders/"))


def strip_at(address, **context):
    request = RequestFactory().get(address)
    source = "{% load studio_selvedge %}{% selvedge %}"
    return engines["django"].from_string(source).render(context, request)


@pytest.mark.parametrize(
    ("address", "words", "current"),
    [
        ("/", "Today", "page"),
        ("/goods/", "Goods", "page"),
        ("/goods/rf-090/", "Goods", "true"),
        ("/orders/l-0433/", "Orders", "true"),
        ("/orders/post/", "Post", "page"),
        ("/orders/post/today/", "Post", "true"),
    ],
)
def test_the_strip_marks_the_room_the_reader_is_in(db, address, words, current):
    html = strip_at(address)

    marked = re.findall(r'aria-current="(\w+)"><span>([^<]*)</span>', html)
    assert marked == [(current, words)]
    assert html.count("dot-here") == 1


def test_the_strip_marks_no_room_where_there_is_none(db):
    html = strip_at("/people/")

    assert "aria-current" not in html
    assert "dot-here" not in html


def test_a_page_may_say_itself_which_room_it_belongs_to(db):
    html = strip_at("/people/", room="studio")

    assert 'aria-current="true"><span>Studio</span>' in html


def test_the_strip_says_whose_studio_it_is_and_who_is_at_the_device(db):
    html = strip_at(
        "/",
        studio=SimpleNamespace(name="Marrowick Patch Loft"),
        person=SimpleNamespace(first_name="Merle"),
    )

    assert "Marrowick Patch Loft · Bench &amp; Post" in plain(html)
    assert "Merle is at this device. Somebody else?" in plain(html)


def test_undo_is_sent_with_its_own_number():
    undo = SimpleNamespace(url="/orders/undo/", words="Take it back", request_id="7f0c")

    html = render_to_string(
        "studio/_undo.html", {"undo": undo}, request=RequestFactory().get("/")
    )

    assert '<form method="post" action="/orders/undo/">' in html
    assert 'name="csrfmiddlewaretoken"' in html
    assert 'name="request_id" value="7f0c"' in html


def test_the_demo_says_what_its_clock_shows_and_how_to_move_it():
    html = render_to_string(
        "studio/_clock_banner.html",
        {
            "today": date(2027, 3, 3),
            "now": MORNING,
            "person": Person(role=Person.Role.OWNER),
        },
        request=RequestFactory().get("/goods/?q=9"),
    )

    moves = re.findall(r'name="to" value="([^"]*)"', html)
    assert "The demo’s clock stands at Wed 3 March 2027, 08:30." in plain(html)
    assert moves == ["08:30", "12:10", "18:00", "19:15", "next-morning", "start"]
    assert 'name="next" value="/goods/?q=9"' in html


@pytest.mark.parametrize("number", ["400", "403", "403_csrf", "404", "500"])
def test_a_page_for_trouble_is_one_sentence_and_one_way_on(number):
    html = render_to_string(f"{number}.html")

    [sentence] = re.findall(r"<h1>(.*?)</h1>", html)
    assert sentence.endswith(".")
    assert re.findall(r'class="next-action-label" href="([^"]*)"', html) == ["/"]


@pytest.mark.parametrize(
    ("count", "words", "written"),
    [
        (0, "set", "0 sets"),
        (1, "set", "1 set"),
        (3, "set", "3 sets"),
        (1, "box,boxes", "1 box"),
        (2, "box,boxes", "2 boxes"),
    ],
)
def test_a_count_agrees_with_its_noun(count, words, written):
    assert studio_format.plural_words(count, words) == written


@pytest.mark.parametrize(
    ("count", "written"),
    [(0, "No"), (1, "One"), (12, "Twelve"), (20, "Twenty"), (21, "21"), (-1, "-1")],
)
def test_a_sentence_begins_with_a_word_for_a_small_number(count, written):
    assert studio_format.in_words(count) == written


def test_values_are_written_as_everywhere_else():
    noon = datetime(2027, 7, 1, 11, 5, tzinfo=UTC)
    source = (
        "{{ pence|pounds }}, {{ length|inches }}, {{ noon|moment }}, {{ noon|clock }}, "
        "{{ post|clock }}, {{ some_day|day }}, {{ some_day|day_short }}{{ none|pounds }}"
        "{{ none|day }}{{ none|moment }}{{ none|clock }}{{ none|inches }}"
    )
    values = {
        "pence": 2100,
        "length": Fraction(31, 8),
        "noon": noon,
        "post": time(15, 50),
        "some_day": date(2027, 7, 1),
        "none": None,
    }

    written = engines["django"].from_string(source).render(values)

    assert written == (
        "£21.00, 3⅞, Thu 1 July, 12:05, 12:05, 15:50, Thu 1 July 2027, Thu 1 July"
    )


class Drawn:
    def picture_svg(self):
        return '<svg viewBox="0 0 9 9"></svg>'


def test_an_item_is_drawn_in_one_of_the_sizes_the_sheet_knows():
    html = studio_format.item_picture(Drawn(), 96)

    assert html == (
        '<span class="item-picture picture-96" aria-hidden="true">'
        '<svg viewBox="0 0 9 9"></svg></span>'
    )
    with pytest.raises(TemplateSyntaxError, match="not 97"):
        studio_format.item_picture(Drawn(), 97)


def test_the_first_page_is_no_beginning_of_the_others():
    rooms = [
        studio_selvedge.Room("today", "Today", "/"),
        studio_selvedge.Room("goods", "Goods", "/goods/"),
    ]

    keys = [studio_selvedge.current_key(rooms, at) for at in ("/", "/goods/9/", "/x/")]
    assert keys == ["today", "goods", ""]
