"""Somebody at a device, in a studio whose clock stands."""

import re
from html import unescape

import pytest

from tests.factories.inventory import PersonFactory, StudioFactory


@pytest.fixture
def owner(client, db):
    StudioFactory()
    client.force_login(PersonFactory())
    return client


@pytest.fixture
def packer(client, db):
    StudioFactory()
    client.force_login(PersonFactory(name="Posy Oakenby", role="packer"))
    return client


@pytest.fixture
def helper(client, db):
    StudioFactory()
    client.force_login(PersonFactory(name="Rufus Penhallin", role="workshop"))
    return client


def words_of(response):
    """Return the words of a page as they are read, without marks and drawings."""
    html = response.content.decode()
    html = re.sub(r"<(svg|script|style|head)\b.*?</\1>", " ", html, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def sentence_of(response):
    """Return the sentence at the top of a page."""
    found = re.search(r"<h1>(.*?)</h1>", response.content.decode(), re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", found[1])).split())


def rows_of(response, label):
    """Return the cells of the table with a label, row by row, as they are read."""
    html = response.content.decode()
    table = re.search(
        rf'aria-label="{re.escape(label)}".*?<tbody>(.*?)</tbody>', html, re.DOTALL
    )
    return cells_of(table[1])


def sum_of(response, words):
    """Return the lines of the sum behind a number: label, step and what is left."""
    html = response.content.decode()
    found = re.search(
        rf"<summary>(?:(?!</summary>).)*<span>{re.escape(words)}.*?<tbody>(.*?)</tbody>",
        html,
        re.DOTALL,
    )
    return cells_of(found[1])


def number_of(response, words):
    """Return the number that stands before such words."""
    html = response.content.decode()
    found = re.search(
        rf'class="number(?:-big)?">(-?\d+)</span> <span>{re.escape(words)}', html
    )
    return int(found[1])


def cells_of(body):
    rows = re.findall(r"<tr>(.*?)</tr>", body, re.DOTALL)
    return [
        [
            " ".join(
                unescape(
                    re.sub(
                        r"<[^>]+>", " ", re.sub(r"<svg.*?</svg>", "", cell, flags=16)
                    )
                ).split()
            )
            for cell in re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", row, re.DOTALL)
        ]
        for row in rows
    ]
