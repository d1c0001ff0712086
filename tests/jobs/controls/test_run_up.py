import pytest

from jobs.controls.plan import test_plan as plan_of
from jobs.controls.run_up import step_rows
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.small import small_logic


@pytest.fixture(scope="module")
def rows():
    logic = small_logic()
    return step_rows(logic, plan_of(logic))


def test_step_rows_name_every_assertion_once(rows):
    logic = small_logic()
    keys = [each.key for step in plan_of(logic).steps for each in step.asserts]
    assert [row["key"] for row in rows] == keys
    assert len({row["digest"] for row in rows}) == len(rows)


def test_step_rows_say_from_where_they_start(rows):
    assert rows[0]["start"] == "All at rest."
    later = [row["start"] for row in rows if row["start"] != "All at rest."]
    assert later
    assert all(start.endswith("All else at rest.") for start in later)


def test_step_rows_name_a_latch_that_is_on_before(rows):
    held = [row for row in rows if "still on from before: siren" in row["start"]]
    assert held
    assert all("iren" in row["title"] for row in held)


def test_step_rows_tell_which_signal_is_taken_away(rows):
    taken = [row for row in rows if row["key"].endswith(" unknown")]
    assert taken
    assert all(row["title"].endswith("not known") for row in taken)
    assert all(row["safety"] for row in taken)


@pytest.mark.slow
def test_step_rows_of_the_demo_fit_a_check():
    logic = demo_logic("1.3")
    rows = step_rows(logic, plan_of(logic))
    assert max(len(row["title"]) for row in rows) <= 160
    assert max(len(row["expected"]) for row in rows) <= 200
    assert max(len(row["key"]) for row in rows) <= 60
