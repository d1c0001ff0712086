import csv
import io
import json

import pytest

from inspections.handover.contents import gather
from tests.factories import make_working_unit
from tests.jobs.build_sheet.control.rows import keep_demo

pytestmark = pytest.mark.django_db


def of(contents, key):
    return next(one for one in contents.sections if one["key"] == key)["data"]


def test_section_and_files_of_the_packet_carry_the_same_digest(manager):
    unit = make_working_unit(by=manager, number="SR-4")
    kept = keep_demo(job=unit.job)
    contents = gather(unit, revision=1)
    assert of(contents, "control")["sha256"] == kept.sha256
    files = {one["name"]: one["text"] for one in contents.attachments}
    name = f"{unit.job.number}-SR-4-configuration"
    first = next(csv.reader(io.StringIO(files[f"{name}.csv"])))
    assert first == ["version", "1.3", "sha256", kept.sha256]
    assert json.loads(files[f"{name}.json"])["sha256"] == kept.sha256
    named = {one["name"] for one in of(contents, "attachments")["files"]}
    assert named == set(files)


def test_a_packet_without_logic_has_no_such_files(manager):
    unit = make_working_unit(by=manager, number="SR-4")
    names = [one["name"] for one in gather(unit, revision=1).attachments]
    assert not [name for name in names if "configuration" in name]
