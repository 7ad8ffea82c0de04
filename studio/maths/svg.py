"""The frame of every drawing: a title, a description, and plain attributes.

Drawings carry no style sheet, no class, no script and no id, so that they stand in a
page with a strict content policy, twice in one page, and on paper, and look the same.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from html import escape

from studio.maths.surds import Surd

Number = Fraction | int
FACE = "Bench Sans, Source Sans 3, Arial, sans-serif"
INK = "#191c34"


def picture(
    title: str,
    description: str,
    body: Iterable[str],
    *,
    box: tuple[Number, Number],
    size_px: tuple[int, int],
) -> str:
    """Frame the marks of a drawing so that it can be read aloud and scaled."""
    name = escape(title)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{name}" '
        f'font-family="{FACE}" '
        f'width="{size_px[0]}" height="{size_px[1]}" '
        f'viewBox="0 0 {plain(box[0])} {plain(box[1])}">'
        f"<title>{name}</title><desc>{escape(description)}</desc>"
        f"{''.join(body)}</svg>"
    )


def mark(name: str, **attributes: str | Number) -> str:
    """Write one mark; ``stroke_width`` becomes stroke-width, numbers plain decimals."""
    return f"<{name}{_written(attributes)}/>"


def group(marks: Iterable[str], **attributes: str | Number) -> str:
    """Write marks that share attributes."""
    return f"<g{_written(attributes)}>{''.join(marks)}</g>"


def text(
    words: str, x: Number, y: Number, size: Number, **attributes: str | Number
) -> str:
    """Write words with their baseline at y; ``text_anchor`` says where x is."""
    place = {"x": x, "y": y, "font_size": size}
    return f"<text{_written(place | {'fill': INK} | attributes)}>{escape(words)}</text>"


def plain(value: Surd | Number) -> str:
    """Write a number with two places at most and no needless noughts."""
    return hundredths(in_hundredths(value))


def in_hundredths(value: Surd | Number) -> int:
    """Give the nearest whole number of hundredths, half of one going up."""
    exact = value.bounds()[0] if isinstance(value, Surd) else value
    return (200 * exact.numerator + exact.denominator) // (2 * exact.denominator)


def hundredths(number: int) -> str:
    """Write so many hundredths as a plain decimal."""
    sign = "-" if number < 0 else ""
    whole, after = divmod(abs(number), 100)
    return f"{sign}{whole}.{after:02}".rstrip("0").rstrip(".")


def _written(attributes: dict[str, str | Number]) -> str:
    return "".join(
        f' {name.replace("_", "-")}="{_value(value)}"'
        for name, value in attributes.items()
    )


def _value(value: str | Number) -> str:
    return escape(value) if isinstance(value, str) else plain(value)
