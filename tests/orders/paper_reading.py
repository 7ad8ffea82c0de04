"""Read a paper back as a reader would: its pages, their words, their size."""

import re
from io import BytesIO

import pytest
from pypdf import PdfReader

from studio import printing

needs_press = pytest.mark.skipif(
    not printing.pdf_available()[0], reason=printing.pdf_available()[1]
)


def read(pdf):
    return PdfReader(BytesIO(pdf))


def words(page):
    """Return a page's words in a row; a break between lines is a space."""
    return " ".join(page.extract_text().split())


def pages(pdf):
    return [words(page) for page in read(pdf).pages]


def size_in_mm(page):
    sides = (float(page.mediabox.width), float(page.mediabox.height))
    return tuple(round(points * 25.4 / 72) for points in sides)


def amounts(text):
    """Find anything that looks like money: with a pound sign or as pounds and pence."""
    return re.findall(r"£|\b\d+\.\d\d\b", text)
