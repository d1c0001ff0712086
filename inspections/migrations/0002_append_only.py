"""Results, their photos and acceptances can be added, never changed or removed: the database says so."""

from importlib import import_module

from django.db import migrations

statements = import_module("jobs.migrations.0002_append_only").statements

TABLES = ("inspections_result", "inspections_resultphoto", "inspections_acceptance")


def guard(apps, schema_editor):
    for sql in statements(schema_editor.connection.vendor, TABLES)[0]:
        schema_editor.execute(sql, params=None)


def unguard(apps, schema_editor):
    for sql in statements(schema_editor.connection.vendor, TABLES)[1]:
        schema_editor.execute(sql, params=None)


class Migration(migrations.Migration):
    dependencies = [("inspections", "0001_initial"), ("jobs", "0002_append_only")]
    operations = [migrations.RunPython(guard, unguard)]
