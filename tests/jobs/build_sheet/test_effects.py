import pytest

from jobs.build_sheet.effects import effect_of, problems_of
from jobs.electrical.changes import ChangeKind
from jobs.models import Circuit
from tests.factories import make_wired_job

pytestmark = pytest.mark.django_db


def test_effect_of_tells_what_a_longer_run_breaks_and_takes_it_back():
    job = make_wired_job(awg="16")
    before = problems_of(job)

    def lengthen():
        Circuit.objects.filter(job=job).update(length_mm=20_000)

    changes = effect_of(job, lengthen)
    assert any(
        change.kind is ChangeKind.APPEARED and change.after.rule == "voltage_drop"
        for change in changes
    )
    assert problems_of(job) == before
    assert float(job.circuits.get().length_mm) == 3048.0
