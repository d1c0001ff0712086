import pytest

from catalog.actions import create_part, revise_part
from catalog.datasheet import of_revision
from catalog.export import HEADINGS, export_rows, template_rows
from catalog.models import Part
from catalog.plan import Plan, plan_of
from catalog.sheets import SheetError, csv_lines, xlsx_bytes
from tests.catalog.hostile import csv_of
from tests.factories import make_datasheet, make_part

pytestmark = pytest.mark.django_db


def plan(*rows: str, header: str = "code,kind,description,list_usd,hours") -> Plan:
    return plan_of(name="parts.csv", content=csv_of(*rows, header=header))


def told(found: Plan) -> list[tuple[str, str, str, str]]:
    return [(s.code, c.what, c.old, c.new) for s in found.steps for c in s.changes]


def test_a_price_list_changes_prices_and_nothing_else():
    make_part(code="P-1")
    make_part(code="P-2", list_price_cents=900)
    make_part(code="P-3")
    found = plan("P-1,151.25", "P-2,9", header="code,list_usd")
    assert told(found) == [("P-1", "List price", "$148.00", "$151.25")]
    assert (found.new, found.changed, found.unchanged, found.untouched) == (0, 1, 1, 1)


def test_a_new_part_is_told_whole_and_after_the_changed_ones():
    make_part(code="P-1")
    found = plan("NEW,scene,Lamp,10,1", "P-1,warning,Grille head,148,1")
    assert [(step.code, step.is_new, step.base) for step in found.steps] == [
        ("P-1", False, 1),
        ("NEW", True, 0),
    ]
    assert ("NEW", "List price", "", "$10.00") in [
        (code, what, old if old != "not known" else "", new) for code, what, old, new in told(found)
    ]


def test_a_new_part_needs_its_columns():
    found = plan("NEW,10", header="code,list_usd")
    assert [problem.column for problem in found.problems] == ["kind", "description", "hours"]
    assert found.steps == ()


def test_figures_that_contradict_the_catalog_are_named():
    make_part(code="P-1", supply_min_mv=10_500, supply_max_mv=None)
    (problem,) = plan("P-1,9", header="code,supply_max_v").problems
    assert str(problem) == ("Row 2, supply_max_v: 9 V is below the least supply voltage of 10.5 V.")


def test_kind_and_retirement_move_without_a_revision():
    make_part(code="P-1")
    found = plan("P-1,scene,yes", header="code,kind,retired")
    assert [change.what for change in found.steps[0].changes] == ["Kind", "Retired"]
    assert not found.steps[0].revises


def test_the_digest_changes_with_the_catalog_and_with_the_file():
    part = make_part(code="P-1")
    first = plan("P-1,151", header="code,list_usd").digest
    assert plan("P-1,151", header="code,list_usd").digest == first
    assert plan("P-1,152", header="code,list_usd").digest != first
    revise_part(
        part=part, base_number=1, datasheet=make_datasheet(list_price_cents=15_000), by="Dan"
    )
    assert plan("P-1,151", header="code,list_usd").digest != first


def make_catalog() -> None:
    make_part(code="P-1", note="Two lines\n=of note", cost_cents=1234, description="-dash first")
    make_part(
        code="P-2",
        kind="control",
        draws=[
            {"average_ma": 300, "peak_ma": 301, "standby_ua": 3001},
            {"function": "low", "load_model": "power"},
        ],
        limits=[
            {"what": "channel", "label": "1 to 4", "limit_ma": 25_000, "count": 4},
            {"what": "module", "limit_ma": 80_000},
            {"what": "group", "label": "left", "limit_ma": 1},
        ],
        labour_minutes=50,
    )
    make_part(code="P-3", draws=(), mass_g=None, supply_min_mv=None, supply_max_mv=None)
    Part.objects.filter(code="P-3").update(retired=True)


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_an_export_read_back_changes_nothing(ending):
    make_catalog()
    rows = list(export_rows(Part.objects.all()))
    content = (
        "".join(csv_lines(HEADINGS, rows)).encode()
        if ending == "csv"
        else xlsx_bytes("Parts", HEADINGS, rows)
    )
    found = plan_of(name=f"parts.{ending}", content=content)
    assert found.problems == () and told(found) == []
    assert found.unchanged == 3


def test_an_export_into_an_empty_catalog_makes_the_same_parts():
    make_catalog()
    before = {part.code: of_revision(part.current) for part in Part.objects.all()}
    content = "".join(csv_lines(HEADINGS, export_rows(Part.objects.all()))).encode()
    Part.objects.update(current=None)
    for part in Part.objects.all():
        part.revisions.all().delete()
    Part.objects.all().delete()
    found = plan_of(name="parts.csv", content=content)
    assert found.problems == ()
    assert {step.code: step.new for step in found.steps} == before
    assert [step.code for step in found.steps if step.retired] == ["P-3"]


def test_the_template_holds_no_part_until_somebody_writes_one():
    content = "".join(csv_lines(HEADINGS, template_rows())).encode()
    with pytest.raises(SheetError, match="no row of data"):
        plan_of(name="template.csv", content=content)


def test_the_examples_of_the_template_are_good_parts():
    rows = [[str(row[0]).lstrip("#"), *row[1:]] for row in list(template_rows())[1:]]
    found = plan_of(name="template.csv", content="".join(csv_lines(HEADINGS, rows)).encode())
    assert found.problems == ()
    assert [step.code for step in found.steps] == ["EX-BAR", "EX-NODE"]
    for step in found.steps:
        create_part(code=step.code, datasheet=step.new, by="Dan")


@pytest.mark.parametrize("count", [1, 40])
def test_planning_asks_the_database_as_often_for_many_parts(django_assert_num_queries, count):
    for number in range(count):
        make_part(code=f"P-{number}")
    rows = [f"P-{number},1" for number in range(count)]
    with django_assert_num_queries(4):
        plan(*rows, header="code,list_usd")
