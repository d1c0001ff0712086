import pytest
from django.urls import reverse

from jobs.build_sheet.actions import freeze_design
from tests.factories import make_wired_job

pytestmark = pytest.mark.django_db


def url(name, job, number=1):
    return reverse(f"jobs:{name}", args=[job.number, number])


def test_calculation_is_printed_on_request(client, designer, technician):
    job = make_wired_job()
    freeze_design(job=job, by=designer, note="First")
    client.force_login(technician)
    assert client.get(url("calculation_status", job)).status_code == 404
    page = client.get(url("design_revision", job)).content.decode()
    assert "Print calculation" in page
    for _ in range(2):
        response = client.post(url("calculation_print", job))
        assert response.url == url("calculation_status", job)
    assert client.get(url("calculation_status", job)).status_code == 200
    assert client.get(url("calculation_pdf", job)).status_code == 404  # not made yet


def test_calculation_of_an_unknown_revision_is_404(client, technician):
    client.force_login(technician)
    job = make_wired_job()
    assert client.post(url("calculation_print", job)).status_code == 404
    assert client.get(url("calculation_print", job)).status_code == 405
