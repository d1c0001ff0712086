import pytest

from catalog.columns import BY_NAME, COLUMNS, DRAWS, FACTS, LIMITS, Of, columns_of
from catalog.forms import SECTIONS
from catalog.models import CurrentDraw, PartRevision, RatingLimit

MODELS = {Of.FACT: PartRevision, Of.DRAW: CurrentDraw, Of.LIMIT: RatingLimit}
# Set by the catalog itself, never by a sheet.
OWN = {"id", "part", "revision", "number", "reason", "created_at", "created_by"}


@pytest.mark.parametrize("group", MODELS)
def test_every_model_field_has_its_column(group):
    fields = {field.name for field in MODELS[group]._meta.fields} - OWN
    assert {column.field for column in columns_of(group)} == fields


def test_names_are_unique_and_fit_a_heading():
    assert len(BY_NAME) == len(COLUMNS)
    assert all(name == name.lower() and " " not in name for name in BY_NAME)


def test_every_example_is_read_without_complaint():
    rows = {len(column.examples) for column in COLUMNS}
    assert len(rows) == 1
    for column in COLUMNS:
        for cell in filter(None, column.examples):
            column.clean(cell)


@pytest.mark.parametrize("column", FACTS + DRAWS + LIMITS, ids=lambda column: column.name)
def test_what_is_written_reads_back_as_the_same_value(column):
    choices = column.choices or ["12"]
    value = column.clean(column.example or choices[0])
    assert column.clean(column.write(value)) == value


def test_empty_cells_are_unknown_not_zero():
    for name in ("average_a", "peak_a", "weight_lb", "cost_usd", "supply_min_v", "lead_days"):
        assert BY_NAME[name].clean("") is None
        assert BY_NAME[name].show(None) == "not known"


def test_limits_of_columns_fit_their_database_column():
    for column in COLUMNS:
        field = MODELS.get(column.of) and MODELS[column.of]._meta.get_field(column.field)
        most = getattr(column.read, "most", None)
        if most is None or not hasattr(column.read, "unit"):
            continue
        factor = getattr(column.read.unit, "factor", 1)
        room = {"PositiveSmallIntegerField": 32_767, "PositiveIntegerField": 2_147_483_647}
        assert most * factor <= room.get(field.get_internal_type(), 10**9)


def test_every_fact_has_its_place_on_the_page():
    placed = [name for _, names in SECTIONS for name in names]
    assert sorted(placed) == sorted(column.field for column in FACTS)
