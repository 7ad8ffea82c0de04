"""The papers of the post, each as a function from packets and a moment to a PDF."""

from __future__ import annotations

from orders.prints.labels import LabelChoice, labels_pdf
from orders.prints.pick_list import pick_list_pdf
from orders.prints.run_list import post_run_pdf
from orders.prints.slips import packing_slips_pdf

__all__ = [
    "LabelChoice",
    "labels_pdf",
    "packing_slips_pdf",
    "pick_list_pdf",
    "post_run_pdf",
]
