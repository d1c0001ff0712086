import pytest

from catalog.entries import read_entries
from catalog.sheets import SheetError
from tests.catalog.hostile import HOSTILE


@pytest.mark.parametrize("kind", HOSTILE)
def test_hostile_files_are_refused_with_one_sentence(kind):
    content, words = HOSTILE[kind]
    with pytest.raises(SheetError) as caught:
        read_entries(name="parts.csv", content=content)
    sentence = str(caught.value)
    assert all(word in sentence for word in words), sentence
    assert sentence.startswith("parts.csv") and "\n" not in sentence


def test_entities_are_refused_before_they_grow():
    with pytest.raises(SheetError) as caught:
        read_entries(name="parts.xlsx", content=HOSTILE["an entity bomb"][0])
    chain, error = [], caught.value
    while error is not None:
        chain.append(type(error).__name__)
        error = error.__cause__ or error.__context__
    assert "EntitiesForbidden" in chain
