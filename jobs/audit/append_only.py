"""Tables whose rows can be added, never changed or removed: the database itself says so.

The guard is put up again after every migration, because SQLite drops a table's triggers whenever
a migration rebuilds the table.
"""

from collections.abc import Sequence
from typing import Any

from django.db import connections

FUNCTION = (
    "CREATE OR REPLACE FUNCTION upfit_append_only() RETURNS trigger AS $$ BEGIN "
    "RAISE EXCEPTION '% is append-only', TG_TABLE_NAME; END $$ LANGUAGE plpgsql"
)


def take_down(vendor: str, table: str) -> list[str]:
    if vendor == "postgresql":
        return [f"DROP TRIGGER IF EXISTS {table}_{part} ON {table}" for part in ("rows", "all")]
    return [f"DROP TRIGGER IF EXISTS {table}_{verb}" for verb in ("update", "delete")]


def put_up(vendor: str, table: str) -> list[str]:
    if vendor == "postgresql":
        return [
            FUNCTION,
            f"CREATE TRIGGER {table}_rows BEFORE UPDATE OR DELETE ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION upfit_append_only()",
            f"CREATE TRIGGER {table}_all BEFORE TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION upfit_append_only()",
        ]
    return [
        f"CREATE TRIGGER {table}_{verb} BEFORE {verb} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
        for verb in ("update", "delete")
    ]


def guard_tables(*, tables: Sequence[str], using: str = "default", up: bool = True) -> None:
    """Put the guard of these tables up, or take it down (tests clean up without it)."""
    connection = connections[using]
    present = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for table in tables:
            if table not in present:
                continue
            for sql in take_down(connection.vendor, table):
                cursor.execute(sql)
            for sql in put_up(connection.vendor, table) if up else []:
                cursor.execute(sql)


def guard_after_migrate(sender: Any, using: str, **kwargs: Any) -> None:
    """Signal handler. A flush sends the signal too, but without a plan, and changes no table."""
    if "plan" in kwargs:
        guard_tables(tables=sender.append_only, using=using)
