"""Write rows of many tables straight into SQLite, past Django's models.

Keys are given out here, so that a row can point to one that is not written yet; the
links are checked when the transaction ends. Values are what SQLite stores: moments
and days as text, ids as 32 hexadecimal digits, JSON as text.
"""

from collections import defaultdict

from django.db import connection
from django.db.models import Max

FULL = 40_000


class RowWriter:
    def __init__(self):
        self._waiting = defaultdict(list)
        self._blank = {}
        self._last = {}
        self._requests = 0

    def new_key(self, model):
        self._last[model] = self.last_key(model) + 1
        return self._last[model]

    def last_key(self, model):
        if model not in self._last:
            self._last[model] = model.objects.aggregate(last=Max("pk"))["last"] or 0
        return self._last[model]

    def new_request(self):
        """Return a request id that no act of the demo has had."""
        self._requests += 1
        return f"7e57{self._requests:028x}"

    def add(self, model, **columns):
        """Keep a row back; columns that are not named take the field's default."""
        waiting = self._waiting[model]
        waiting.append(tuple((self._blank_row(model) | columns).values()))
        if len(waiting) >= FULL:
            self._write_table(model)

    def write(self):
        for model in list(self._waiting):
            self._write_table(model)

    def _blank_row(self, model):
        if model not in self._blank:
            self._blank[model] = {
                field.column: field.get_db_prep_save(field.get_default(), connection)
                for field in model._meta.concrete_fields
            }
        return self._blank[model]

    def _write_table(self, model):
        columns = list(self._blank_row(model))
        names = ", ".join(f'"{column}"' for column in columns)
        marks = ", ".join(["%s"] * len(columns))
        line = f'INSERT INTO "{model._meta.db_table}" ({names}) VALUES ({marks})'  # noqa: S608
        with connection.cursor() as cursor:
            # The names are the models' own. A row too long is refused by its length.
            cursor.executemany(line, self._waiting.pop(model))
