from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from studio import opening, serving
from studio.errors import StudioError


class BookNotUpToDate(StudioError):
    """Pages would meet tables that are not there yet."""

    def __str__(self) -> str:
        return (
            "The book is not up to date with this Bench & Post. Type "
            "python3 manage.py start, which makes a copy and brings it up to date."
        )


class Command(BaseCommand):
    help = "Serve the pages of a book that is up to date, and change nothing first."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int)
        parser.add_argument("--host", default=serving.EVERYWHERE)

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            if opening.waits_for_migration():
                raise BookNotUpToDate
            serving.serve(options["host"], options["port"])
        except StudioError as refused:
            raise CommandError(str(refused)) from refused
