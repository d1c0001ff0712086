"""Filters that turn stored units into the trade's words. Stored: mA, mm, g, cents, minutes."""

from decimal import Decimal
from functools import lru_cache
from typing import Any

from babel.numbers import format_currency, format_decimal
from django import template

from catalog.quantities import FOOT, INCH, POUND
from jobs.electrical.rule_sets.catalog import rule_set_name as name_of_rule_set
from jobs.sources import SOURCE_BY_ID

register = template.Library()


@lru_cache(maxsize=8192)
def _number(value: Decimal | int | float, pattern: str) -> str:
    return format_decimal(value, format=pattern, locale="en_US")


@register.filter
def money(cents: int | None) -> str:
    """Integer cents as dollars: 7816151 -> $78,161.51."""
    if cents is None:
        return "not known"
    return format_currency(Decimal(cents) / 100, "USD", locale="en_US")


@register.filter
def signed_money(cents: int) -> str:
    """Like money, with a plus sign for additions."""
    return f"+{money(cents)}" if cents > 0 else money(cents)


@register.filter
def amps(milliamps: int | None) -> str:
    """Milliamps as amperes: 9500 -> 9.5 A."""
    if milliamps is None:
        return "not known"
    return f"{_number(Decimal(milliamps) / 1000, '#,##0.###')} A"


@register.filter
def milliamps(microamps: int | None) -> str:
    """Microamps as milliamps: 28000 -> 28 mA."""
    if microamps is None:
        return "not known"
    return f"{_number(Decimal(microamps) / 1000, '#,##0.###')} mA"


@register.filter
def amp_hours(milliamp_hours: int | None) -> str:
    """Milliamp hours as ampere hours: 95000 -> 95 Ah."""
    if milliamp_hours is None:
        return "not known"
    return f"{_number(Decimal(milliamp_hours) / 1000, '#,##0.###')} Ah"


@register.filter
def volts(millivolts: int | None) -> str:
    if millivolts is None:
        return "not known"
    return f"{_number(Decimal(millivolts) / 1000, '0.0##')} V"


@register.filter
def feet(mm: Decimal | None) -> str:
    """Millimetres as feet: 4267.2 -> 14 ft."""
    if mm is None:
        return "not known"
    return f"{_number(FOOT.to_shown(mm), '#,##0.##')} ft"


@register.filter
def inches(mm: Decimal | None) -> str:
    if mm is None:
        return "not known"
    return f"{_number(INCH.to_shown(mm), '#,##0.##')} in"


@register.filter
def pounds(grams: Decimal | None) -> str:
    """Grams as pounds: 15422.141 -> 34 lb."""
    if grams is None:
        return "not known"
    return f"{_number(POUND.to_shown(grams), '#,##0.##')} lb"


@register.filter
def hours(minutes: int | None) -> str:
    """Minutes as decimal hours: 360 -> 6 h."""
    if minutes is None:
        return "not known"
    return f"{_number(Decimal(minutes) / 60, '#,##0.##')} h"


@register.filter
def percent_bp(basis_points: int | None) -> str:
    """Basis points as percent: 2200 -> 22 %."""
    if basis_points is None:
        return "not known"
    return f"{_number(Decimal(basis_points) / 100, '0.##')} %"


@register.filter
def number(value: Any) -> str:
    """A figure with thousands marks and no trailing zeros."""
    if value is None or value == "":
        return "not known"
    return _number(Decimal(str(value)), "#,##0.####")


@register.filter
def get(mapping: dict[Any, Any], key: Any) -> Any:
    return mapping.get(key)


SEVERITY = {
    "fail": ("fail", "Fails"),
    "undetermined": ("open", "Data missing"),
    "warning": ("wait", "Look at it"),
    "pass": ("pass", "Passes"),
}


@register.filter
def severity_state(severity: str) -> str:
    return SEVERITY[str(severity)][0]


@register.filter
def severity_word(severity: str) -> str:
    return SEVERITY[str(severity)][1]


@register.filter
def ampere(amps: float | None) -> str:
    """A computed current: 13.436 -> 13.4 A."""
    return "not known" if amps is None else f"{_number(Decimal(str(amps)), '#,##0.##')} A"


@register.filter
def figure(value: float) -> str:
    """A computed figure with five significant digits: what a person needs to redo it."""
    return f"{value:.5g}"


@register.filter
def source_title(source: str) -> str:
    """The cited document's title and edition for its id."""
    found = SOURCE_BY_ID.get(source)
    return f"{found.title} {found.edition}".strip() if found else source


@register.filter
def rule_set_name(key: str) -> str:
    return name_of_rule_set(key)
