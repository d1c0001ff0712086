import json

import pytest

from inspections.checklists.actions import decide_check, record_result
from inspections.checklists.generate import generate_checks
from inspections.handover.contents import gather
from tests.factories import make_instrument, make_requirement, make_working_unit, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager, inspector):
    unit = make_working_unit(by=manager, number="SR-4")
    make_requirement(job=unit.job, number=1, text="Łódź lights, 5 Ω, at least ½", status="open")
    generate_checks(unit=unit, by=manager)
    record_result(
        check=unit.checks.get(ref="A-01.V"),
        by=inspector,
        reading=reading("pass", "13.4", instrument=make_instrument()),
    )
    return unit


def section(contents, key):
    return next(one for one in contents.sections if one["key"] == key)


def test_gather_is_plain_json_in_the_order_of_the_packet(unit):
    contents = gather(unit, revision=1)
    keys = [one["key"] for one in contents.sections]
    assert keys[:3] == ["cover", "contents", "emergency"]
    assert keys[-1] == "attachments"
    assert json.loads(json.dumps(contents.sections)) == contents.sections


def test_gather_twice_gives_the_same_digest(unit):
    assert gather(unit, revision=1).sha256 == gather(unit, revision=1).sha256


def test_gather_digest_follows_one_reading(unit, inspector):
    before = gather(unit, revision=1).sha256
    record_result(
        check=unit.checks.get(ref="ROAD"), by=inspector, reading=reading("fail", reason="Rattle")
    )
    assert gather(unit, revision=1).sha256 != before


def test_gather_puts_measured_values_beside_the_calculated_ones(unit):
    (row,) = section(gather(unit, revision=1), "schedule-a")["data"]["rows"]
    assert row["measured"] == "13.4 V"
    assert row["drop"] == "0.35 V (2.7 %)"


def test_gather_attaches_the_circuits_as_a_table_and_the_design_as_data(unit):
    table, _, data = gather(unit, revision=1).attachments
    assert table["text"].splitlines()[0].startswith("ref,designation")
    assert json.loads(data["text"])["design"]["circuits"][0]["ref"] == "A-01"


def test_gather_names_requirements_as_they_were_typed(unit):
    rows = section(gather(unit, revision=1), "summary")["data"]["requirements"]
    assert rows[0]["text"] == "Łódź lights, 5 Ω, at least ½"


def test_gather_without_photos_has_no_empty_photo_section(unit):
    assert "photos" not in [one["key"] for one in gather(unit, revision=1).sections]


def test_gather_counts_warranty_from_acceptance(unit):
    rows = section(gather(unit, revision=1), "equipment")["data"]["groups"][0][1]
    assert rows[0]["warranty"] == "–"
    unit.job.lines.get().part.__class__.objects.update(warranty_months=24)
    rows = section(gather(unit, revision=1), "equipment")["data"]["groups"][0][1]
    assert rows[0]["warranty"] == "24 months from acceptance"


def test_gather_attaches_no_cell_that_a_spreadsheet_would_run(unit):
    unit.job.circuits.update(designation="=1+1", note="@SUM(A1)")
    table, *_ = gather(unit, revision=1).attachments
    cells = table["text"].splitlines()[1].split(",")
    assert "'=1+1" in cells
    assert "'@SUM(A1)" in cells


def test_gather_prints_the_answer_that_a_decision_kept_with_who_decided(
    unit, inspector, technician, manager
):
    check = unit.checks.get(ref="ROAD")
    kept = record_result(check=check, by=inspector, reading=reading(reason="12 miles"))
    record_result(check=check, by=technician, reading=reading("na", reason="No road yet"))
    decide_check(check=check, by=manager, keeps=kept, seen=3, reason="Driven together")
    sections = gather(unit, revision=1).sections
    rows = [
        row
        for one in sections
        if one["key"].startswith("qc-")
        for table in one["data"]["tables"]
        for row in table["rows"]
    ]
    (road,) = (row for row in rows if row["ref"] == "ROAD")
    assert (road["verdict"], road["who"]) == ("Pass", "Ines Elm")
    assert road["note"] == "12 miles; decided by Mona Ash: Driven together"
