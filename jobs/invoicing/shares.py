"""What each unit is invoiced. Integer cents; the parts always add up to the whole."""

from collections.abc import Sequence


def up_to(total_cents: int, units: int, count: int) -> int:
    """What the first `count` of so many units come to: whole cents, the whole for all of them.

    >>> [up_to(1000, 3, count) for count in range(4)]
    [0, 333, 667, 1000]
    """
    sign = -1 if total_cents < 0 else 1
    whole = abs(total_cents) * count
    return sign * ((2 * whole + units) // (2 * units))


def next_share(total_cents: int, units: int, before: Sequence[int]) -> int:
    """The next unit's amount, so that all invoices up to it fit the contract as it is now.

    A change approved between two invoices is caught up on the next one.
    """
    return up_to(total_cents, units, len(before) + 1) - sum(before)


def credit_share(deposit_cents: int, units: int, count: int) -> int:
    """What of a paid deposit is taken off the invoice of the unit with this number, from 1."""
    return up_to(deposit_cents, units, count) - up_to(deposit_cents, units, count - 1)
