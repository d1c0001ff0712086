from datetime import date

import pytest

from inspections.as_built.actions import record_origin
from inspections.service.actions import open_case, swap_part
from inspections.service.campaigns import search
from jobs.models import Serial
from tests.factories import make_line, make_part, make_unit, make_wired_job

pytestmark = pytest.mark.django_db
DAY = date(2026, 5, 13)


@pytest.fixture
def units(shop):
    return [make_unit(job=make_wired_job(), number=f"SR-{number}") for number in (4, 5)]


def found(**asked):
    return [match.unit.number for match in search(asked)]


def origin(unit, by, kind, value, on=DAY, **fields):
    return record_origin(unit=unit, by=by, kind=kind, value=value, on=on, **fields)


def test_search_by_part_code(units):
    make_line(job=units[1].job, ref="L09", part=make_part(code="SA-200"))
    assert found(part="sa-200") == ["SR-5"]
    assert found(part="SA-201") == []


def test_search_by_crimp_tool_and_day_wants_both_on_one_record(units, technician):
    origin(units[0], technician, "crimp", "CT-3")
    origin(units[1], technician, "crimp", "CT-3", on=date(2026, 5, 14))
    origin(units[1], technician, "crimp", "CT-5")
    assert found(tool="ct-3") == ["SR-4", "SR-5"]
    assert found(tool="CT-3", day=DAY) == ["SR-4"]
    assert found(day=DAY) == ["SR-4", "SR-5"]


def test_search_by_logic_means_what_is_on_board_now(units, technician):
    for unit in units:
        origin(unit, technician, "logic", "1.2")
    origin(units[0], technician, "logic", "1.3", on=date(2026, 6, 3))
    assert found(logic="1.2") == ["SR-5"]
    assert found(logic="1.3") == ["SR-4"]


def test_search_by_lot_and_harness(units, technician):
    origin(units[0], technician, "lot", "GR-2604", line=units[0].job.lines.get())
    origin(units[1], technician, "harness", "RH-2")
    assert found(lot="gr-2604") == ["SR-4"]
    assert found(harness="RH-2") == ["SR-5"]
    assert found(lot="GR-2604", harness="RH-2") == []


def test_search_by_serial_number_also_finds_what_was_taken_out(units, technician):
    line = units[0].job.lines.get()
    Serial.objects.create(unit=units[0], line=line, serial="AX-17")
    case = open_case(unit=units[0], by=technician, symptom="S", on=DAY)
    swap_part(case=case, line=line, serial_out="AX-17", serial_in="BX-1", by=technician)
    (match,) = search({"serial": "ax-"})
    assert match.unit == units[0]
    assert match.why == ["L01: AX-17, taken out on Case 1"]


def test_search_says_why(units, technician):
    origin(units[0], technician, "crimp", "CT-3", note="Feed B")
    (match,) = search({"tool": "CT-3"})
    assert match.why == ["Crimp tool and day CT-3, 13 May 2026: Feed B"]
