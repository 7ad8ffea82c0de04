"""Address labels on A4 sheets: nothing but the address stands on a label.

A line of ten points takes 1.2 times its height, 4.23 mm, and text keeps 3 mm from the
edge, so that a label of 38.1 mm holds seven lines.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from orders.actions.asking import address_of
from orders.addresses import label_lines
from orders.models import Packet
from orders.queries.packet_papers import Printable, packets_to_print
from studio import label_sheets, printing
from studio.errors import StudioError
from studio.label_sheets import KNOWN_SHEETS, LabelSheet
from studio.models import StudioSettings

TEMPLATE = "orders/print/labels.html"
LINE_HUNDREDTHS_MM = 423
CLEAR_HUNDREDTHS_MM = 600


@dataclass(frozen=True)
class LabelChoice:
    """A sheet, its first free label, and how far the printer is off."""

    sheet: LabelSheet = KNOWN_SHEETS["3x7"]
    first: int = 1
    nudge_x_tenths_mm: int = 0
    nudge_y_tenths_mm: int = 0
    is_test: bool = False

    @property
    def css(self) -> str:
        rules = label_sheets.stylesheet(
            self.sheet,
            nudge_x_tenths_mm=self.nudge_x_tenths_mm,
            nudge_y_tenths_mm=self.nudge_y_tenths_mm,
        )
        outline = "\n.label { border: 0.2mm solid #000; }" if self.is_test else ""
        return rules + outline

    @property
    def lines_that_fit(self) -> int:
        room = self.sheet.height_hundredths_mm - CLEAR_HUNDREDTHS_MM
        return room // LINE_HUNDREDTHS_MM


@dataclass(frozen=True)
class AddressLabel:
    lines: tuple[str, ...]
    number: str = ""


class LabelTooSmall(StudioError):
    """An address has more lines than a label has room for."""

    def __init__(self, packet_number: int, lines: int, fit: int) -> None:
        self.packet_number, self.lines, self.fit = packet_number, lines, fit
        super().__init__(
            f"The address of packet {packet_number} has {lines} lines, and a label of "
            f"this sheet holds {fit}. Choose a sheet with larger labels."
        )


def address_label(packet: Packet) -> AddressLabel:
    order = packet.orders.all()[0]
    return AddressLabel(label_lines(address_of(order), order.recipient_name))


def labels_of(packets: Sequence[Packet], choice: LabelChoice) -> list[AddressLabel]:
    """Return a label a packet, or numbered outlines for a test on plain paper.

    Raises LabelTooSmall.
    """
    if choice.is_test:
        places = range(1, choice.sheet.count + 1)
        return [AddressLabel((), str(number)) for number in places]
    labels = [address_label(packet) for packet in packets]
    for packet, label in zip(packets, labels, strict=True):
        if len(label.lines) > choice.lines_that_fit:
            raise LabelTooSmall(packet.number, len(label.lines), choice.lines_that_fit)
    return labels


def labels_context(
    what: Printable, now: datetime, choice: LabelChoice
) -> dict[str, object]:
    """Lay the labels out. Raises LabelTooSmall, or NoSuchLabel beyond the sheet."""
    labels = labels_of(packets_to_print(what), choice)
    first = 1 if choice.is_test else choice.first
    return {
        "studio": StudioSettings.objects.filter(pk=1).first(),
        "printed_at": now,
        "label_sheets": label_sheets.lay_out(choice.sheet, labels, first_free=first),
    }


def labels_pdf(
    what: Printable, now: datetime, choice: LabelChoice | None = None
) -> bytes:
    """Print address labels. Raises PdfUnavailable."""
    choice = choice or LabelChoice()
    return printing.render_pdf(
        TEMPLATE,
        labels_context(what, now, choice),
        title="Address labels",
        css=choice.css,
    )
