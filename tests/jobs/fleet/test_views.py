import pytest
from django.urls import reverse

from tests.factories import make_job, make_line, make_unit

pytestmark = pytest.mark.django_db


def url(name, job, *args):
    return reverse(f"jobs:{name}", args=[job.number, *args])


def test_several_units_are_numbered_in_one_go_or_none(client, manager):
    job = make_job()
    client.force_login(manager)
    assert "Number several in one go" in client.get(url("fleet", job)).content.decode()
    typed = {"prefix": "SR-", "first": "8", "count": "3"}
    assert client.post(url("fleet_units", job), typed).status_code == 302
    assert [unit.number for unit in job.units.all()] == ["SR-08", "SR-09", "SR-10"]
    again = client.post(url("fleet_units", job), {**typed, "first": "10"})
    assert again.status_code == 422
    assert job.units.count() == 3
    for odd in ({"count": "0"}, {"prefix": "a/b"}, {"first": "x"}):
        assert client.post(url("fleet_units", job), {**typed, **odd}).status_code == 422


def test_a_difference_stands_with_its_unit(client, manager):
    job = make_job()
    make_line(job=job)
    unit = make_unit(job=job)
    client.force_login(manager)
    typed = {"unit": unit.pk, "line": "l01", "text": "Amber instead of red"}
    client.post(url("fleet_difference", job), typed)
    page = client.get(url("fleet", job)).content.decode()
    assert "Amber instead of red" in page
    odd = client.post(url("fleet_difference", job), {**typed, "line": "L77"})
    assert "no build line L77" in odd.content.decode()
    client.post(url("fleet_same", job, unit.differences.get().pk))
    assert not unit.differences.exists()


def test_others_look_but_do_not_change(client, technician):
    job = make_job()
    client.force_login(technician)
    assert client.get(url("fleet", job)).status_code == 200
    assert client.post(url("fleet_units", job)).status_code == 403
