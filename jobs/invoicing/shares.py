"""What each unit is invoiced. Integer cents; the parts always add up to the whole."""


def up_to(total_cents: int, units: int, count: int) -> int:
    """What the first `count` of so many units come to: whole cents, the whole for all of them.

    >>> [up_to(1000, 3, count) for count in range(4)]
    [0, 333, 667, 1000]
    """
    sign = -1 if total_cents < 0 else 1
    whole = abs(total_cents) * count
    return sign * ((2 * whole + units) // (2 * units))


def next_share(total_cents: int, units: int, count: int, before_cents: int) -> int:
    """What the unit with this number, from 1, adds to what was invoiced before it.

    All invoices up to it fit the contract as it is now: a change approved between two of them, or
    another number of units, is caught up on the next one.
    """
    return up_to(total_cents, units, count) - before_cents
