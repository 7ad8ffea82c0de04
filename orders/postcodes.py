"""Read UK postcodes: their shape, never whether they exist.

Six shapes and letters by position: the learner-record specification, appendix
“Valid postcode format” (GOV.UK, 2017) and the schema of BS 7666; the letter P in
third place is in newer lists (from memory). A shape only ever warns.
"""

from __future__ import annotations

import re
from itertools import product

_FIRST = "[A-PR-UWYZ]"
_SECOND = "[A-HK-Y]"
_LAST_TWO = "[ABD-HJLNP-UW-Z]{2}"
_OUTWARD = (
    f"(?:{_FIRST}[0-9]{{1,2}}"
    f"|{_FIRST}{_SECOND}[0-9]{{1,2}}"
    f"|{_FIRST}[0-9][ABCDEFGHJKPSTUW]"
    f"|{_FIRST}{_SECOND}[0-9][ABEHMNPRVWXY])"
)
# One girobank code outlived its bank; forces mail has numbers instead.
_SHAPE = re.compile(f"{_OUTWARD}[0-9]{_LAST_TWO}|GIR0AA|BFPO[0-9]{{1,4}}")
_FORCES = re.compile("BFPO[0-9]{1,4}")
_LOOKALIKES = {"O": "O0", "0": "0O", "I": "I1", "1": "1I"}
_INWARD_LENGTH = 3


def normalise_postcode(text: str) -> str:
    """Write it in capitals with one space before the last three characters."""
    bare = _bare(text)
    if _FORCES.fullmatch(bare):
        return f"BFPO {bare[4:]}"
    if len(bare) <= _INWARD_LENGTH:
        return bare
    return f"{bare[:-_INWARD_LENGTH]} {bare[-_INWARD_LENGTH:]}"


def postcode_shape_ok(text: str) -> bool:
    return _SHAPE.fullmatch(_bare(text)) is not None


def suggest_postcode(text: str) -> str | None:
    """Offer the one code that a mix-up of O and 0, or I and 1, can explain."""
    bare = _bare(text)
    if postcode_shape_ok(bare) or len(bare) > len("AA9A9AA"):
        return None
    readings = product(*(_LOOKALIKES.get(sign, sign) for sign in bare))
    fitting = [r for r in map("".join, readings) if postcode_shape_ok(r)]
    return normalise_postcode(fitting[0]) if len(fitting) == 1 else None


def postcode_warning(text: str) -> str | None:
    """Ask about a code that has no known shape; it is kept all the same."""
    if postcode_shape_ok(text):
        return None
    typed = " ".join(text.split())
    if not typed:
        return "There is no postcode. Ask the customer for it."
    likely = suggest_postcode(text)
    question = f"Is it {likely}?" if likely else "Check it with the customer."
    return f"“{typed}” does not look like a UK postcode. {question}"


def _bare(text: str) -> str:
    return re.sub("[^A-Z0-9]", "", text.upper())
