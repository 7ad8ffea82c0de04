"""Let the database itself refuse to change what is written in the ledger.

Deleting is refused by the querysets and by PROTECT; a trigger against it would
also stop a test database from being emptied.
"""

from django.db import migrations

TABLES = ("inventory_entry", "inventory_movement")
SAID = "The ledger is append-only: take the entry back instead."


def forbid_updates(apps, schema_editor):
    for table in TABLES:
        for statement in statements(schema_editor.connection.vendor, table):
            schema_editor.execute(statement)


def statements(vendor, table):
    if vendor == "sqlite":
        return [
            f"CREATE TRIGGER {table}_stays BEFORE UPDATE ON {table} "
            f"BEGIN SELECT RAISE(ABORT, '{SAID}'); END"
        ]
    return [
        f"CREATE FUNCTION {table}_stays() RETURNS trigger AS $$ "
        f"BEGIN RAISE EXCEPTION '{SAID}'; END $$ LANGUAGE plpgsql",
        f"CREATE TRIGGER {table}_stays BEFORE UPDATE ON {table} "
        f"FOR EACH ROW EXECUTE FUNCTION {table}_stays()",
    ]


def allow_updates(apps, schema_editor):
    postgres = schema_editor.connection.vendor != "sqlite"
    for table in TABLES:
        on_table = f" ON {table}" if postgres else ""
        schema_editor.execute(f"DROP TRIGGER {table}_stays{on_table}")
        if postgres:
            schema_editor.execute(f"DROP FUNCTION {table}_stays()")


class Migration(migrations.Migration):
    dependencies = [("inventory", "0001_first")]

    operations = [migrations.RunPython(forbid_updates, allow_updates)]
