import pytest
from django.urls import reverse

from jobs.models import AuditEvent, BuildLine, Payload
from tests.factories import make_job, make_unit, make_wired_job

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


def url(job, name="weight_sheet", *args):
    return reverse(f"jobs:{name}", args=[job.number, *args])


@pytest.fixture
def job():
    """A van whose rear axle is at its rating already: what moves aft breaks it."""
    job = make_wired_job()
    line = job.lines.get()
    line.part.mass_g = 100_000
    line.part.save()
    make_unit(
        job=job, wheelbase_mm=3_759, gvwr_g=5_000_000, gawr_front_g=2_500_000,
        gawr_rear_g=1_500_000, received_front_g=1_400_000, received_rear_g=1_400_000, seats=2,
    )  # fmt: skip
    Payload.objects.create(job=job, description="Crew", quantity=2, mass_g=90_718, x_mm=457)
    return job


def where(job, kind, row):
    return url(job, "weight_row", kind, row.pk)


def test_the_sheet_shows_axles_lines_crew_and_findings(client, technician, job):
    client.force_login(technician)
    page = client.get(url(job)).content.decode()
    assert "Of its rating" in page and "Crew" in page
    assert "Edit<" not in page
    empty = client.get(url(make_job())).content.decode()
    assert "No build line yet" in empty and "People at their seats" in empty


def test_a_place_is_edited_in_its_row_with_the_effect_before_saving(client, designer, job):
    line = job.lines.get()
    client.force_login(designer)
    cells = client.get(where(job, "line", line), {"edit": "1"}, headers=HTMX).content.decode()
    assert 'aria-label="Aft of the front axle (in) of L01"' in cells
    data = {"x_mm": "148", "y_mm": "0", "version": line.version}
    shown = client.post(
        where(job, "line", line), {**data, "preview": "1"}, headers=HTMX
    ).content.decode()
    assert "rear axle" in shown and "Appears" in shown
    assert BuildLine.objects.get(pk=line.pk).x_mm == 0
    saved = client.post(where(job, "line", line), data, headers=HTMX).content.decode()
    assert saved.lstrip().startswith(f'<tr id="line-{line.pk}"')
    assert 'id="weight-result" hx-swap-oob="true"' in saved and "148 in" in saved
    line.refresh_from_db()
    assert (float(line.x_mm), line.version) == (3759.2, 1)
    assert AuditEvent.objects.filter(job=job.number, verb="changed").count() == 1
    again = client.post(where(job, "line", line), data, headers=HTMX)
    assert again.status_code == 422
    assert "changed by somebody else" in again.content.decode()


def test_crew_is_edited_in_its_row(client, designer, job):
    row = job.payload.get()
    client.force_login(designer)
    data = {"quantity": "3", "mass_g": "210", "x_mm": "20"}
    saved = client.post(where(job, "payload", row), data, headers=HTMX)
    assert saved.status_code == 200
    row.refresh_from_db()
    assert (row.quantity, float(row.x_mm)) == (3, 508.0)
    assert "210 lb" in saved.content.decode()


@pytest.mark.parametrize(
    ("kind", "data", "words"),
    [
        ("line", {"x_mm": "700"}, "700 in is above 600"),
        ("line", {"x_mm": "nan"}, "nan is not a number"),
        ("payload", {"quantity": "0", "mass_g": "1", "x_mm": "1"}, "greater than or equal to 1"),
        ("payload", {"quantity": "1", "mass_g": "-1", "x_mm": "1"}, "-1 lb is below 0"),
    ],
)
def test_absurd_cells_are_answered_with_a_sentence(client, designer, job, kind, data, words):
    row = job.lines.get() if kind == "line" else job.payload.get()
    client.force_login(designer)
    answer = client.post(where(job, kind, row), data, headers=HTMX)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_without_javascript_the_row_has_its_own_page(client, designer, job):
    line = job.lines.get()
    client.force_login(designer)
    assert client.get(where(job, "line", line)).url == url(job, "row_edit", "line", line.pk)
    data = {"x_mm": "12", "y_mm": "", "version": line.version}
    assert client.post(where(job, "line", line), data).url == url(job)


def test_weight_rows_are_the_designers_and_the_jobs_own(client, technician, designer, job):
    line, other = job.lines.get(), make_job()
    client.force_login(technician)
    assert client.get(where(job, "line", line)).status_code == 403
    client.force_login(designer)
    assert client.get(where(other, "line", line)).status_code == 404
    assert client.get(url(job, "weight_row", "circuit", 1)).status_code == 404
    assert client.delete(where(job, "line", line)).status_code == 405


def test_predicted_stands_beside_the_scale_ticket(client, technician, job):
    job.units.update(scale_front_g=1_520_000, scale_rear_g=1_700_000)
    client.force_login(technician)
    page = client.get(url(job)).content.decode()
    assert "Scale 7,099 lb, predicted" in page
