import pytest
from django.urls import reverse

from jobs.stages.actions import finish_stage, start_work
from tests.factories import make_working_unit

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    return make_working_unit(by=manager, number="SR-4")


def url(name, unit, *args):
    return reverse(f"jobs:{name}", args=[unit.job.number, unit.number, *args])


def test_stage_board_on_an_empty_shop_says_what_comes_first(client, manager):
    client.force_login(manager)
    assert "No unit is in work" in client.get(reverse("jobs:stage_board")).content.decode()


def test_stage_board_groups_open_stages_by_step(client, technician, unit):
    client.force_login(technician)
    page = client.get(reverse("jobs:stage_board")).content.decode()
    assert page.index("Check-in") < page.index("Protect and strip")
    assert "Cannot start yet" in page


def test_stage_board_asks_a_bounded_number_of_queries(
    client, technician, unit, django_assert_max_num_queries
):
    client.force_login(technician)
    with django_assert_max_num_queries(60):
        client.get(reverse("jobs:stage_board"))


def test_job_stages_shows_planned_hours_and_who(client, manager, unit):
    client.force_login(manager)
    page = client.get(reverse("jobs:job_stages", args=[unit.job.number])).content.decode()
    assert "Planned 3 h, booked 0 h" in page
    assert "Nobody yet" in page


def test_stage_work_starts_and_stops_one_timer(client, technician, unit):
    client.force_login(technician)
    client.post(url("stage_work", unit, "S0", "start"))
    client.post(url("stage_work", unit, "S0", "start"))
    page = client.get(url("stage_detail", unit, "S0")).content.decode()
    assert "Your timer runs since" in page
    client.post(url("stage_work", unit, "S0", "stop"))
    assert unit.stages.get(code="S0").events.filter(kind="stop").count() == 1


def test_stage_work_tells_why_a_stage_cannot_start(client, technician, unit):
    client.force_login(technician)
    page = client.post(url("stage_work", unit, "S1", "start"), follow=True).content.decode()
    assert "S1 cannot start" in page


def test_stage_work_unknown_move_is_not_found(client, technician, unit):
    client.force_login(technician)
    assert client.post(url("stage_work", unit, "S0", "dance")).status_code == 404


def test_stage_work_is_for_technicians_by_post(client, inspector, technician, unit):
    client.force_login(inspector)
    assert client.post(url("stage_work", unit, "S0", "start")).status_code == 403
    client.force_login(technician)
    assert client.get(url("stage_work", unit, "S0", "start")).status_code == 405


def test_stage_detail_of_another_unit_is_not_found(client, technician, unit):
    client.force_login(technician)
    path = reverse("jobs:stage_detail", args=[unit.job.number, "NOPE", "S0"])
    assert client.get(path).status_code == 404


def test_hold_release_shows_the_reason_when_refused_for_the_worker(client, owner, unit):
    start_work(stage=unit.stages.get(code="S0"), by=owner)
    finish_stage(stage=unit.stages.get(code="S0"), by=owner)
    client.force_login(owner)
    response = client.post(url("hold_release", unit, "S1", "H0"), {"note": "fine"})
    assert response.status_code == 422
    assert "worked on S0; somebody else must release H0" in response.content.decode()


def test_hold_release_by_the_inspector_opens_the_stage(client, inspector, technician, unit):
    start_work(stage=unit.stages.get(code="S0"), by=technician)
    finish_stage(stage=unit.stages.get(code="S0"), by=technician)
    client.force_login(inspector)
    client.post(url("hold_release", unit, "S1", "H0"), {"note": "All found"})
    assert unit.stages.get(code="S1").holds.get().released_by == inspector


def test_stage_plan_refuses_an_end_before_the_start(client, manager, unit):
    client.force_login(manager)
    data = {"planned_start": "2026-05-02", "planned_end": "2026-05-01", "instructions": ""}
    response = client.post(url("stage_plan", unit, "S0"), data)
    assert response.status_code == 422
    assert "Planned end 2026-05-01 is before the planned start 2026-05-02" in (
        response.content.decode()
    )


def test_stages_plan_is_for_managers(client, technician, unit):
    client.force_login(technician)
    assert client.post(url("stages_plan", unit)).status_code == 403


def test_stage_reopen_needs_a_reason(client, manager, unit):
    client.force_login(manager)
    response = client.post(url("stage_reopen", unit, "S0"), {"reason": ""})
    assert response.status_code == 422


def test_stage_plan_with_a_person_that_cannot_be_is_refused(client, manager, unit):
    client.force_login(manager)
    response = client.post(url("stage_plan", unit, "S0"), {"people": "9223372036854775808"})
    assert response.status_code == 422
    assert "not one of the available choices" in response.content.decode()
