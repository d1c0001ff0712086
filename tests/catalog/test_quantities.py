from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from catalog.quantities import AMPERE, DOLLAR, FOOT, HOUR, PERCENT, POUND, QuantityField, Unit


def typed(text: str, unit: Unit = DOLLAR, **limits) -> object:
    return QuantityField(unit, **limits).clean(text)


def complaint(text: str, unit: Unit = DOLLAR, **limits) -> str:
    with pytest.raises(ValidationError) as caught:
        typed(text, unit, **limits)
    return caught.value.messages[0]


@pytest.mark.parametrize(
    ("text", "unit", "stored"),
    [
        ("12.4", DOLLAR, 1240),
        ("12,4", DOLLAR, 1240),
        (" 12.4 ", DOLLAR, 1240),
        ("0", DOLLAR, 0),
        ("9.5", AMPERE, 9500),
        ("14", FOOT, Decimal("4267.20")),
        ("34", POUND, Decimal("15422.141")),
        ("6.25", HOUR, 375),
        ("22", PERCENT, 2200),
    ],
)
def test_typed_quantities_are_stored_exactly(text, unit, stored):
    assert typed(text, unit) == stored


@pytest.mark.parametrize("text", ["-", "abc", "NaN", "inf", "1.2.3", "12 V", "1e", "0x10"])
def test_what_is_no_number_is_said_to_be_none(text):
    assert complaint(text) == f"{text} is not a number. Type it in $."


@pytest.mark.parametrize("text", ["1,234", "12,345", "1,234,567"])
def test_a_comma_between_thousands_is_never_read_as_a_decimal(text):
    assert "can be read in two ways" in complaint(text)


def test_limits_are_named_with_the_value():
    assert complaint("-1") == "-1 $ is below 0."
    assert complaint("100.5", PERCENT, most=100) == "100.5 % is above 100."


@pytest.mark.parametrize("text", ["1e400", "9" * 60, "21474837"])
def test_numbers_that_no_column_holds_are_above_the_limit(text):
    assert complaint(text).endswith("$ is above 21474836.")


def test_stored_values_come_back_as_they_were_typed():
    for text, unit in (("14", FOOT), ("3.5", FOOT), ("34.7", POUND), ("9.5", AMPERE)):
        field = QuantityField(unit)
        assert field.prepare_value(field.clean(text)) == text
        assert not field.has_changed(field.clean(text), text)
