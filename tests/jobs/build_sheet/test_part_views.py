import pytest
from django.urls import reverse

from catalog.actions import revise_part
from catalog.models import Part
from jobs.models import AuditEvent, Job
from tests.factories import make_datasheet, make_job, make_wired_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def revised(manager):
    """A job whose grille heads got a thirstier datasheet after it was designed."""
    job = make_wired_job()
    part = job.lines.get().part.part
    sheet = make_datasheet(draws=[{"average_ma": 3_000, "peak_ma": 3_000, "colour": "red"}])
    revise_part(part=part, base_number=1, datasheet=sheet, reason="New", by=manager)
    return job, Part.objects.get(pk=part.pk)


def test_part_effect_shows_each_open_job_and_what_changes(client, technician, revised):
    job, part = revised
    client.force_login(technician)
    page = client.get(reverse("jobs:part_effect", args=[part.code])).content.decode()
    assert job.number in page
    assert f"Taking revision {part.current.number} changes" in page
    assert "Appears" in page and "12 A" in page
    assert job.lines.get().part.number == 1
    assert "Take revision" not in page  # a technician looks only
    detail = client.get(reverse("catalog:part_detail", args=[part.code])).content.decode()
    assert reverse("jobs:part_effect", args=[part.code]) in detail


def test_part_effect_leaves_out_jobs_that_are_done(client, technician, revised):
    job, part = revised
    Job.objects.filter(pk=job.pk).update(state=Job.State.DELIVERED)
    client.force_login(technician)
    page = client.get(reverse("jobs:part_effect", args=[part.code])).content.decode()
    assert "No open job has this part" in page


def test_part_take_puts_the_revision_on_the_job_once(client, designer, revised):
    job, part = revised
    client.force_login(designer)
    where = reverse("jobs:part_take", args=[part.code, job.number])
    for words in ("1 line of job", "already"):
        assert words in client.post(where, follow=True).content.decode()
    assert job.lines.get().part == part.current
    assert AuditEvent.objects.filter(job=job.number, verb="changed").count() == 1


def test_part_take_is_the_designers_and_of_open_jobs(client, designer, technician, revised):
    job, part = revised
    where = reverse("jobs:part_take", args=[part.code, job.number])
    client.force_login(technician)
    assert client.post(where).status_code == 403
    client.force_login(designer)
    assert client.get(where).status_code == 405
    done = make_job(state=Job.State.DELIVERED)
    assert client.post(reverse("jobs:part_take", args=[part.code, done.number])).status_code == 404
    assert client.get(reverse("jobs:part_effect", args=["NOPE"])).status_code == 404
