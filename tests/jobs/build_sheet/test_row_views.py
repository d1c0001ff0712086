import pytest
from django.urls import reverse

from jobs.build_sheet.kinds import KINDS
from jobs.models import AcSide, AuditEvent, Circuit, Feed, OperatingMode
from tests.factories import make_job, make_wired_job

pytestmark = pytest.mark.django_db


def url(name, job, *args):
    return reverse(f"jobs:{name}", args=[job.number, *args])


def circuit_post(row, **changes):
    return {
        "ref": row.ref, "designation": row.designation, "feed": row.feed_id, "awg": row.awg,
        "device_kind": row.device_kind, "device_ma": "10", "insulation_c": "125",
        "length_mm": "10", "return_path": "wire", "bundle_count": "1", "version": row.version,
        "loads-TOTAL_FORMS": "1", "loads-INITIAL_FORMS": "1",
        "loads-0-id": row.loads.get().pk, "loads-0-line": row.loads.get().line_id,
        "loads-0-quantity": "4", "loads-0-function": "on", **changes,
    }  # fmt: skip


def test_row_edit_shows_what_a_longer_run_changes_and_saves_nothing(client, designer):
    job = make_wired_job(awg="16")
    row = job.circuits.get()
    client.force_login(designer)
    data = circuit_post(row, length_mm="60", preview="1")
    response = client.post(url("row_edit", job, "circuit", row.pk), data)
    page = response.content.decode()
    assert response.status_code == 200
    assert "What this changes" in page
    assert "Appears" in page and "lost to the load at peak" in page
    assert 'value="60"' in page
    row.refresh_from_db()
    assert (float(row.length_mm), row.version) == (3048.0, 0)
    assert not AuditEvent.objects.filter(job=job.number).exists()


def test_row_edit_preview_of_a_harmless_change_says_that_nothing_changes(client, designer):
    job = make_wired_job()
    row = job.circuits.get()
    client.force_login(designer)
    data = circuit_post(row, designation="Other words", preview="1")
    page = client.post(url("row_edit", job, "circuit", row.pk), data).content.decode()
    assert "No finding appears, changes or vanishes." in page


def test_row_add_preview_keeps_no_row_and_saves_a_new_one_afterwards(client, designer):
    job = make_wired_job()
    client.force_login(designer)
    data = {
        "key": "night", "name": "Night", "position": "1", "source": "battery", "bus_mv": "12.6",
        "chassis_base_ma": "0", "allowance_ma": "0", "inverter_w": "0",
        "inverter_efficiency_percent": "88",
    }  # fmt: skip
    page = client.post(url("row_add", job, "mode"), {**data, "preview": "1"}).content.decode()
    assert "What this changes" in page
    assert not OperatingMode.objects.exists()
    assert client.post(url("row_add", job, "mode"), data).status_code == 302
    assert OperatingMode.objects.get().key == "night"


def test_row_edit_preview_of_a_stale_row_answers_409(client, designer):
    job = make_wired_job()
    row = job.circuits.get()
    data = circuit_post(row, preview="1")
    Circuit.objects.filter(pk=row.pk).update(version=3)
    client.force_login(designer)
    response = client.post(url("row_edit", job, "circuit", row.pk), data)
    assert response.status_code == 409
    assert "changed by somebody else" in response.content.decode()


def test_mode_key_used_twice_is_a_form_error(client, designer):
    job = make_wired_job()
    OperatingMode.objects.create(job=job, key="scene", name="Scene", source="idle")
    client.force_login(designer)
    data = {
        "key": "scene", "name": "Again", "position": "1", "source": "idle", "bus_mv": "13.2",
        "chassis_base_ma": "0", "allowance_ma": "0", "inverter_w": "0",
        "inverter_efficiency_percent": "88",
    }  # fmt: skip
    response = client.post(url("row_add", job, "mode"), data)
    assert response.status_code == 422
    assert f"scene is already used on job {job.number}" in response.content.decode()


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_can_be_opened_and_answers_rubbish_with_422(client, designer, kind):
    job = make_wired_job()
    client.force_login(designer)
    assert client.get(url("row_add", job, kind)).status_code == 200
    rubbish = {"ref": "", "bus_mv": "NaN", "inverter_w": "-1", "mass_g": "x", "nominal_mv": "0"}
    loads = {"loads-TOTAL_FORMS": "0", "loads-INITIAL_FORMS": "0"}
    response = client.post(url("row_add", job, kind), rubbish | loads)
    assert response.status_code == 422


def test_the_120_v_side_is_entered_once_and_its_findings_follow(client, designer):
    job = make_wired_job()
    feed = Feed.objects.get(job=job)
    client.force_login(designer)
    data = {
        "inverter_feed": feed.pk, "inverter_w": "2000", "inverter_surge_w": "3000",
        "inverter_efficiency_percent": "88", "inverter_least_mv": "12", "shore_ma": "20",
        "charger_ma": "80", "charger_efficiency_percent": "85",
    }  # fmt: skip
    assert client.post(url("row_add", job, "ac"), data).status_code == 302
    side = AcSide.objects.get(job=job)
    assert (side.shore, side.charger, side.shore_ma) == (True, True, 20_000)
    page = client.get(url("ac_side", job)).content.decode()
    assert "189.39 A at full output and 12 V on the 50 A device of feed A" in page
    assert "Neutral is bonded nowhere" in page
    again = client.post(url("row_add", job, "ac"), data)
    assert again.status_code == 422
    assert "is entered already" in again.content.decode()


def test_an_inverter_without_its_feed_is_refused(client, designer):
    job = make_wired_job()
    client.force_login(designer)
    data = {
        "inverter_w": "2000", "inverter_efficiency_percent": "88", "inverter_least_mv": "12",
        "charger_efficiency_percent": "85",
    }  # fmt: skip
    response = client.post(url("row_add", job, "ac"), data)
    assert "An inverter needs the feed that supplies it" in response.content.decode()


def test_rows_are_closed_to_technicians_and_to_other_jobs(client, technician, designer):
    job, other = make_wired_job(), make_job()
    row = job.circuits.get()
    client.force_login(technician)
    assert client.get(url("row_edit", job, "circuit", row.pk)).status_code == 403
    client.force_login(designer)
    assert client.get(url("row_edit", other, "circuit", row.pk)).status_code == 404
    assert client.get(url("row_add", job, "nonsense")).status_code == 404
    assert client.put(url("row_edit", job, "circuit", row.pk)).status_code == 405


@pytest.mark.parametrize("version", ["²", "9" * 30])
def test_row_edit_with_an_odd_version_is_no_failure(client, designer, version):
    job = make_wired_job()
    client.force_login(designer)
    response = client.post(
        url("row_edit", job, "circuit", job.circuits.get().pk), {"version": version}
    )
    assert response.status_code == 422
