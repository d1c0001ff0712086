import json

import pytest

from jobs.build_sheet.design import design_of
from jobs.build_sheet.exchange.bring import bring
from jobs.build_sheet.exchange.read import read_build
from jobs.build_sheet.exchange.write import build_of, json_bytes, workbook
from jobs.electrical.check import check
from jobs.electrical.design_json import to_json
from jobs.models import (
    AcBranch,
    AcSide,
    AuditEvent,
    Circuit,
    Feed,
    ModeDuty,
    NeutralBond,
    OperatingMode,
    Payload,
    Serial,
    Supply,
)
from tests.factories import make_job, make_unit, make_wired_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def full():
    """A wired job with a mode, crew, a unit and a 120 V side."""
    job = make_wired_job(drop_limit_percent="7.5")
    make_unit(job=job, number="U-1", wheelbase_mm=3_759, seats=2)
    mode = OperatingMode.objects.create(job=job, key="scene", name="Scene", source="idle")
    ModeDuty.objects.create(mode=mode, circuit=job.circuits.get(), permille=500)
    main = job.supplies.get()
    aux = Supply.objects.create(job=job, ref="AUX", name="Aux", kind="battery", nominal_mv=13_200)
    link = Feed.objects.create(
        job=job, ref="E", name="Link", supply=main, second_supply=aux, device_kind="fuse_bolt"
    )
    mode.closed_links.add(link)
    for x_mm in (457, 2083):
        Payload.objects.create(job=job, description="Crew", quantity=2, mass_g=90_718, x_mm=x_mm)
    AcSide.objects.create(job=job, inverter_feed=job.feeds.get(ref="A"), inverter_w=400, shore=True)
    AcBranch.objects.create(job=job, ref="1", name="=Outlets", breaker_ma=20_000, awg="12")
    NeutralBond.objects.create(job=job, name="Relay", on_inverter=True)
    return job


def carry(source, target, write, by="tests"):
    content = write(build_of(source))
    return bring(job=target, build=read_build("b", content), by=by, source="b")


def plain(job):
    build = build_of(job)
    return {name: table for name, table in build.items() if name != "job"}


@pytest.mark.parametrize("write", [json_bytes, workbook])
def test_a_build_written_and_read_back_is_the_same_design(full, write):
    other = make_job()
    report = carry(full, other, write)
    assert report.problems == []
    assert plain(other) == plain(full)
    ours, theirs = to_json(design_of(full)), to_json(design_of(other))
    assert {**ours, "name": ""} == {**theirs, "name": ""}
    assert check(design_of(full)) == check(design_of(other))


@pytest.mark.parametrize("write", [json_bytes, workbook])
def test_a_build_brought_onto_its_own_job_changes_nothing(full, write):
    version = full.circuits.get().version
    report = carry(full, full, write)
    assert report.problems == []
    assert report.words == "Added nothing; changed nothing; removed nothing."
    assert full.circuits.get().version == version


def changed(job, **tables):
    build = build_of(job)
    for name, change in tables.items():
        change(build[name])
    return read_build("b.json", json_bytes(build))


def test_changes_and_removals_are_counted_and_written_to_the_history(full):
    def edit(rows):
        rows[0]["length_ft"] = 20

    build = changed(full, circuits=edit, payload=lambda rows: rows.pop())
    report = bring(job=full, build=build, by="tests", source="b.json")
    assert report.words == "Added nothing; changed 1 circuits; removed 1 payload."
    row = full.circuits.get()
    assert (float(row.length_mm), row.version) == (6096.0, 1)
    told = AuditEvent.objects.get(job=full.number, verb="imported")
    assert "from b.json" in told.sentence


def test_a_dry_run_tells_and_keeps_nothing(full):
    build = changed(full, circuits=lambda rows: rows.clear())
    report = bring(job=full, build=build, by="tests", source="b", dry_run=True)
    assert report.removed["circuits"] == 1
    assert full.circuits.count() == 1
    assert not AuditEvent.objects.filter(verb="imported").exists()


