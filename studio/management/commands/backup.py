from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from studio import backups
from studio.errors import StudioError


class Command(BaseCommand):
    help = "Make a checked copy of the book, while the studio may be open."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--to",
            type=Path,
            metavar="FOLDER",
            help="Put it there, on a stick perhaps, and thin nothing out.",
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            made = backups.make_copy(options["to"])
        except StudioError as refused:
            raise CommandError(str(refused)) from refused
        self.stdout.write(made.sentence)
        self.stdout.write(f"It is here: {made.path}")
