"""An index of pieces of part numbers, where PostgreSQL has pg_trgm and lets us use it; what is found is the same without.

A number is then found by a piece of it in a millisecond instead of by reading a million. Not part of the models, because
neither SQLite nor a PostgreSQL without that extension has it.
"""

from django.db import DatabaseError, migrations, transaction

INDEX = "part_number_pieces"


def build(apps, schema_editor):
    connection = schema_editor.connection
    if connection.vendor != "postgresql":
        return
    table = connection.ops.quote_name(apps.get_model("parts", "PartNumber")._meta.db_table)
    try:
        with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
            cursor.execute("CREATE EXTENSION IF NOT EXISTS pg_trgm")
            cursor.execute(f"CREATE INDEX {INDEX} ON {table} USING gin (normalised gin_trgm_ops)")
    except DatabaseError as refused:
        print(f"\n  Part numbers are searched without an index of pieces: {str(refused).splitlines()[0]}")


def drop(apps, schema_editor):
    if schema_editor.connection.vendor == "postgresql":
        with schema_editor.connection.cursor() as cursor:
            cursor.execute(f"DROP INDEX IF EXISTS {INDEX}")


class Migration(migrations.Migration):
    dependencies = [("parts", "0001_initial")]
    operations = [migrations.RunPython(build, drop)]
