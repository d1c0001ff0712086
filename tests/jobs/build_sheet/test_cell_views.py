import pytest
from django.urls import reverse

from catalog.models import CurrentDraw
from jobs.build_sheet.circuit_forms import CellForm
from jobs.build_sheet.design import design_of
from jobs.build_sheet.design_parts import kept_circuit, mode_from
from jobs.build_sheet.edits import save_cells, schedule_of
from jobs.build_sheet.rows import circuit_in
from jobs.electrical.changes import what_changed
from jobs.electrical.check import check
from jobs.models import AuditEvent, Circuit
from tests.factories import make_job, make_wired_job

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


def where(job, row):
    return reverse("jobs:circuit_row", args=[job.number, row.pk])


def cells(row, **changes):
    return {
        "device_ma": "10", "awg": row.awg, "insulation_c": "125", "length_mm": "10",
        "version": row.version, **changes,
    }  # fmt: skip


def test_circuit_row_turns_into_fields_and_back(client, designer):
    job = make_wired_job()
    row = job.circuits.get()
    client.force_login(designer)
    fields = client.get(where(job, row), {"edit": "1"}, headers=HTMX).content.decode()
    assert fields.lstrip().startswith(f'<tr id="circuit-{row.pk}" class="editing"')
    assert f'aria-label="One-way length (ft) of {row.ref}"' in fields
    text = client.get(where(job, row), headers=HTMX).content.decode()
    assert text.startswith(f'<tr id="circuit-{row.pk}"')
    assert "10 ft" in text


def test_circuit_row_without_javascript_leads_to_the_edit_page(client, designer):
    job = make_wired_job()
    row = job.circuits.get()
    client.force_login(designer)
    response = client.get(where(job, row))
    assert response.url == reverse("jobs:row_edit", args=[job.number, "circuit", row.pk])
    assert client.post(where(job, row), cells(row)).url == reverse(
        "jobs:circuit_list", args=[job.number]
    )
    bad = client.post(where(job, row), cells(row, length_mm="0"), follow=True)
    assert "must be above 0" in bad.content.decode()


def test_circuit_row_preview_tells_what_appears_and_saves_nothing(client, designer):
    job = make_wired_job(awg="16")
    row = job.circuits.get()
    client.force_login(designer)
    data = cells(row, length_mm="60", preview="1")
    page = client.post(where(job, row), data, headers=HTMX).content.decode()
    assert "Appears" in page and "lost to the load at peak" in page
    assert float(Circuit.objects.get().length_mm) == 3048.0
    assert not AuditEvent.objects.filter(job=job.number).exists()


def test_circuit_row_saves_and_answers_only_what_changed(client, designer):
    job = make_wired_job(awg="16")
    row = job.circuits.get()
    twin = Circuit.objects.get(pk=row.pk)
    twin.pk, twin.ref, twin._state.adding = None, "A-02", True
    twin.save()
    client.force_login(designer)
    page = client.post(where(job, row), cells(row, length_mm="60"), headers=HTMX).content.decode()
    assert page.startswith(f'<tr id="circuit-{row.pk}"')
    assert "60 ft" in page
    assert f'id="circuit-{twin.pk}"' not in page
    assert 'id="problems" hx-swap-oob="afterbegin"' in page
    assert "Circuit A-01 is saved. Findings:" in page
    row.refresh_from_db()
    assert (float(row.length_mm), row.version) == (18288.0, 1)
    back = client.post(where(job, row), cells(row, version="1"), headers=HTMX).content.decode()
    assert 'hx-swap-oob="delete"' in back
    assert AuditEvent.objects.filter(job=job.number, verb="changed").count() == 2


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"length_mm": "0"}, "must be above 0"),
        ({"length_mm": "400"}, "400 ft is above 200"),
        ({"length_mm": "nan"}, "nan is not a number"),
        ({"awg": "11"}, "11 is not one of the available choices"),
        ({"device_ma": "-5"}, "-5 A is below 0"),
        ({"insulation_c": "1000"}, "1000 is not one of the available choices"),
    ],
)
@pytest.mark.parametrize("preview", [{}, {"preview": "1"}])
def test_circuit_row_answers_absurd_values_with_a_sentence(
    client, designer, changes, words, preview
):
    job = make_wired_job()
    row = job.circuits.get()
    client.force_login(designer)
    response = client.post(where(job, row), cells(row, **changes, **preview), headers=HTMX)
    assert response.status_code == 422
    assert words in response.content.decode()
    row.refresh_from_db()
    assert row.version == 0


def test_circuit_row_that_somebody_else_changed_is_not_overwritten(client, designer):
    job = make_wired_job()
    row = job.circuits.get()
    client.force_login(designer)
    data = cells(row, length_mm="12")
    assert client.post(where(job, row), data, headers=HTMX).status_code == 200
    again = client.post(where(job, row), data, headers=HTMX)
    assert again.status_code == 422
    assert "changed by somebody else" in again.content.decode()


def test_circuit_row_is_the_designers_and_the_jobs_own(client, designer, technician):
    job, other = make_wired_job(), make_job()
    row = job.circuits.get()
    client.force_login(technician)
    assert client.get(where(job, row)).status_code == 403
    client.force_login(designer)
    assert client.post(where(other, row), cells(row), headers=HTMX).status_code == 404
    assert client.get(where(other, row), headers=HTMX).status_code == 404
    assert client.delete(where(job, row)).status_code == 405


def test_edits_in_a_row_find_what_the_whole_calculation_finds(designer):
    job = make_wired_job(awg="16")
    row, draw = job.circuits.get(), CurrentDraw.objects.get()
    for turn, (length, awg, device) in enumerate(
        [("60", "16", "10"), ("6", "12", "10"), ("6", "12", "40"), ("", "12", "10"),
         ("60", "8", "10"), ("60", "", "10"), ("18", "16", ""), ("10", "12", "10")]
    ):  # fmt: skip
        if turn == 4:  # somebody else changes what is not part of the row
            draw.peak_ma, draw.average_ma = 9_000, 4_000
            draw.save()
        before = _worked_anew(job)
        schedule = schedule_of(job)
        circuit = circuit_in(schedule.rows, row.pk)
        data = {"device_ma": device, "awg": awg, "insulation_c": "125", "length_mm": length}
        form = CellForm(data, instance=circuit, job=job)
        assert form.is_valid(), form.errors
        edited = save_cells(schedule=schedule, form=form, by=designer, seen_version=None)
        after = _worked_anew(job)
        assert edited.changes == what_changed(before, after)
        assert [each.finding for each in edited.row.problems] == [
            finding for finding in after if finding.subject == row.ref
        ]


def _worked_anew(job):
    """Every problem of the job from its rows alone, with nothing kept from before."""
    kept_circuit.cache_clear()
    mode_from.cache_clear()
    return check(design_of(job), problems_only=True)


@pytest.mark.parametrize("length", ["-999999999999999999999999999999.5", "10"])
def test_what_is_refused_without_javascript_is_said_and_breaks_nothing(client, designer, length):
    circuit = make_wired_job().circuits.get()
    client.force_login(designer)
    path = f"/jobs/{circuit.job.number}/circuits/{circuit.pk}/row/"
    cells = {"length_mm": length, "device_ma": length, "awg": "12", "version": "77"}
    page = client.post(path, cells, follow=True)
    assert page.status_code == 200
    assert b'role="alert"' in page.content or b"notice-bad" in page.content
    before = circuit.length_mm
    circuit.refresh_from_db()
    assert circuit.length_mm == before
