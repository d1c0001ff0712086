import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

from jobs.audit.append_only import guard_tables
from jobs.audit.record import record
from jobs.models import AuditEvent

pytestmark = pytest.mark.django_db
GUARDED = [
    *apps.get_app_config("jobs").append_only,
    *apps.get_app_config("inspections").append_only,
]


def test_every_guarded_table_exists():
    assert set(GUARDED) <= set(connection.introspection.table_names())


@pytest.mark.parametrize(
    "attack",
    [
        lambda event: AuditEvent.objects.filter(pk=event.pk).update(sentence="x"),
        lambda event: AuditEvent.objects.filter(pk=event.pk).delete(),
        lambda event: event.delete(),
        lambda event: AuditEvent.objects.bulk_update([event], ["sentence"]),
        lambda event: event.save(),
    ],
)
def test_history_cannot_be_changed(manager, attack):
    event = record(by=manager, verb="x", subject=manager, sentence="As it was")
    event.sentence = "As it was not"
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        attack(event)
    assert AuditEvent.objects.get(pk=event.pk).sentence == "As it was"


def test_history_cannot_be_replaced_on_sqlite(manager):
    if connection.vendor != "sqlite":
        return  # INSERT OR REPLACE exists on SQLite only
    event = record(by=manager, verb="x", subject=manager, sentence="As it was")
    sql = (
        "INSERT OR REPLACE INTO jobs_auditevent "
        "(id, at, who, verb, job, subject_kind, subject_id, sentence) "
        f"VALUES ({event.pk}, '2026-01-01', '', '', '', '', '', 'x')"
    )
    with (
        pytest.raises(DatabaseError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(sql)


def test_guard_is_put_up_again_by_migrate(manager):
    guard_tables(tables=GUARDED, up=False)
    call_command("migrate", verbosity=0)
    event = record(by=manager, verb="x", subject=manager, sentence="As it was")
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        event.delete()
