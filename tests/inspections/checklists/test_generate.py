from decimal import Decimal

import pytest

from inspections.checklists.actions import record_result
from inspections.checklists.generate import generate_checks
from jobs.models import Circuit, Stage
from tests.factories import (
    make_instrument,
    make_line,
    make_part,
    make_unit,
    make_wired_job,
    make_working_unit,
    reading,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager, keyoff_baseline_ua=28_000)
    generate_checks(unit=unit, by=manager)
    return unit


def test_generate_checks_expects_the_device_of_the_design(unit):
    assert unit.checks.get(ref="A-01.F").expected_text == "10 A, blade fuse"
    assert unit.checks.get(ref="A.F").expected_text == "50 A, breaker, manual reset (type iii)"


def test_generate_checks_predicts_the_voltage_under_load(unit):
    """13.8 V test voltage less 0.352 V of feed and branch = 13.4 V; limit 0.3 V below."""
    check = unit.checks.get(ref="A-01.V")
    assert (check.predicted, check.low) == (Decimal("13.400"), Decimal("13.100"))


def test_generate_checks_predicts_the_current_within_15_percent(unit):
    check = unit.checks.get(ref="A-01.I")
    assert check.predicted == Decimal("3.600")
    assert (check.low, check.high) == (Decimal("3.060"), Decimal("4.140"))


def test_generate_checks_limits_the_keyoff_draw_by_baseline_and_total(unit, manager):
    assert unit.checks.get(ref="KEYOFF").high == Decimal(58)
    unit.keyoff_baseline_ua = 70_000
    unit.save()
    generate_checks(unit=unit, by=manager)
    assert unit.checks.get(ref="KEYOFF").high == Decimal(85)


def test_generate_checks_asks_for_each_door_switch_alone(manager):
    job = make_wired_job()
    make_line(job=job, ref="L22", part=make_part(check_group="door"), quantity=5)
    unit = make_working_unit(job=job, by=manager)
    generate_checks(unit=unit, by=manager)
    assert unit.checks.filter(area="Doors").count() == 5


def test_generate_checks_asks_for_mast_conditions_only_where_a_mast_is(unit, manager):
    assert not unit.checks.filter(area="Mast").exists()
    make_line(job=unit.job, ref="L11", part=make_part(check_group="mast"))
    generate_checks(unit=unit, by=manager)
    assert unit.checks.filter(area="Mast").count() == 12


def test_generate_checks_again_changes_nothing(unit, manager):
    before = list(unit.checks.values_list("pk", "version"))
    assert generate_checks(unit=unit, by=manager) == (0, 0)
    assert list(unit.checks.values_list("pk", "version")) == before


def test_generate_checks_of_a_changed_design_asks_the_changed_check_again(unit, manager, inspector):
    check = unit.checks.get(ref="A-01.V")
    record_result(
        check=check, by=inspector, reading=reading("pass", "13.4", instrument=make_instrument())
    )
    Circuit.objects.update(length_mm=Decimal(9144))
    made, changed = generate_checks(unit=unit, by=manager)
    check.refresh_from_db()
    assert (made, check.version, check.state) == (0, 2, "again")
    assert changed >= 1


def test_generate_checks_retires_what_the_design_no_longer_asks(unit, manager):
    unit.job.circuits.get().delete()
    generate_checks(unit=unit, by=manager)
    assert unit.checks.get(ref="A-01.F").retired


def test_generate_checks_without_stages_says_so(manager):
    with pytest.raises(Stage.DoesNotExist, match="has no stage"):
        generate_checks(unit=make_unit(job=make_wired_job()), by=manager)
