from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from inspections.checklists.generate import generate_checks
from inspections.defects import actions
from inspections.defects.actions import DefectError
from inspections.defects.containment import touched_by
from inspections.evidence.verify import verify_unit
from inspections.models import Defect, Instrument, Release
from inspections.release.actions import people_who_worked
from jobs.models import Stage
from jobs.stages.actions import plan_stages, start_work, stop_work
from tests.factories import make_instrument, make_unit, make_wired_job, make_working_unit, reading

pytestmark = pytest.mark.django_db


def worked(unit, code, person, at):
    stage = unit.stages.get(code=code)
    Stage.objects.filter(pk=stage.pk).update(state="working")
    stage.refresh_from_db()
    start_work(stage=stage, by=person, at=at)
    stop_work(stage=stage, by=person, at=at + timedelta(hours=2))


@pytest.fixture
def fleet(manager, technician):
    """Two units from one drawing, wired by the same person on the same day."""
    job = make_wired_job()
    first = make_working_unit(job=job, by=manager, number="SR-1")
    second = make_unit(job=first.job, number="SR-2")
    plan_stages(unit=second, by=manager)
    day = datetime(2026, 5, 4, 9, tzinfo=UTC)
    for unit in (first, second):
        generate_checks(unit=unit, by=manager)
        worked(unit, "S6", technician, day)
    return first, second


@pytest.fixture
def defect(fleet, inspector):
    first = fleet[0]
    meter = make_instrument()
    for unit in fleet:
        actions.record_check(
            check=unit.checks.get(ref="A-01.I"),
            by=inspector,
            reading=reading("pass", "3.6", instrument=meter),
        )
    _, defect = actions.record_check(
        check=first.checks.get(ref="A-01.V"),
        by=inspector,
        reading=reading("pass", "12.1", instrument=meter),
    )
    return defect


def refs(group):
    return [f"{check.unit.number} {check.ref}" for check in group.checks]


def test_touched_by_names_tool_people_and_drawing(defect):
    groups = {group.why: refs(group) for group in touched_by(defect)}
    tool = next(words for words in groups if words.startswith("Measured with DM-2"))
    assert groups[tool] == ["SR-1 A-01.I", "SR-2 A-01.I"]
    person = next(words for words in groups if "Tess Cedar" in words)
    assert person == "Voltage made by Tess Cedar on 4 May 2026"
    assert groups[person] == ["SR-2 A-01.V"]
    assert "SR-1 A-01.P" in groups["On the same circuit A-01"]


def test_the_same_drawing_is_found_without_people_or_tool(fleet, inspector):
    _, defect = actions.record_check(
        check=fleet[0].checks.get(ref="ROAD"), by=inspector, reading=reading("fail", reason="x")
    )
    groups = {group.why: refs(group) for group in touched_by(defect)}
    assert groups == {"The same item on the other units, from the same drawing": ["SR-2 ROAD"]}


def test_contain_opens_what_was_done_and_keeps_every_result(defect, fleet, manager):
    second = fleet[1]
    checks = [second.checks.get(ref="A-01.I"), second.checks.get(ref="A-01.V")]
    opened = actions.contain(defect=defect, by=manager, checks=checks)
    assert [check.ref for check in opened] == ["A-01.I"]  # the other one waits anyway
    assert second.checks.get(ref="A-01.I").state == "again"
    assert second.results.count() == 2
    assert verify_unit(second) is None
    assert {check.ref for check in defect.contained.all()} == {"A-01.I", "A-01.V"}


def test_contain_makes_nobody_a_worker(defect, fleet, inspector):
    actions.contain(defect=defect, by=inspector, checks=[fleet[1].checks.get(ref="A-01.I")])
    assert inspector.pk not in people_who_worked(fleet[1])


def test_contain_leaves_a_released_unit_alone(defect, fleet, manager, inspector):
    second = fleet[1]
    Release.objects.create(
        unit=second, released_by=inspector, released_at=datetime.now(UTC), chain_sequence=1
    )
    with pytest.raises(DefectError, match="on SR-2: released already"):
        actions.contain(defect=defect, by=manager, checks=[second.checks.get(ref="A-01.I")])


def test_a_second_failure_waits_for_an_office_manager(
    defect, fleet, technician, inspector, manager
):
    def describe(by):
        actions.describe_defect(
            defect=defect, by=by, seen_version=Defect.objects.get().version, cause="workmanship",
            containment="none", rework_text="New ring",
        )  # fmt: skip

    describe(technician)
    actions.mark_reworked(defect=defect, by=technician, retest=[])
    actions.record_check(
        check=fleet[0].checks.get(ref="A-01.V"),
        by=inspector,
        reading=reading("pass", "12.2", instrument=Instrument.objects.get()),
    )
    defect.refresh_from_db()
    assert (defect.state, defect.failures, defect.escalated) == ("open", 2, True)
    describe(technician)
    with pytest.raises(DefectError, match="failed 2 times"):
        actions.mark_reworked(defect=defect, by=technician, retest=[])
    describe(manager)
    actions.mark_reworked(defect=defect, by=technician, retest=[])
    assert Defect.objects.get().state == "reworked"


def address(defect, name):
    unit = defect.unit
    return reverse(f"inspections:{name}", args=[unit.job.number, unit.number, defect.number])


def test_defect_contain_orders_the_chosen_checks_again(client, inspector, defect, fleet):
    client.force_login(inspector)
    page = client.get(address(defect, "defect_detail")).content.decode()
    assert "What else the cause may have touched" in page
    check = fleet[1].checks.get(ref="A-01.I")
    answer = client.post(address(defect, "defect_contain"), {"checks": [check.pk]})
    assert answer.status_code == 302
    assert (
        "ordered again by NCR-01" in client.get(address(defect, "defect_detail")).content.decode()
    )


@pytest.mark.parametrize("checks", [[], ["0"], ["x"], ["9" * 40]])
def test_defect_contain_refuses_what_is_not_on_the_list(client, inspector, defect, checks):
    client.force_login(inspector)
    answer = client.post(address(defect, "defect_contain"), {"checks": checks})
    assert answer.status_code == 422
    assert not defect.contained.exists()


def test_defect_contain_is_not_for_technicians(client, technician, defect):
    client.force_login(technician)
    assert client.post(address(defect, "defect_contain"), {}).status_code == 403
