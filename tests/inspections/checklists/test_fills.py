import pytest

from inspections.checklists.fills import FILLS, KINDS, from_words, pieces, to_words
from inspections.checklists.standard_design import DESIGN


@pytest.mark.parametrize("row", DESIGN, ids=lambda row: row["code"])
def test_every_template_of_the_design_reads_in_words_and_comes_back(row):
    for text in (row["title"], row["instruction"]):
        words = to_words(row["code"], text)
        assert "{" not in words
        assert from_words(row["code"], words) == text
    assert row["code"] in KINDS


def test_what_is_filled_in_stands_apart():
    found = list(pieces("circuit.volts", "Voltage at {name} ({ref})"))
    assert [piece.words for piece in found if piece.filled] == ["circuit name", "circuit"]


def test_only_what_the_design_knows_may_stand_in_brackets():
    with pytest.raises(ValueError, match=r"\[amps\] is nothing that the design knows"):
        from_words("circuit.volts", "Voltage at [amps]")
    assert from_words("ROAD", "Drive [twice]") == "Drive [twice]"
    assert from_words("circuit.volts", "At [Circuit  name] {ref}") == "At {name} {ref}"


def test_kinds_and_fills_name_templates_that_exist():
    codes = {row["code"] for row in DESIGN}
    assert set(FILLS) <= codes
    assert set(KINDS) == codes
