"""How each value is written, on screen and on paper alike."""

from __future__ import annotations

from datetime import date, datetime, time
from fractions import Fraction
from typing import Protocol

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from studio import days, lengths, money

register = template.Library()

MINUS = "\u2212"
PICTURE_SIZES = (32, 64, 96, 160, 240)
SMALL_NUMBERS = (
    *("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine"),
    *("Ten", "Eleven", "Twelve", "Thirteen", "Fourteen", "Fifteen", "Sixteen"),
    *("Seventeen", "Eighteen", "Nineteen", "Twenty"),
)


class Pictured(Protocol):
    """Anything that draws itself: the picture beside a name on a list."""

    def picture_svg(self) -> str: ...


@register.filter
def pounds(pence: int | None) -> str:
    return "" if pence is None else money.show_pounds(pence)


@register.filter
def day(value: date | None) -> str:
    return "" if value is None else days.show_day(value)


@register.filter
def day_short(value: date | None) -> str:
    return "" if value is None else days.show_day_short(value)


@register.filter
def moment(value: datetime | None) -> str:
    return "" if value is None else days.show_moment(value)


@register.filter
def clock(value: datetime | time | None) -> str:
    """Write “16:45” for a moment, or for a time of day that belongs to no day."""
    if isinstance(value, time):
        return value.isoformat("minutes")
    return "" if value is None else days.show_clock(value)


@register.filter
def inches(value: Fraction | None) -> str:
    return "" if value is None else lengths.show_inches(value)


@register.filter
def signed(count: int) -> str:
    """Write a step of a sum: "+ 19" or "− 2", with the minus sign of arithmetic."""
    return f"{MINUS if count < 0 else '+'}\u00a0{abs(count)}"


@register.filter
def signed_pounds(pence: int) -> str:
    sign = MINUS if pence < 0 else "+"
    return f"{sign}\u00a0{money.show_pounds(abs(pence))}"


@register.filter
def plural_words(count: int, words: str) -> str:
    """Write "1 set" or "3 sets"; give both for an odd plural: "box,boxes"."""
    one, _, many = words.partition(",")
    return f"{count} {one if count == 1 else many or one + 's'}"


@register.filter
def in_words(count: int) -> str:
    """Write a number up to twenty as the first word of a sentence."""
    if not 0 <= count < len(SMALL_NUMBERS):
        return str(count)
    return SMALL_NUMBERS[count]


@register.simple_tag
def item_picture(item: Pictured, size: int = 64) -> SafeString:
    """Draw the item beside its name, hidden from readers aloud: the name says it.

    The drawing comes from the studio's own code, so its marks are trusted.
    """
    if size not in PICTURE_SIZES:
        raise template.TemplateSyntaxError(
            f"A picture is one of {PICTURE_SIZES} px wide, not {size}."
        )
    drawing = mark_safe(item.picture_svg())  # noqa: S308
    return format_html(
        '<span class="item-picture picture-{}" aria-hidden="true">{}</span>',
        size,
        drawing,
    )
