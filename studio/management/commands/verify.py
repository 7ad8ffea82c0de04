from __future__ import annotations

import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from studio import backups, proof
from studio.checks import uses_sqlite


class Command(BaseCommand):
    help = "Add up the whole stock from the first entry and compare every balance."

    def handle(self, *_args: Any, **_options: Any) -> None:
        if uses_sqlite() and not backups.has_tables():
            raise CommandError(str(backups.NoBookYet()))
        found = proof.prove_book()
        for fault in found.faults:
            self.stdout.write(fault)
        self.stdout.write(found.sentence)
        self.stdout.write(found.about_database)
        if found.faults:
            self.stdout.write(
                "Nothing was changed. Make a copy of the book as it is, then count "
                "what is named above: a count writes what is there."
            )
            sys.exit(1)
