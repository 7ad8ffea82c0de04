"""Every page of the demo that a person can come to, found by following its links."""

import re
from collections import Counter, deque
from dataclasses import dataclass
from html import unescape

from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import QueryDict
from django.test import Client
from django.urls import Resolver404, resolve, reverse

from inventory.models import Claim, Item, Purchase
from orders.models import Order, Packet, PostRun
from production.models import Batch, Layout
from studio.models import Person, WorkSession
from tests.factories.production import new_id
from tests.studio.test_access import addresses

SHOP_FILE = b"""Reference,Bought by,Sent to,Thing,Pieces,Each,When
M-1,Tansy Underhay,"4 Sallow Lane, Marrowick, ZY4 7TQ",SG-030,1,13.50,02/03/2027
M-2,Ivo Larkmere,"9 Sallow Lane, Marrowick, ZY4 7TQ",RF-090,2,21.00,02/03/2027
"""
HREF = re.compile(r'<a [^>]*?href="(/[^"#]*)')
OWN_BLOCK = {
    "name": "Garden gate",
    "lines": "Steps: 2 by 1\nsquare: light at 1 1\nsquare: dark at 2 1",
}
# Where pages of one address differ by what they show, more than one is looked at.
SEVERAL = {
    "inventory:item_show": 5,
    "studio:block_show": 3,
    "studio:block_booklet": 2,
    "studio:cloth": 3,
    "studio:bundles": 2,
    "studio:shape_show": 3,
    "studio:pieces_find": 3,
    "studio:test_block": 3,
    "orders:order_show": 6,
    "orders:post_run": 2,
    "production:selling_day_show": 4,
    "production:selling_day_tally": 2,
    "production:cutting_after": 2,
    "production:layout_show": 2,
    "production:sheet_lay": 3,
}

# What is said where a size cannot be cut is a page, too.
BLOCKS_ASKED_WRONGLY = (
    "/blocks/sawtooth-star/?size=9+1%2F4",
    "/blocks/sawtooth-star/booklet/?sizes=0",
    "/blocks/cloth/?pieces=Goose%2C+5+1%2F4",
    "/blocks/bundles/?kits=cushion",
    "/blocks/projects/booklet/print/?sizes=4%2C+8",
    "/blocks/shapes/trapezoid-both-ends-sloped/?side-1=4&side-2=2",
)

# A question answered, and one that cannot be, each on the page that asks it.
PIECES_ASKED = (
    "/blocks/pieces/?size=4+1%2F4&engraving=Ringfence",
    "/blocks/pieces/?size=3000",
    "/blocks/test-block/?block=churn-dash&size=11+1%2F4&measured=11+5%2F8&units=4%2C3+3%2F4%2C4",
    "/blocks/test-block/?block=churn-dash&size=0",
)
# A sheet that is laid out, and a list of pieces that cannot be.
SHEETS_ASKED = "/blocks/sheets/?pieces=A425%2C+4+1%2F4%2C+4+1%2F4"
SHEETS_ASKED_WRONGLY = "/blocks/sheets/?pieces=A%2C+0%2C+1"


@dataclass(frozen=True)
class Page:
    """One page as somebody opens it."""

    name: str
    url: str
    role: str
    is_paper: bool = False


def client_of(role):
    client = Client()
    client.force_login(Person.objects.filter(role=role).first())
    return client


def begin_the_work():
    """Print today's run and plan some making up, as the buttons would."""
    owner = client_of("owner")
    owner.post(reverse("orders:post_run_make"), {"request_id": new_id()})
    make = reverse("studio:sizes_make", args=["SG-030"])
    owner.post(make, {"request_id": new_id(), "count": 4})
    lay_out = reverse("studio:own_block_new")
    owner.post(lay_out, {"request_id": new_id(), "do": "keep", **OWN_BLOCK})
    keep_a_sheet(owner)


def keep_a_sheet(owner):
    """Lay squares on a sheet and keep it as a layout, as the buttons would."""
    page = owner.get(SHEETS_ASKED).content.decode()
    kept = unescape(re.search(r'name="kept" value="([^"]*)"', page)[1])
    sheet = Item.objects.filter(kind=Item.Kind.SHEET).first()
    said = {"code": "LW", "minutes": 20, "sheet": sheet.pk, "piece-0": "A425"}
    where = reverse("production:sheet_keep")
    owner.post(where, {"request_id": new_id(), "kept": kept, **said})


