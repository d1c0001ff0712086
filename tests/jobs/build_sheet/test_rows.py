"""Rows read once for an edit: a circuit taken from them is the circuit that the database holds."""

from datetime import date
from decimal import Decimal

import pytest

from jobs.build_sheet.rows import circuit_in, job_by, rows_of
from jobs.models import Circuit, Job, Node
from tests.factories import make_job, make_wired_job

pytestmark = pytest.mark.django_db


def test_circuit_in_is_the_row_of_the_database_field_by_field():
    job = make_wired_job(drop_limit_percent=Decimal("2.5"), colour="pink", intermittent=True)
    row = job.circuits.get()
    row.node = Node.objects.create(job=job, ref="N1", feed=row.feed)
    row.save()
    found = circuit_in(rows_of(job), row.pk)
    kept = Circuit.objects.get(pk=row.pk)
    for field in Circuit._meta.concrete_fields:
        assert getattr(found, field.attname) == getattr(kept, field.attname), field.name
        assert type(getattr(found, field.attname)) is type(getattr(kept, field.attname))
    assert (found.feed.ref, found.node.ref) == (kept.feed.ref, "N1")
    assert found.feed.name == kept.feed.name  # fetched when asked for
    assert not found._state.adding


def test_circuit_in_knows_no_circuit_of_another_job():
    assert circuit_in(rows_of(make_job()), make_wired_job().circuits.get().pk) is None


def test_job_by_is_the_row_of_the_database_field_by_field():
    job = make_job(promised_on=date(2026, 12, 1))
    found, kept = job_by(job.number), Job.objects.get(pk=job.pk)
    for field in Job._meta.concrete_fields:
        assert getattr(found, field.attname) == getattr(kept, field.attname), field.name
    assert found == kept and job_by("no such job") is None
