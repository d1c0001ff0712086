import pytest

from jobs.build_sheet.prepared import Prepared
from jobs.models import Circuit
from tests.factories import make_wired_job

pytestmark = pytest.mark.django_db

NAMES = ("id", "ref", "feed__ref", "device_ma")


def _circuits(job: int):
    return Circuit.objects.filter(job_id=job).order_by("ref")


def test_rows_are_those_of_the_query_it_was_made_from():
    first, second = make_wired_job(), make_wired_job()
    twin = second.circuits.get()
    twin.pk, twin.ref = None, "A-02"
    twin.save()
    prepared = Prepared(_circuits, NAMES)
    for job in (second, first, second):
        expected = _circuits(job.pk).values_list(*NAMES, named=True)
        rows = prepared.of(job.pk)
        assert rows == list(expected)
        assert rows[0]._fields == NAMES
    assert prepared.of(0) == []


def test_a_query_that_depends_on_more_than_the_job_is_refused():
    with pytest.raises(ValueError, match="on the job alone"):
        Prepared(lambda job: _circuits(job).filter(ref="A-01"), NAMES).of(1)