def test_a_table_that_the_file_lacks_is_left_alone(full):
    data = {"format": "build", "version": 1, "payload": []}
    build = read_build("b.json", json.dumps(data).encode())
    report = bring(job=full, build=build, by="tests", source="b")
    assert report.removed == {"payload": 2}
    assert full.circuits.count() == 1


@pytest.mark.parametrize(
    ("table", "column", "value", "words"),
    [
        ("circuits", "length_ft", 0, "circuits[0].length_ft: One-way length is 0 ft"),
        ("circuits", "length_ft", 400, "circuits[0].length_ft: 400 ft is above 200"),
        ("circuits", "length_ft", "1e999", "circuits[0].length_ft: 1e999"),
        ("circuits", "length_ft", [1], "circuits[0].length_ft: must be one value"),
        ("circuits", "awg", "11", "circuits[0].awg: Select a valid choice. 11"),
        ("circuits", "feed", "Q", "circuits[0].feed: there is no feed Q."),
        ("circuits", "engine_space", "maybe", "circuits[0].engine_space: maybe is neither yes"),
        ("circuits", "lenght_ft", 3, "circuits[0]: lenght_ft is not a column of circuits"),
        ("supplies", "nominal_v", 0, "supplies[0].nominal_v: 0 V is below 1"),
        ("lines", "part_code", "NOPE", "lines[0].part_code: Part code NOPE is not in the catalog"),
        ("duty", "mode", "night", "duty[0].mode: there is no operating mode night."),
        ("duty", "percent", 101, "duty[0].percent: Ensure this value is less than"),
        ("loads", "quantity", -1, "loads[0].quantity: Ensure this value is greater"),
        ("units", "gvwr_lb", -5, "units[0].gvwr_lb: -5 lb is below 1"),
        ("ac", "inverter_feed", None, "ac[0].inverter_feed: An inverter needs the feed"),
    ],
)
def test_a_bad_cell_is_named_with_its_path_and_nothing_is_kept(full, table, column, value, words):
    before = plain(full)

    def spoil(rows):
        rows[0][column] = value

    report = bring(job=full, build=changed(full, **{table: spoil}), by="tests", source="b")
    assert any(str(problem).startswith(words) for problem in report.problems), report.problems
    assert plain(full) == before


def test_a_bad_row_is_told_once_and_not_again_by_what_hangs_on_it(full):
    other = make_job()
    build = changed(full, feeds=lambda rows: rows[0].update(length_ft=-1))
    report = bring(job=other, build=build, by="tests", source="b")
    assert [str(problem) for problem in report.problems] == [
        "feeds[0].length_ft: One-way length is -1 ft; it must be above 0."
    ]


def test_a_row_in_use_is_not_removed(full):
    Serial.objects.create(unit=full.units.get(), line=full.lines.get(), serial="S1")
    build = changed(full, lines=lambda rows: rows.clear(), loads=lambda rows: rows.clear())
    report = bring(job=full, build=build, by="tests", source="b")
    assert "L01 is not in the file but is used by" in str(report.problems[0])
    assert full.lines.count() == 1


def test_an_unknown_rule_set_is_refused(full):
    build = build_of(full)
    build["job"]["rule_set"] = "mine"
    content = read_build("b", json_bytes(build))
    report = bring(job=full, build=content, by="tests", source="b")
    assert "mine is no rule set (known: common-practice" in str(report.problems[0])


def test_a_cell_that_is_left_out_keeps_what_stood_there(full):
    def shorten(rows):
        rows[:] = [{"ref": "A-01", "note": "Behind the seat"}]

    report = bring(job=full, build=changed(full, circuits=shorten), by="tests", source="b")
    assert report.problems == []
    row = Circuit.objects.get(job=full)
    assert (row.note, row.awg, row.device_ma) == ("Behind the seat", "12", 10_000)
