"""How days and cents read in a sentence. Pure."""

from datetime import date
from decimal import Decimal


def day_words(day: date) -> str:
    """9 Mar 2026."""
    return f"{day.day} {day:%b %Y}"


def money_words(cents: int) -> str:
    """$78,161.51, and -$5,613.76 for what is taken out."""
    return f"{'-' if cents < 0 else ''}${Decimal(abs(cents)) / 100:,.2f}"
