import pytest
from django.urls import reverse

from jobs.build_sheet.drafting.gate import gate_of
from jobs.build_sheet.drafting.release import accept_risks
from jobs.build_sheet.drafting.working_out import FOREVER
from jobs.models import ControlLogic
from tests.factories import make_draft, make_working_unit
from tests.form_data import form_data

pytestmark = pytest.mark.django_db


@pytest.fixture
def draft(designer, manager):
    unit = make_working_unit(by=manager)
    kept = make_draft(by=designer, job=unit.job)
    gate = gate_of(kept, seconds=FOREVER)
    chosen = {risk.fingerprint for risk in gate.open_risks}
    accept_risks(kept=kept, gate=gate, chosen=chosen, reason="Agreed", by=designer)
    return kept


def release(client, draft, edits="0"):
    path = reverse("inspections:logic_release", args=[draft.job.number, draft.version])
    return client.post(path, {"edits": edits}, follow=True).content.decode()


def test_logic_release_fixes_the_version_and_says_what_is_asked(client, draft, designer):
    client.force_login(designer)
    path = reverse("jobs:logic_gate", args=[draft.job.number, draft.version])
    assert f"Release logic {draft.version}" in client.get(path).content.decode()
    page = release(client, draft)
    assert "Logic 1.0 is released." in page
    assert "0 steps keep their results" in page
    assert ControlLogic.objects.get().released_by == "Dan Birch"


def test_logic_release_twice_says_that_it_is_released(client, draft, designer):
    client.force_login(designer)
    release(client, draft)
    assert "is already released" in release(client, draft)


def test_logic_release_of_a_draft_that_changed_is_refused(client, draft, designer):
    client.force_login(designer)
    assert "was changed meanwhile" in release(client, draft, edits="3")
    assert not ControlLogic.objects.get().is_released


def test_logic_release_is_for_designers_and_managers(client, draft, technician):
    client.force_login(technician)
    path = reverse("inspections:logic_release", args=[draft.job.number, draft.version])
    assert client.post(path).status_code == 403
    assert client.get(path).status_code == 405


def test_form_of_the_gate_carries_what_was_seen(client, draft, designer):
    client.force_login(designer)
    path = reverse("jobs:logic_gate", args=[draft.job.number, draft.version])
    assert 'name="edits" value="0"' in client.get(path).content.decode()
    assert form_data(client.get(path)) == {}
