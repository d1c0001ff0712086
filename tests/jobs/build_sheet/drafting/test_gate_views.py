import pytest
from django.urls import reverse

from jobs.models import AcceptedRisk, AuditEvent, LogicWork
from tests.factories import make_draft
from tests.jobs.controls.small import small_data

pytestmark = pytest.mark.django_db


@pytest.fixture
def draft(designer):
    """Mast up on its button alone: one interlock refuted."""
    rules = small_data()["rules"]
    rules[0]["when"] = "UP"
    return make_draft(by=designer, data=small_data(rules=rules))


def gate(client, draft, **kwargs):
    return client.get(reverse("jobs:logic_gate", args=[draft.job.number, "1.0"]), **kwargs)


def risks_in(page):
    return [part.split('"')[0] for part in page.split('name="risk" value="')[1:]]


def accept(client, draft, risks, reason="Bench only"):
    path = reverse("jobs:risk_accept", args=[draft.job.number, "1.0"])
    return client.post(path, {"risk": risks, "reason": reason})


def test_logic_gate_lists_what_is_refuted_and_what_nothing_covers(client, draft, designer):
    client.force_login(designer)
    page = gate(client, draft).content.decode()
    assert "Refuted: Mast up only when parked" in page
    assert "gear stuck at D" in page
    assert "is not accepted" in page
    assert "Release logic" not in page


def test_risk_accept_writes_name_and_reason_once(client, draft, manager):
    client.force_login(manager)
    risks = risks_in(gate(client, draft).content.decode())
    assert accept(client, draft, risks[:1]).status_code == 302
    accepted = AcceptedRisk.objects.get()
    assert (accepted.accepted_by, accepted.reason) == ("Mona Ash", "Bench only")
    assert "Accepted for logic 1.0" in AuditEvent.objects.latest("id").sentence
    again = accept(client, draft, risks[:1], reason="Another reason")
    assert again.status_code == 422
    assert "accepted already" in again.content.decode()
    assert AcceptedRisk.objects.get().reason == "Bench only"


@pytest.mark.parametrize(
    ("count", "reason", "says"),
    [(0, "Why", "Tick what is accepted"), (1, " ", "This needs a value")],
)
def test_risk_accept_without_ticks_or_reason_keeps_what_was_typed(
    client, draft, manager, count, reason, says
):
    client.force_login(manager)
    risks = risks_in(gate(client, draft).content.decode())
    response = accept(client, draft, risks[:count], reason)
    assert response.status_code == 422
    page = response.content.decode()
    assert says in page
    assert page.count(" checked") == count
    assert not AcceptedRisk.objects.exists()


def test_risk_accept_of_something_that_is_no_risk_is_refused(client, draft, manager):
    client.force_login(manager)
    gate(client, draft)
    assert accept(client, draft, ["0" * 64]).status_code == 422


def test_risk_accept_is_for_designers_and_managers(client, draft, inspector):
    client.force_login(inspector)
    assert 'name="risk"' not in gate(client, draft).content.decode()
    assert accept(client, draft, []).status_code == 403


def test_logic_progress_asks_again_until_the_worker_is_done(client, draft, designer):
    client.force_login(designer)
    gate(client, draft)
    LogicWork.objects.filter(kind="faults").update(state="running", done=1, total=3)
    path = reverse("jobs:logic_progress", args=[draft.job.number, "1.0"])
    running = client.get(path, headers={"HX-Request": "true"})
    assert "1 of 3" in running.content.decode()
    assert "every 2s" in running.content.decode()
    LogicWork.objects.update(state="done")
    done = client.get(path, headers={"HX-Request": "true"})
    assert done["HX-Refresh"] == "true"
    assert "every 2s" not in done.content.decode()
