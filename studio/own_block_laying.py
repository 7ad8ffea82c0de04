"""What each button does while a block is laid out. Nothing here is kept."""

from __future__ import annotations

from studio.errors import StudioError
from studio.maths.blocks import Cell
from studio.maths.own_layouts import Layout, Place
from studio.own_block_forms import PLACE, LayingForm


def press(form: LayingForm, button: str, at: str = "") -> None:
    """Read what was sent, put what is in hand in its place, and do as was pressed.

    ``at`` is the place that was pressed. What cannot be done is said by the form, and
    then the layout stays as it was.
    """
    form.read()
    layout = form.layout
    if layout is None:
        return
    try:
        place = place_of(at)
        if button != "out" and (place is None or layout.at(place)):
            layout = with_hand(form, layout)
        if not form.errors:
            layout = done(form, layout, button, place)
    except StudioError as error:
        form.refuse(error)
    form.keep_layout(layout)


def with_hand(form: LayingForm, layout: Layout) -> Layout:
    """Put what is in hand where it was taken up, unless the lines were typed into."""
    place = form.place
    if place is None or form.lines_are_new or not begins(layout, place):
        return layout
    return laid(form, layout, place)


def done(form: LayingForm, layout: Layout, button: str, at: Place | None) -> Layout:
    """Do as was pressed."""
    if at is not None:
        return touched(form, layout, at)
    place = form.place
    if place is None or button not in ("put", "out"):
        return layout
    if button == "out":
        layout = layout.without(layout.at(place))
    else:
        layout = laid(form, layout, place)
    form.lay_down(place)
    return layout


def touched(form: LayingForm, layout: Layout, at: Place) -> Layout:
    """Take up what lies at a place; lay what is in hand where nothing lies."""
    lying = layout.at(at)
    if lying is not None:
        form.take_up(lying)
        return layout
    if outside(layout, at):
        return layout
    form.lay_down(at)
    return laid(form, layout, at)


def laid(form: LayingForm, layout: Layout, place: Place) -> Layout:
    """Lay what is in hand at a place, and in its turns if they are asked for."""
    placed = form.in_hand(place)
    if placed is None:
        return layout
    if form.cleaned_data["four"]:
        return layout.with_four(placed)
    return layout.with_cell(placed)


def begins(layout: Layout, place: Place) -> Cell | None:
    """Give the patch whose upper left step is this place."""
    lying = layout.at(place)
    if lying is None:
        return None
    return lying if [lying.x + 1, lying.y + 1] == list(place) else None


def outside(layout: Layout, place: Place) -> bool:
    return not (1 <= place[0] <= layout.across and 1 <= place[1] <= layout.down)


def place_of(at: str) -> Place | None:
    found = PLACE.fullmatch(at)
    return (int(found[1]), int(found[2])) if found else None
