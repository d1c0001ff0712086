import pytest
from django.urls import reverse

from inspections.checklists.generate import generate_checks
from inspections.models import Check
from jobs.coverage.standing import coverage
from jobs.coverage.templates import kinds, questions
from jobs.models import Requirement, RequirementLink
from tests.factories import make_job, make_requirement, make_wired_job, make_working_unit

pytestmark = pytest.mark.django_db


def url(name, job, *args):
    return reverse(f"jobs:{name}", args=[job.number, *args])


def gaps(job):
    return {str(row.requirement): row.gaps for row in coverage(job)}


def test_every_kind_of_vehicle_has_questions_and_none_twice():
    assert len(kinds()) >= 5
    for kind in kinds():
        texts = [one["text"] for one in questions(kind)]
        assert len(texts) == len(set(texts)) > 25


def test_an_intake_list_becomes_open_questions_once(client, manager):
    job = make_job()
    client.force_login(manager)
    assert "Rescue van" in client.get(url("requirement_template", job)).content.decode()
    where = url("requirement_template", job) + "?kind=Rescue%20van"
    assert client.post(where, {}).status_code == 422
    assert client.post(where, {"chosen": ["0", "9999"]}).status_code == 422
    for _ in range(2):
        client.post(where, {"chosen": ["0", "1", "2"]})
    rows = list(job.requirements.all())
    assert [row.status for row in rows] == ["open"] * 3
    page = client.get(url("intake_sheet", job)).content.decode()
    assert "3 open questions" in page


def test_a_requirement_is_linked_and_its_gaps_shrink(client, manager):
    unit = make_working_unit(by=manager)
    job = unit.job
    row = make_requirement(job=job, status=Requirement.Status.CONFIRMED)
    assert gaps(job)["RQ1"] == ["nothing on the vehicle satisfies it", "no check proves it"]
    client.force_login(manager)
    where = url("requirement_link", job)
    odd = client.post(where, {"requirement": row.pk, "kind": "line", "ref": "L99"})
    assert odd.status_code == 422
    assert "There is no build line L99" in odd.content.decode()
    for _ in range(2):
        client.post(where, {"requirement": row.pk, "kind": "circuit", "ref": "a-01"})
    assert RequirementLink.objects.get().ref == "A-01"
    generate_checks(unit=unit, by=manager)
    Check.objects.filter(unit=unit).first().requirements.add(row)
    assert gaps(job)["RQ1"] == []
    assert "Covered" in client.get(url("requirement_coverage", job)).content.decode()
    job.circuits.all().delete()
    assert "not on the job any more" in " ".join(gaps(job)["RQ1"])
    client.post(url("requirement_unlink", job, RequirementLink.objects.get().pk))
    assert not RequirementLink.objects.exists()


def test_what_was_waived_has_no_gap_and_gaps_stand_first(manager):
    job = make_wired_job()
    make_requirement(job=job, status=Requirement.Status.WAIVED)
    make_requirement(job=job)
    assert gaps(job) == {
        "RQ2": ["open question", "nothing on the vehicle satisfies it", "no check proves it"],
        "RQ1": [],
    }


def test_pages_of_an_empty_job_and_for_others(client, technician):
    job = make_job()
    client.force_login(technician)
    assert "No requirement yet" in client.get(url("requirement_coverage", job)).content.decode()
    page = client.get(url("intake_sheet", job)).content.decode()
    assert "No legal profile" in page
    assert client.post(url("requirement_link", job)).status_code == 403
    assert client.get(reverse("jobs:intake_sheet", args=["none"])).status_code == 404
