import pytest

from jobs.stages.board import my_stages, row
from tests.factories import make_working_unit

pytestmark = pytest.mark.django_db


def test_my_stages_holds_what_is_mine_or_nobodys(manager, technician, other_technician):
    unit = make_working_unit(by=manager)
    unit.stages.get(code="S0").people.add(other_technician)
    codes = [stage.code for stage in my_stages(technician)]
    assert "S0" not in codes
    assert "S1" in codes


def test_row_says_when_more_hours_are_booked_than_planned(manager, technician):
    unit = make_working_unit(by=manager)
    stage = unit.stages.get(code="S6")
    stage.booked = stage.planned_minutes + 1
    assert row(stage).over
    stage.booked = stage.planned_minutes
    assert not row(stage).over
