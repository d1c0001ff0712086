import pytest
from django.utils import timezone

from jobs.build_sheet.standings import design_standings
from jobs.intake.spine import Now
from jobs.models import DesignRevision, Job
from tests.factories import make_job, make_wired_job

pytestmark = pytest.mark.django_db


def told(job):
    return design_standings([job])[job.pk]


def keep(job, number, **release):
    return DesignRevision.objects.create(
        job=job, number=number, made_by="Dan", design={}, findings=[], digest="0" * 64, **release
    )


def released():
    return {"released_by": "Dora", "released_at": timezone.now()}


@pytest.mark.parametrize(("state", "now"), [("enquiry", Now.LATER), ("approved", Now.OPEN)])
def test_an_empty_build_sheet_is_entered_first(state, now):
    found = told(make_job(state=state))
    assert (found.now, found.action.words) == (now, "Enter the build sheet")


def test_circuits_are_checked_and_kept():
    job = make_wired_job(job=make_job(state="approved"))
    found = told(job)
    assert found.action.words == "Check and keep the design"
    assert found.detail.endswith("circuits") or found.detail == "1 circuit"


def test_a_kept_design_waits_for_its_release_and_then_is_done():
    job = make_job(state="approved")
    keep(job, 1)
    assert told(job).action.words == "Release design revision 1"
    DesignRevision.objects.update(**released())
    assert (told(job).now, told(job).detail) == (Now.DONE, "Revision 1 released")


def test_a_newer_design_must_be_released_too():
    job = make_job(state="building")
    keep(job, 1, **released())
    keep(job, 2)
    assert told(job).action.words == "Release design revision 2"


def test_many_jobs_cost_two_queries(django_assert_num_queries):
    for _ in range(5):
        keep(make_job(), 1)
    jobs = list(Job.objects.all())
    with django_assert_num_queries(2):
        design_standings(jobs)
