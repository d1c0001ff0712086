import pytest
from django.template.loader import render_to_string

from inspections.handover.quality_sections import checks_of, readings
from tests.factories import make_draft, make_working_unit, release_draft

pytestmark = pytest.mark.django_db


def test_readings_of_the_logic_say_what_to_do_and_what_to_expect(manager, designer):
    unit = make_working_unit(by=manager)
    release_draft(make_draft(by=designer, job=unit.job), by=designer)
    (record,) = (one for one in readings(checks_of(unit)) if "Control logic" in one["title"])
    rows = [row for table in record["data"]["tables"] for row in table["rows"]]
    step = next(row for row in rows if row["title"] == "Mast up is off with park brake not known")
    assert step["do"].startswith("Start: ")
    assert step["expected"] == "Mast up is off."
    page = render_to_string(record["template"], record["data"])
    assert "Start here, do this" in page
    assert "<br>Unplug park brake." in page
    assert step["title"] not in page  # the outcome stands once, under what to expect
