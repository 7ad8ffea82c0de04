"""A QR code is drawn whole, in few strokes, and safely."""

import re
import socket
from urllib.parse import urlsplit

import segno

from studio import printing
from studio.settings import own_addresses


def modules_of(svg):
    """Read the dark modules back out of the one path that draws them."""
    path = re.search(r'<path fill="#000" d="([^"]+)"', svg)[1]
    runs = re.findall(r"M(\d+) (\d+)h(\d+)v1h-\3z", path)
    assert "".join(f"M{x} {y}h{n}v1h-{n}z" for x, y, n in runs) == path
    return {
        (int(x) + step, int(y)) for x, y, across in runs for step in range(int(across))
    }


# Source: ISO/IEC 18004: version 1 has 21 modules a side, a quiet zone of four, and
# finder patterns of seven modules in three corners.
def test_a_qr_code_has_its_margin_and_its_three_corners():
    svg = printing.qr_path("L-0433")

    dark = modules_of(svg)
    finder = {
        (x, y)
        for x in range(7)
        for y in range(7)
        if x in (0, 6) or y in (0, 6) or (x in (2, 3, 4) and y in (2, 3, 4))
    }
    assert 'viewBox="0 0 29 29"' in svg
    for left, top in [(4, 4), (18, 4), (4, 18)]:
        corner = {
            (x - left, y - top)
            for x, y in dark
            if left <= x < left + 7 and top <= y < top + 7
        }
        assert corner == finder
    assert min(min(point) for point in dark) == 4
    assert max(max(point) for point in dark) == 24


def test_a_qr_code_is_two_paths_however_long_its_words_are():
    words = "http://patch-loft.local:8321/bench/plan/LE/2027-03-06/"

    svg = printing.qr_path(words)

    code = segno.make(words, error="m", mask=0, micro=False, boost_error=False)
    drawn = {(x - 4, y - 4) for x, y in modules_of(svg)}
    assert svg.count("<path") == 2
    assert drawn == {
        (x, y)
        for y, row in enumerate(code.matrix)
        for x, module in enumerate(row)
        if module
    }


def test_words_in_a_qr_code_cannot_break_out_of_the_drawing():
    svg = printing.qr_path('"><script>')

    assert "<script>" not in svg
    assert "&quot;&gt;&lt;script&gt;" in svg


def test_a_code_on_paper_holds_the_name_that_the_owner_gave(settings):
    settings.PORT = 8321

    address = printing.lasting_address("loft.local", "/p/CDFGHJ")

    assert address == "http://loft.local:8321/p/CDFGHJ"


def test_without_such_a_name_the_computers_own_is_on_paper_and_is_answered_to(settings):
    address = printing.lasting_address("", "/p/CDFGHJ")

    host = urlsplit(address).hostname
    assert host == f"{socket.gethostname()}.local".lower()
    assert host in [name.lower() for name in own_addresses()]


def test_behind_https_the_usual_door_is_left_out_of_the_address(settings):
    settings.HTTPS, settings.PORT = True, 443

    address = printing.lasting_address("studio.example", "/b/7/")

    assert address == "https://studio.example/b/7/"
