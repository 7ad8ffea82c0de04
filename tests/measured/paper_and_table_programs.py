"""Programs that a measuring test starts on a book, each in a process of its own."""

TABLES = """
import json, statistics, time
import django; django.setup()
from django.conf import settings
plain = "django.contrib.staticfiles.storage.StaticFilesStorage"
settings.STORAGES = {**settings.STORAGES, "staticfiles": {"BACKEND": plain}}
from django.core.paginator import Paginator
from django.template import engines
from django.test import RequestFactory
from django_tables2 import RequestConfig
from orders.filters import OrderFilter
from orders.tables import OrdersTable
from orders.views.orders import listed_orders
from studio import clock
from studio.models import Person, StudioSettings

FRAME = '''{% extends "base.html" %}{% load django_tables2 %}
{% block sentence %}Orders.{% endblock sentence %}
{% block content %}<form method="get">{{ asked.form.as_p }}</form>WHAT{% endblock content %}'''
BY_HAND = '''<div class="table-region" role="region" tabindex="0" aria-label="Orders"><table>
<thead><tr>{% for name, word in heads %}<th scope="col"><a href="?sort={{ name }}">{{ word }}</a></th>{% endfor %}</tr></thead>
<tbody>{% for record in page %}<tr>ROW</tr>{% endfor %}</tbody></table></div>
<nav><span>Page {{ page.number }} of {{ page.paginator.num_pages }}, {{ page.paginator.count }} in all.</span>
<a class="button" href="?page={{ page.next_page_number }}">After</a></nav>'''
HEADS = [(name, name.title()) for name in OrdersTable.base_columns]
source = (settings.BASE_DIR / "templates/orders/_order_rows.html").read_text()
row = source.split("{% block row %}")[1].split("{% endblock row %}")[0]
make = engines["django"].from_string
with_tables = make(FRAME.replace("WHAT", "{% render_table table %}"))
by_hand = make(FRAME.replace("WHAT", BY_HAND.replace("ROW", row)))

def asked_request():
    request = RequestFactory().get("/orders/", {"state": "posted"})
    request.user = request.person = Person.objects.get(role="owner")
    request.studio = StudioSettings.objects.get(pk=1)
    request.now = clock.now(); request.today = clock.today(request.now)
    request.session = {}
    return request

def page_with_tables(request):
    asked = OrderFilter(request.GET, queryset=listed_orders())
    table = OrdersTable(asked.qs)
    RequestConfig(request, paginate={"per_page": 50}).configure(table)
    return with_tables.render({"table": table, "asked": asked}, request)

def page_by_hand(request):
    asked = OrderFilter(request.GET, queryset=listed_orders())
    page = Paginator(asked.qs, 50).get_page(1)
    return by_hand.render({"page": page, "heads": HEADS, "asked": asked}, request)

def seconds(make_page):
    request = asked_request()
    started = time.process_time()
    text = make_page(request)
    took = time.process_time() - started
    assert text.count("<tr>") == 51, text.count("<tr>")
    return took

for _ in range(3):
    seconds(page_with_tables); seconds(page_by_hand)
pairs = [(seconds(page_with_tables), seconds(page_by_hand)) for _ in range(15)]
print(json.dumps([1000 * statistics.median(one) for one in zip(*pairs)]))
"""

# As many slips as the words say, of the demo's own packets over and over.
SLIPS = """
import json, os, resource, time
import django; django.setup()
from django.conf import settings
plain = "django.contrib.staticfiles.storage.StaticFilesStorage"
settings.STORAGES = {**settings.STORAGES, "staticfiles": {"BACKEND": plain}}
from itertools import cycle, islice
from orders.models import Packet
from orders.prints import slips
from studio import clock, printing
now = clock.now()
packets = Packet.objects.filter(orders__number__startswith="L-")
contexts = slips.slip_contexts(slips.slips_of(packets, now), now, size="a5")
template = slips.TEMPLATES["a5"]

def cpu(paper):
    started = time.process_time()
    pdf = paper()
    return time.process_time() - started, len(pdf)

def one():
    return printing.render_pdf(template, contexts[0], title="Packing slips")

def many(count):
    some = list(islice(cycle(contexts), count))
    return printing.render_many(template, some, title="Packing slips")

one(); one()
singles = sorted(cpu(one)[0] for _ in range(9))
count = int(os.environ["BENCH_POST_MEASURED_SLIPS"])
took, size = cpu(lambda: many(count))
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(json.dumps({"one": singles[4], "each": took / count, "peak_mb": peak / 1024,
                  "pdf_kb": size / 1000}))
"""
