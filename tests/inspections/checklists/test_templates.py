from decimal import Decimal

import pytest

from inspections.checklists.generate import generate_checks
from inspections.checklists.making import Maker
from inspections.checklists.templates import (
    TemplateError,
    add_template,
    change_template,
    current_templates,
)
from inspections.defects.actions import record_check
from inspections.models import CheckTemplate
from jobs.models import AuditEvent, CircuitLoad
from tests.factories import make_instrument, make_unit, make_wired_job, make_working_unit, reading

pytestmark = pytest.mark.django_db


def newest(code):
    return next(one for one in current_templates() if one.code == code)


def change(code, by, **facts):
    seen = newest(code).version
    return change_template(code=code, seen_version=seen, by=by, facts={"note": "Tried it", **facts})


def test_a_new_shop_gets_the_usual_templates_once(db):
    codes = [one.code for one in current_templates()]
    assert len(codes) == len(set(codes)) == CheckTemplate.objects.count()
    assert {"ID.VIN", "circuit.volts", "MAST.1", "keyoff", "timer", "crimp"} <= set(codes)
    current_templates()
    assert len(codes) == CheckTemplate.objects.count()


def test_every_template_says_why_all_or_why_a_sample(db):
    assert [one.code for one in current_templates() if not one.coverage_reason] == []


def test_change_template_is_a_new_version_and_the_old_one_stays(manager):
    changed = change("circuit.volts", manager, spread_least=Decimal("0.2"))
    assert changed.version == 2
    assert CheckTemplate.objects.get(code="circuit.volts", version=1).spread_least == Decimal("0.3")
    assert "Voltage, each circuit version 2: Tried it" in AuditEvent.objects.latest("id").sentence


def test_change_template_from_an_old_look_is_refused(manager):
    current_templates()
    change("ID.VIN", manager, title="VIN")
    with pytest.raises(TemplateError, match="changed by somebody else"):
        change_template(code="ID.VIN", seen_version=1, by=manager, facts={"title": "Other"})


def test_a_change_reaches_units_only_when_their_checks_are_made(manager, inspector):
    unit = make_working_unit(by=manager)
    generate_checks(unit=unit, by=manager)
    check = unit.checks.get(ref="A-01.V")
    record_check(
        check=check, by=inspector, reading=reading("pass", "13.4", instrument=make_instrument())
    )
    change("circuit.volts", manager, spread_least=Decimal("0.2"))
    check.refresh_from_db()
    assert (check.low, check.template_version, check.state) == (Decimal("13.100"), 1, "pass")
    generate_checks(unit=unit, by=manager)
    check.refresh_from_db()
    assert (check.low, check.template_version, check.state) == (Decimal("13.200"), 2, "again")
    assert check.former["1"]["low"] == "13.100"


def test_a_retired_template_makes_no_check(manager):
    unit = make_working_unit(by=manager)
    change("ROAD", manager, retired=True)
    generate_checks(unit=unit, by=manager)
    assert not unit.checks.filter(ref="ROAD").exists()


def test_a_check_of_the_shop_is_made_for_every_unit(manager):
    add_template(
        by=manager,
        facts={
            "code": "PAINT",
            "title": "Paint",
            "area": "Body",
            "stage": "S13",
            "kind": "visual",
            "coverage_reason": "Each panel is seen",
        },
    )
    unit = make_working_unit(by=manager)
    generate_checks(unit=unit, by=manager)
    assert unit.checks.get(ref="PAINT").template_version == 1


def test_fuse_found_is_compared_with_the_fuse_designed(manager, inspector):
    unit = make_working_unit(by=manager)
    generate_checks(unit=unit, by=manager)
    check = unit.checks.get(ref="A-01.F")
    wrong, defect = record_check(check=check, by=inspector, reading=reading("pass", "15"))
    assert (wrong.verdict, str(defect)) == ("fail", "NCR-01")
    assert "Found 15 A; expected: 10 A" in defect.found


def test_the_first_unit_of_a_fleet_is_checked_whole(manager):
    job = make_wired_job()
    first = make_working_unit(job=job, by=manager)
    second = make_unit(job=job)
    change("circuit.current", manager, coverage="sample", sample_percent=1)
    templates = current_templates()
    one, two = Maker(first, templates), Maker(second, templates)
    subjects = [f"A-{number:02d}" for number in range(60)]
    assert all(one.sampling("circuit.current", subject)[0] for subject in subjects)
    drawn = [subject for subject in subjects if two.sampling("circuit.current", subject)[0]]
    assert len(drawn) < 10
    again = [subject for subject in subjects if two.sampling("circuit.current", subject)[0]]
    assert drawn == again


def test_a_failure_in_a_sample_calls_for_all_of_them(manager, inspector):
    """A light circuit that was not drawn is measured once another one of the sample fails."""
    job = make_wired_job()
    CircuitLoad.objects.update(quantity=2)  # 3.6 A peak: below 5 A, so a sample
    unit = make_working_unit(job=job, by=manager)
    change("circuit.volts", manager, sample_percent=100)
    generate_checks(unit=unit, by=manager)
    check = unit.checks.get(ref="A-01.V")
    assert check.sampled
    twin = job.circuits.get()
    load = twin.loads.get()
    for number in range(2, 14):
        twin.pk, twin.ref, twin.label = None, f"A-{number:02d}", f"A-{number:02d}"
        twin.save()
        load.pk, load.circuit = None, twin
        load.save()
    change("circuit.volts", manager, sample_percent=1)
    generate_checks(unit=unit, by=manager)
    volts = unit.checks.filter(template_code="circuit.volts", retired=False)
    before = volts.count()
    assert before < 13
    check.refresh_from_db()
    check.retired, check.state = False, "open"
    check.save()
    _, defect = record_check(
        check=check, by=inspector, reading=reading("fail", "11", instrument=make_instrument())
    )
    assert defect is not None
    assert volts.count() == 13
