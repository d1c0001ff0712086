from datetime import date

import pytest
from django import forms
from django.core.exceptions import ValidationError

from catalog.fields import (
    CodeField,
    DayField,
    NameField,
    TextField,
    WholeField,
    WordField,
    YesNoField,
)

WORDS = [("", "Choose"), ("warning", "Warning light"), ("scene", "Scene and work light")]


def complaint(field: forms.Field, text: str) -> str:
    with pytest.raises(ValidationError) as caught:
        field.clean(text)
    return caught.value.messages[0]


def test_code_becomes_capitals_and_keeps_out_of_addresses_what_breaks_them():
    field = CodeField(most=40)
    assert field.clean(" lb-60t ") == "LB-60T"
    for text in ("A/B", "A B", "../X", "-A", "Ł1", "A?"):
        assert "is no part code" in complaint(field, text)


def test_text_names_the_length_that_is_too_long():
    assert complaint(TextField(most=5), "abcdef") == "6 characters are too long. At most 5."


def test_text_loses_invisible_marks_and_doubled_spaces():
    assert (
        TextField(most=50).clean("Roof\u00a0bar\u200b  60\u00ad in\nlong") == "Roof bar 60 in long"
    )


def test_text_keeps_lines_only_where_several_are_meant():
    field = TextField(most=50, widget=forms.Textarea())
    assert field.clean("one\r\ntwo ") == "one\ntwo"


def test_text_refuses_what_no_printer_knows():
    assert "cannot be printed (U+0007)" in complaint(TextField(most=9), "a\x07b")


def test_text_refuses_nul():
    assert complaint(TextField(most=9), "a\x00b")


def test_name_is_small_letters():
    assert NameField(most=20).clean(" Low  Beam ") == "low beam"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("1.5", "1.5 is not a whole number."),
        ("-1", "-1 is below 0."),
        ("31", "31 is above 30."),
        ("1e3", "1e3 is not a whole number."),
        ("٣", "٣ is not a whole number."),
        ("9" * 400, f"{'9' * 37}... is above 30."),
    ],
)
def test_whole_number_names_value_and_limit(text, sentence):
    assert complaint(WholeField(most=30), text) == sentence


def test_whole_number_reads_what_spreadsheets_make_of_it():
    assert WholeField(most=30).clean("21.0") == 21
    assert WholeField(most=30, initial=1, required=False).clean("") == 1


def test_word_takes_the_short_and_the_long_form():
    field = WordField(choices=WORDS)
    assert field.clean("Warning  LIGHT") == field.clean("warning") == "warning"
    assert complaint(field, "bulb") == "bulb is not one of warning, scene."
    assert complaint(field, "") == "This needs a value."


def test_empty_word_is_the_initial_one():
    assert WordField(choices=WORDS, initial="scene", required=False).clean("") == "scene"


def test_yes_no_reads_both_and_nothing_else():
    field = YesNoField(required=False)
    assert [field.clean(text) for text in ("yes", "TRUE", "no", "")] == [True, True, False, False]
    assert complaint(field, "maybe") == "maybe is neither yes nor no."


def test_day_is_read_in_one_order_only():
    field = DayField(required=False)
    assert field.clean("2026-11-20") == field.clean("20 Nov 2026") == date(2026, 11, 20)
    assert "Type it like 2026-11-20" in complaint(field, "11/20/2026")
    assert "not between 1990 and 2100" in complaint(field, "0026-11-20")
