from decimal import Decimal

import pytest

from catalog.actions import revise_part
from catalog.models import Part
from catalog.ratings import ANY_GAP, gap_words, revisions_with_gaps, with_gaps
from tests.factories import make_datasheet, make_part

pytestmark = pytest.mark.django_db
RED = {"colour": "red", "average_ma": 900, "peak_ma": 1800}

# What a part lacks, and the words for it.
CASES = [
    ({}, []),
    ({"mass_g": None}, ["weight"]),
    ({"kind": "sublet", "mass_g": None, "draws": ()}, []),
    ({"supply_min_mv": None}, ["supply voltage range"]),
    ({"supply_max_mv": None}, ["supply voltage range"]),
    ({"kind": "interior", "draws": (), "supply_min_mv": None}, []),
    ({"draws": ()}, ["current table"]),
    ({"kind": "power", "draws": ()}, []),
    ({"draws": [RED, {"colour": "white", "peak_ma": 1}]}, ["average current"]),
    ({"draws": [RED, {"colour": "white", "average_ma": 1}]}, ["peak current"]),
    ({"draws": [{"average_ma": 0, "peak_ma": 0}], "mass_g": Decimal(0)}, []),
]


@pytest.mark.parametrize(("facts", "words"), CASES)
def test_gaps_are_found_alike_on_the_list_and_on_the_page(facts, words):
    part = make_part(**facts)
    assert gap_words(with_gaps(Part.objects.all()).get()) == words
    assert gap_words(revisions_with_gaps(part.revisions.all()).get()) == words
    assert with_gaps(Part.objects.all()).filter(ANY_GAP).exists() == bool(words)


def test_gaps_of_an_older_revision_do_not_count_for_the_part():
    part = make_part(mass_g=None)
    revise_part(part=part, base_number=1, datasheet=make_datasheet(), by="Dan")
    assert not with_gaps(Part.objects.all()).filter(ANY_GAP).exists()
