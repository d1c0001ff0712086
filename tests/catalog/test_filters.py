import pytest

from catalog.filters import SORTS, PartFilter, headings
from catalog.models import Part
from tests.factories import make_part

pytestmark = pytest.mark.django_db


def codes(**asked: str) -> list[str]:
    found = PartFilter(asked or {"search": ""}, Part.objects.all())
    assert found.is_valid(), found.form.errors
    return [part.code for part in found.qs]


@pytest.fixture
def parts():
    make_part(code="LB-60", description="Roof bar, red", list_price_cents=300)
    make_part(code="GR-2", description="Grille head RED", mass_g=None, list_price_cents=200)
    make_part(code="RD-1", kind="radio", ownership="agency", draws=(), list_price_cents=100)
    make_part(code="OLD-1", description="Roof bar, older")
    Part.objects.filter(code="OLD-1").update(retired=True)


def test_every_word_must_stand_in_code_or_description(parts):
    assert codes(search="red") == ["GR-2", "LB-60"]
    assert codes(search="bar lb") == ["LB-60"]
    assert codes(search="100%") == codes(search="zzz") == []


def test_filters_narrow_by_kind_owner_state_and_gaps(parts):
    assert codes() == ["GR-2", "LB-60", "RD-1"]
    assert codes(kind="radio") == codes(ownership="agency") == ["RD-1"]
    assert codes(state="retired") == ["OLD-1"]
    assert codes(state="all") == ["GR-2", "LB-60", "OLD-1", "RD-1"]
    assert codes(missing="on") == ["GR-2"]
    assert codes(search="red", kind="warning", missing="on") == ["GR-2"]


def test_order_turns_round_and_unknown_figures_stand_last(parts):
    assert codes(sort="price") == ["RD-1", "GR-2", "LB-60"]
    assert codes(sort="-price") == ["LB-60", "GR-2", "RD-1"]
    assert codes(sort="weight")[-1] == codes(sort="-weight")[-1] == "GR-2"


@pytest.mark.parametrize("word", [word for word, *_ in SORTS])
def test_every_heading_can_order_both_ways(parts, word):
    assert len(codes(sort=word)) == len(codes(sort=f"-{word}")) == 3


@pytest.mark.parametrize(
    ("name", "value"),
    [("kind", "bulb"), ("state", "x"), ("sort", "cost"), ("search", "x" * 101), ("search", "\0")],
)
def test_what_cannot_be_asked_is_said(name, value):
    assert name in PartFilter({name: value}, Part.objects.all()).form.errors


def test_headings_lead_to_the_other_order():
    by_word = {heading["word"]: heading for heading in headings("price")}
    assert by_word["price"] == {
        "word": "price", "title": "List price", "state": "ascending", "leads": "-price",
    }  # fmt: skip
    assert by_word["code"]["leads"] == "code" and by_word["code"]["state"] == ""
    assert headings("-price")[3]["state"] == "descending"
