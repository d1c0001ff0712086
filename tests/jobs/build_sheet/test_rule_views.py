import pytest
from django.urls import reverse

from jobs.electrical.rule_sets.catalog import RULE_SETS
from jobs.models import AuditEvent, Job
from tests.factories import make_job, make_wired_job

pytestmark = pytest.mark.django_db


def url(name, job):
    return reverse(f"jobs:{name}", args=[job.number])


@pytest.mark.parametrize("key", RULE_SETS)
def test_rule_set_shows_every_limit_with_its_source(client, technician, key):
    client.force_login(technician)
    page = client.get(url("rule_set", make_job()), {"show": key}).content.decode()
    assert RULE_SETS[key].name in page
    assert "Device rating over ampacity" in page
    assert "IEC 60028" in page
    assert "not known" not in page


def test_rule_set_of_a_job_with_an_unknown_key_says_so(client, technician):
    job = make_job()
    Job.objects.filter(pk=job.pk).update(rule_set="gone")
    client.force_login(technician)
    response = client.get(url("rule_set", job))
    assert "Rule set gone is not known" in response.content.decode()


def test_rule_set_choose_shows_the_effect_first_and_then_keeps_history(client, designer):
    job = make_wired_job(awg="18")
    client.force_login(designer)
    where = url("rule_set_choose", job)
    page = client.post(where, {"rule_set": "fire-ems", "preview": "1"}).content.decode()
    assert "What this changes" in page
    assert Job.objects.get(pk=job.pk).rule_set == "common-practice"
    for _ in range(2):  # a double click
        assert client.post(where, {"rule_set": "fire-ems"}).status_code == 302
    assert Job.objects.get(pk=job.pk).rule_set == "fire-ems"
    told = AuditEvent.objects.filter(job=job.number, verb="changed")
    assert [event.sentence for event in told] == [
        "Changed the rule set from Common practice to Fire and EMS purchase specification."
    ]


def test_rule_set_choose_refuses_an_unknown_set(client, designer):
    client.force_login(designer)
    response = client.post(url("rule_set_choose", make_job()), {"rule_set": "mine"})
    assert response.status_code == 422
    assert "mine is not one of the available choices" in response.content.decode()


def test_rule_set_choose_is_the_designers(client, technician):
    client.force_login(technician)
    assert client.get(url("rule_set_choose", make_job())).status_code == 403
    assert client.get("/jobs/NOPE/rules/").status_code == 404
