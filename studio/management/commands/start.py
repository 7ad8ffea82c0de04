from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from studio import opening, serving
from studio.errors import StudioError


class Command(BaseCommand):
    help = "Open your own studio: bring the book up to date and serve its pages."
    # Said by `look_round`, in sentences.
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--port", type=int, help="Another port than BENCH_POST_PORT says."
        )
        parser.add_argument(
            "--only-here",
            action="store_true",
            help="Answer this computer alone, not the home network.",
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        host = serving.LOOPBACK if options["only_here"] else serving.EVERYWHERE
        try:
            opening.look_round(serving.say_on_screen)
            opening.make_ready(serving.say_on_screen)
            opening.make_daily_copy(serving.say_on_screen)
            serving.serve(host, options["port"])
        except StudioError as refused:
            raise CommandError(str(refused)) from refused
