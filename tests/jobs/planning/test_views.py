from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.models import PlanResource, PlanRun
from jobs.planning import actions
from tests.factories import make_working_unit

pytestmark = pytest.mark.django_db


def url(name, *args):
    return reverse(f"jobs:{name}", args=args)


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    monkeypatch.setattr(actions, "REQUEST_SECONDS", 0.3)


def test_an_empty_shop_says_what_comes_first(client, manager):
    client.force_login(manager)
    assert "No unit to plan" in client.get(url("plan_board")).content.decode()


def test_a_plan_is_made_looked_at_and_kept(client, manager):
    unit = make_working_unit(by=manager)
    client.force_login(manager)
    page = client.post(url("plan_make"), {}, follow=True)
    run = PlanRun.objects.get()
    assert "Keep these days" in page.content.decode()
    assert client.post(url("plan_keep", run.pk)).status_code == 302
    assert client.post(url("plan_keep", run.pk)).status_code == 409
    board = client.get(url("plan_board")).content.decode()
    assert unit.number in board
    assert "plan-busy" in board


def test_a_question_offers_nothing_to_keep(client, manager):
    make_working_unit(by=manager)
    actions.ensure_resources()
    bays = PlanResource.objects.get(name="Bays")
    client.force_login(manager)
    page = client.post(url("plan_make"), {"resource": bays.pk, "extra": "1"}, follow=True)
    text = page.content.decode()
    assert "If +1 Bays" in text
    assert "Keep these days" not in text
    assert client.post(url("plan_make"), {"without": "none"}).status_code == 422
    assert client.post(url("plan_make"), {"resource": bays.pk}).status_code == 422


def test_a_job_is_left_out_however_its_number_is_typed(client, manager):
    unit = make_working_unit(by=manager)
    client.force_login(manager)
    page = client.post(url("plan_make"), {"without": unit.job.number.lower()}, follow=True)
    assert f"If without job {unit.job.number}" in page.content.decode()
    assert PlanRun.objects.get().result["units"] == []


def test_a_promise_is_answered_on_the_same_page(client, manager):
    unit = make_working_unit(by=manager)
    client.force_login(manager)
    today = timezone.localdate()
    typed = {"job": unit.job.number, "units": "1", "not_before": str(today),
             "wished": str(today + timedelta(days=200))}  # fmt: skip
    assert "It would end on" in client.post(url("plan_check"), typed).content.decode()
    for odd in ({"job": "none"}, {"wished": "2020-01-01"}, {"units": "0"}):
        assert client.post(url("plan_check"), {**typed, **odd}).status_code == 422


def test_resources_and_hours_are_set(client, manager):
    client.force_login(manager)
    new = {"name": "Electricians", "capacity": "1", "stages": "s7, s8"}
    assert client.post(url("plan_means_edit", 0), new).status_code == 302
    row = PlanResource.objects.get(name="Electricians")
    assert row.stages == ["S7", "S8"]
    hours = {"day_minutes": "7.5", "free_days": "2026-12-25\n2026-12-24", "version": "0"}
    assert client.post(url("plan_hours"), hours).status_code == 302
    assert "7.5 h a day" in client.get(url("plan_means")).content.decode()
    odd = {**hours, "free_days": "Christmas", "version": "1"}
    assert client.post(url("plan_hours"), odd).status_code == 422
    assert client.post(url("plan_means_remove", row.pk)).status_code == 302
    assert client.post(url("plan_means_remove", row.pk)).status_code == 404


def test_only_the_office_plans(client, technician):
    client.force_login(technician)
    assert client.get(url("plan_board")).status_code == 200
    for name in ("plan_make", "plan_check"):
        assert client.post(url(name)).status_code == 403
    assert client.get(url("plan_detail", 99)).status_code == 404
