"""History, work events and decisions can be added, never changed or removed: the database says so."""

from django.db import migrations

TABLES = ("jobs_auditevent", "jobs_workevent", "jobs_decision")


def statements(vendor, tables):
    """(create, drop) statements that guard `tables` on this kind of database."""
    create, drop = [], []
    if vendor == "postgresql":
        create.append(
            "CREATE OR REPLACE FUNCTION upfit_append_only() RETURNS trigger AS $$ BEGIN "
            "RAISE EXCEPTION '% is append-only', TG_TABLE_NAME; END $$ LANGUAGE plpgsql"
        )
    for table in tables:
        if vendor == "postgresql":
            create.append(
                f"CREATE TRIGGER {table}_rows BEFORE UPDATE OR DELETE ON {table} "
                f"FOR EACH ROW EXECUTE FUNCTION upfit_append_only()"
            )
            create.append(
                f"CREATE TRIGGER {table}_all BEFORE TRUNCATE ON {table} "
                f"FOR EACH STATEMENT EXECUTE FUNCTION upfit_append_only()"
            )
            drop += [f"DROP TRIGGER IF EXISTS {table}_{part} ON {table}" for part in ("rows", "all")]
        else:
            for verb in ("UPDATE", "DELETE"):
                name = f"{table}_{verb.lower()}"
                create.append(
                    f"CREATE TRIGGER {name} BEFORE {verb} ON {table} "
                    f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
                )
                drop.append(f"DROP TRIGGER IF EXISTS {name}")
    return create, drop


def guard(apps, schema_editor):
    for sql in statements(schema_editor.connection.vendor, TABLES)[0]:
        schema_editor.execute(sql, params=None)


def unguard(apps, schema_editor):
    for sql in statements(schema_editor.connection.vendor, TABLES)[1]:
        schema_editor.execute(sql, params=None)


class Migration(migrations.Migration):
    dependencies = [("jobs", "0001_initial")]
    operations = [migrations.RunPython(guard, unguard)]
