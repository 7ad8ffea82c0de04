"""Open a page in the browser at several widths and write down what is found there."""

from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from tests.journeys.conftest import sign_in
from tests.journeys.demo_pages import Page

HERE = Path(__file__).parent
AXE = HERE.parent / "axe" / "axe.min.js"
LOOK = (HERE / "looking.js").read_text(encoding="utf-8")
# WCAG 2.2 at levels A and AA, as axe-core names its rules.
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
# A laptop, the same at 200 % zoom, a phone, and the least WCAG 2.2 asks for (1.4.10).
LAPTOP, ZOOMED, PHONE, NARROW = 1280, 640, 390, 320
EVERY_WIDTH = (LAPTOP, ZOOMED, PHONE, NARROW)
ON_A_PHONE = (PHONE, NARROW)


@dataclass
class Seen:
    """What one page showed."""

    page: Page
    html_bytes: int = 0
    rules_passed: int = 0
    broken: list = field(default_factory=list)
    headings: list = field(default_factory=list)
    words: str = ""
    is_told_off: bool = False
    sideways: dict = field(default_factory=dict)
    small: list = field(default_factory=list)
    complaints: list = field(default_factory=list)
    asked_elsewhere: list = field(default_factory=list)


class Walker:
    """One browser page in one person's hands, going from page to page."""

    def __init__(self, context, address):
        self.address, self.seen = address, None
        context.add_init_script(path=AXE)
        self.tab = context.new_page()
        self.tab.on("console", self.heard)
        self.tab.on("pageerror", lambda error: self.seen.complaints.append(str(error)))
        self.tab.on("request", self.asked)

    def heard(self, said):
        if said.type in ("error", "warning"):
            self.seen.complaints.append(said.text)

    def asked(self, request):
        if not request.url.startswith((f"{self.address}/", "data:")):
            self.seen.asked_elsewhere.append(request.url)

    def look_at(self, page, widths=EVERY_WIDTH):
        self.go_to(page, widths[0])
        return self.write_down(widths)

    def send_empty(self, page):
        """Send the page's main form with no word in it, and look at the answer."""
        self.go_to(page, PHONE)
        for box in self.tab.locator("main input:not([type=hidden]), textarea").all():
            if box.is_visible() and box.get_attribute("type") in (None, "text"):
                box.fill("")
        with self.tab.expect_navigation():
            self.tab.locator("main form .form-end button").first.click()
        return self.write_down(ON_A_PHONE)

    def go_to(self, page, width):
        self.seen = Seen(page)
        self.width(width)
        answer = self.tab.goto(self.address + page.url)
        self.seen.html_bytes = len(answer.body())

    def write_down(self, widths):
        found = self.tab.evaluate(f"({LOOK}).page", RULES)
        for name, value in found.items():
            setattr(self.seen, name, value)
        for width in widths:
            self.width(width)
            at_width = self.tab.evaluate(f"({LOOK}).width")
            if at_width["sideways"]:
                self.seen.sideways[width] = at_width["sideways"]
            if width == PHONE:
                self.seen.small = at_width["small"]
        return self.seen

    def width(self, width):
        self.tab.set_viewport_size({"width": width, "height": 900})


@contextmanager
def walker_of(chromium, address, role=None):
    """Open a browser for somebody, or for a stranger."""
    context = chromium.new_context()
    context.set_default_timeout(20_000)
    if role:
        sign_in(context, role, address)
    yield Walker(context, address)
    context.close()
