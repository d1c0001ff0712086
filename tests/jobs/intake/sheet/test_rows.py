import pytest

from jobs.intake.sheet.rows import unit_words


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ([], ""),
        (["A"], "A"),
        (["A", "B", "C"], "A, B, C"),
        (["A", "B", "C", "D", "E"], "A, B, C and 2 more"),
    ],
)
def test_unit_words_name_three_and_count_the_rest(numbers, words):
    assert unit_words(numbers) == words
