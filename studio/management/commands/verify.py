from __future__ import annotations

import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from studio import backups, proof, sales_proof
from studio.checks import uses_sqlite


class Command(BaseCommand):
    help = (
        "Add up the whole stock from the first entry and compare every balance, and "
        "the record of sales with its orders, selling days and returns."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--sales",
            action="store_true",
            help="Write the days of sales that do not agree as they add up.",
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        if uses_sqlite() and not backups.has_tables():
            raise CommandError(str(backups.NoBookYet()))
        if options["sales"]:
            self.mend()
        found = proof.prove_book()
        self.tell(found)
        if found.faults or found.sales_faults:
            sys.exit(1)

    def mend(self) -> None:
        mended = sales_proof.mend_sales()
        self.stdout.write(f"Days of sales written as they add up: {mended:,}.")

    def tell(self, found: proof.Proof) -> None:
        for fault in (*found.faults, *found.sales_faults):
            self.stdout.write(fault)
        self.stdout.write(found.sentence)
        self.stdout.write(found.about_sales)
        self.stdout.write(found.about_database)
        if found.faults:
            self.stdout.write(
                "No balance was changed. Make a copy of the book as it is, then count "
                "what is named above: a count writes what is there."
            )
        if found.sales_faults:
            self.stdout.write(sales_proof.WHAT_TO_DO)
