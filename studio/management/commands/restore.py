from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from studio import restoring
from studio.errors import StudioError


class Command(BaseCommand):
    help = "Put a copy back, after checking it; the book that was there is kept aside."
    # The book may be broken, or of another release: that is why a copy is put back.
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE")

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            done = restoring.restore(options["file"])
        except StudioError as refused:
            raise CommandError(str(refused)) from refused
        self.stdout.write(f"{done.path.name} is put back: {done.rows:,} rows.")
        if done.aside is not None:
            self.stdout.write(f"The book that was there is kept as {done.aside}.")
        self.stdout.write("Type python3 manage.py start to open the studio on it.")
