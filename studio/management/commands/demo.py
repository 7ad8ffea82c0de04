from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from studio import clock, opening, serving
from studio.demo import papers
from studio.demo.loading import NotTheDemo, load_demo
from studio.demo.report import report
from studio.errors import StudioError


class Command(BaseCommand):
    help = "Open a made-up studio: load it, say its state, write its papers, serve it."
    # Said by `look_round`, in sentences.
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--no-serve", action="store_true", help="Stop before serving the pages."
        )
        parser.add_argument("--port", type=int)
        parser.add_argument(
            "--only-here",
            action="store_true",
            help="Answer this computer alone, not the home network.",
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            self.open_demo(serve=not options["no_serve"], options=options)
        except StudioError as refused:
            raise CommandError(str(refused)) from refused
        except NotTheDemo as theirs:
            raise CommandError(
                f"The folder of the demo holds {theirs}, which is not the demo. "
                "Move that folder away, then run the same line again."
            ) from theirs

    def open_demo(self, *, serve: bool, options: dict[str, Any]) -> None:
        say = serving.say_on_screen
        opening.look_round(say)
        opening.make_ready(say)
        if not load_demo(say):
            say("The demo studio is here already; nothing in it was changed.")
        say("")
        for line in report(clock.now()):
            say(line)
        say("")
        for line in papers.write_papers(clock.now()):
            say(line)
        if serve:
            host = serving.LOOPBACK if options["only_here"] else serving.EVERYWHERE
            serving.serve(host, options["port"])