def begun_with():
    """Return the addresses that need a certain object, and those nothing links to."""
    run = PostRun.objects.latest("pk")
    hold = Claim.objects.filter(kind="hold").latest("pk")
    posted = Order.objects.filter(number="L-0432").get()
    parts = [
        ("inventory:item_show", "RF-090"),
        ("inventory:item_shape", "A425"),
        ("inventory:item_way_add", "RF-090"),
        ("inventory:item_contents", "FB-07"),
        ("inventory:item_look", "RF-090"),
        ("inventory:item_show", "A425"),
        ("inventory:claim_slip", hold.pk),
        ("inventory:purchase_show", Purchase.objects.latest("pk").pk),
        ("inventory:below_nought",),
        ("orders:order_show", posted.number),
        ("orders:order_postal_claim", posted.number),
        ("orders:order_came_back", posted.number),
        ("orders:post_run", run.pk),
        ("orders:post_papers", run.pk),
        ("orders:post_slips", run.pk),
        ("orders:post_pick_list", run.pk),
        ("orders:post_run_list", run.pk),
        ("orders:post_labels", run.pk),
        ("orders:packet_typed",),
        ("orders:packet_find", Packet.objects.filter(run=run).first().short_code),
        ("production:layout_file", Layout.objects.get(code="LW").pk, "proof"),
        ("production:selling_day_add",),
        ("production:session_hours", WorkSession.objects.order_by("pk").first().pk),
        (
            "production:batch_made",
            Batch.objects.filter(kind=Batch.Kind.MAKING_UP).latest("pk").pk,
        ),
    ]
    there = [reverse(name, args=args) for name, *args in parts]
    return [
        file_that_waits(),
        *BLOCKS_ASKED_WRONGLY,
        *PIECES_ASKED,
        SHEETS_ASKED,
        SHEETS_ASKED_WRONGLY,
        *there,
    ]


def file_that_waits():
    """Send a shop's file whose columns nobody has matched yet."""
    sent = {"request_id": new_id(), "file": SimpleUploadedFile("shop.csv", SHOP_FILE)}
    return client_of("owner").post(reverse("orders:files"), sent).headers["Location"]


@dataclass(frozen=True)
class Found:
    """The pages somebody can come to, and the links that did not open."""

    role: str
    pages: list
    refused: list


def pages_of(role, *, first=()):
    client = client_of(role)
    waiting, seen, counted = deque([*first, "/"]), set(), Counter()
    pages, refused = [], []
    while waiting:
        url = waiting.popleft()
        name = name_of(url)
        if url in seen or counted[name] >= SEVERAL.get(name, 1):
            continue
        seen.add(url)
        answer = client.get(as_page(url))
        if answer.status_code in (301, 302):
            waiting.append(answer.headers["Location"])
        elif answer.status_code != 200:
            refused.append((url, answer.status_code))
        else:
            counted[name] += 1
            if answer.headers["Content-Type"].startswith("text/html"):
                paper = is_paper(answer)
                pages.append(Page(name, as_page(url) if paper else url, role, paper))
                waiting.extend(links(answer))
    return Found(role, pages, refused)


def links(answer):
    return HREF.findall(answer.content.decode().replace("&amp;", "&"))


def name_of(url):
    path = re.split("[?#]", url)[0]
    try:
        return resolve(path).view_name
    except Resolver404:
        return ""


def as_page(url):
    """Ask for the page form of a paper; a page that is none does not mind."""
    path, _, query = url.partition("?")
    asked = QueryDict(query, mutable=True)
    asked["as"] = "page"
    return f"{path}?{asked.urlencode()}"


def is_paper(answer):
    return any(one.name == "paper.html" for one in answer.templates)


def never_reached(pages):
    """Return the names of addresses that answer GET and that no page came from."""
    reached = {page.name for page in pages}
    owner = client_of("owner")
    return {
        one.name
        for one in addresses()
        if one.name not in reached and owner.get(one.url).status_code != 405
    }
