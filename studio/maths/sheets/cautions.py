"""What to mind when plastic sheet is cut (common practice)."""

from __future__ import annotations

ALWAYS = (
    "Cut only plastic you know by its data sheet, never PVC, vinyl or an unknown "
    "plastic: their fumes harm lungs and machine.",
    "The machine's manual and the rules of the place come first.",
)
LASER = (
    "Extraction on before, while and after it cuts, the lid shut, and never leave it "
    "unattended.",
    "Let the box clear before it is opened, and keep a CO₂ extinguisher beside it.",
)
SAW = (
    "Guard and riving knife on, a push-stick near the blade, no gloves, the sheet "
    "clamped or held down, eyes and ears covered, dust drawn away.",
    "Cut small pieces from a larger sheet, never held in the hand.",
)


def for_cutting(*, saw: bool) -> tuple[str, ...]:
    """Give the cautions to print with a sheet."""
    return (*(SAW if saw else LASER), *ALWAYS)
