import pytest
from django.urls import reverse

from jobs.build_sheet.actions import freeze_design
from jobs.models import AcceptedFinding, Circuit, ModeDuty, OperatingMode
from tests.factories import make_job, make_unit, make_wired_job

pytestmark = pytest.mark.django_db


def url(name, job, *args):
    return reverse(f"jobs:{name}", args=[job.number, *args])


def test_circuit_list_shows_findings_with_value_limit_and_calculation(client, designer):
    client.force_login(designer)
    page = client.get(url("circuit_list", make_wired_job(awg="18", device_ma=30_000)))
    words = page.content.decode()
    assert "30 A device is too large for 18 AWG" in words
    assert "How it was calculated" in words
    assert "does not certify compliance" in words
    assert "rule set Common practice</a>" in words


def test_circuit_list_of_an_empty_job_says_how_to_start(client, designer):
    client.force_login(designer)
    page = client.get(url("circuit_list", make_job())).content.decode()
    assert "Start with a supply" in page


def test_circuit_list_survives_a_design_without_any_data(client, designer):
    job = make_wired_job(awg="", device_ma=None, length_mm=None)
    job.lines.get().part.draws.all().delete()
    client.force_login(designer)
    page = client.get(url("circuit_list", job))
    assert page.status_code == 200
    assert "not known" in page.content.decode()


def test_finding_accept_needs_a_reason_and_an_existing_finding(client, designer):
    job = make_wired_job(awg="18", device_ma=30_000)
    client.force_login(designer)
    named = {"rule": "device_protects_conductor", "subject": "A-01"}
    assert client.get(url("finding_accept", job), named).status_code == 200
    assert client.post(url("finding_accept", job), {**named, "reason": ""}).status_code == 422
    client.post(url("finding_accept", job), {**named, "reason": "Two feet only"})
    assert AcceptedFinding.objects.get().accepted_by == "Dan Birch"
    unknown = {"rule": "nothing", "subject": "A-01", "reason": "x"}
    assert client.post(url("finding_accept", job), unknown).status_code == 404


def test_finding_accept_is_not_for_technicians(client, technician):
    client.force_login(technician)
    assert client.get(url("finding_accept", make_job())).status_code == 403


def test_mode_duty_replaces_all_shares_of_the_mode(client, designer):
    job = make_wired_job()
    mode = OperatingMode.objects.create(job=job, key="respond", name="Respond", source="idle")
    circuit = job.circuits.get()
    client.force_login(designer)
    path = url("mode_duty", job, "respond")
    assert client.post(path, {f"c{circuit.pk}": "150"}).status_code == 422
    client.post(path, {f"c{circuit.pk}": "50"})
    assert ModeDuty.objects.get(mode=mode).permille == 500
    client.post(path, {f"c{circuit.pk}": ""})
    assert not ModeDuty.objects.exists()


def test_mode_list_shows_energy_and_duty(client, designer):
    job = make_wired_job()
    make_unit(job=job, alternator_hot_idle_ma=120_000)
    mode = OperatingMode.objects.create(
        job=job, key="respond", name="Respond", source="idle", chassis_base_ma=55_000
    )
    ModeDuty.objects.create(mode=mode, circuit=job.circuits.get())
    client.force_login(designer)
    page = client.get(url("mode_list", job)).content.decode()
    assert "58.6 A of 120 A hot output at idle" in page
    assert "<strong>mode Respond</strong>" in page


def test_weight_sheet_asks_for_what_is_missing(client, designer):
    client.force_login(designer)
    assert "Enter the unit" in client.get(url("weight_sheet", make_wired_job())).content.decode()


def test_design_keep_and_release_show_what_changed(client, designer, manager):
    job = make_wired_job(awg="18", device_ma=30_000)
    freeze_design(job=job, by=designer, note="First")
    Circuit.objects.update(awg="10")
    client.force_login(designer)
    client.post(url("design_keep", job), {"note": "Thicker wire"})
    page = client.get(url("design_revision", job, 2)).content.decode()
    assert "Changed against revision 1" in page
    assert "device_protects_conductor" not in page
    client.force_login(manager)
    answer = client.post(url("design_release", job, 2), follow=True).content.decode()
    assert "Not released" in answer or "is released" in answer


def test_design_revision_unknown_number_is_not_found(client, designer):
    client.force_login(designer)
    assert client.get(url("design_revision", make_job(), 9)).status_code == 404


def test_mode_duty_shows_what_it_changes_before_saving(client, designer):
    job = make_wired_job()
    mode = OperatingMode.objects.create(
        job=job, key="night", name="Night", source="idle", chassis_base_ma=200_000
    )
    circuit = job.circuits.get()
    client.force_login(designer)
    where = reverse("jobs:mode_duty", args=[job.number, "night"])
    data = {f"c{circuit.pk}": "100", "preview": "1"}
    page = client.post(where, data).content.decode()
    assert "What this changes" in page
    assert "Vanishes" in page  # the circuit was on in no mode
    assert not mode.duties.exists()
