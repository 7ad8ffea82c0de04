"""Read the demo's fixtures: files a person could have typed."""

from __future__ import annotations

import csv
import json
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID, uuid5

from django.conf import settings

from studio.days import LONDON

FOLDER: Path = settings.BASE_DIR / "fixtures" / "demo"
# Every act of the demo has an id made from its name, so that a second run says the
# same things again and the ledger takes them once.
DEMO = UUID("5f1c2f0a-0d7e-4d57-9f0e-0b5d4e1a2c3d")


def act(name: str) -> UUID:
    return uuid5(DEMO, name)


def rows(name: str) -> list[dict[str, str]]:
    with (FOLDER / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def typed(name: str) -> Any:
    return json.loads((FOLDER / name).read_text(encoding="utf-8"))


def moment(text: str) -> datetime:
    """Read `2027-03-03 15:00` as London time."""
    return datetime.fromisoformat(text).replace(tzinfo=LONDON)


def yes(text: str) -> bool:
    return text == "yes"
