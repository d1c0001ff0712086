"""The one place where a computed value meets a limit: exactly the limit passes."""

# Floats carry about 1e-15; readings on a vehicle about 1e-2. A millionth of the limit keeps
# 0.1 * 3 against 0.3 a pass and is far below anything a person could measure.
TOLERANCE = 1e-6


def at_most(value: float, limit: float) -> bool:
    """Value <= limit, within the tolerance.

    >>> at_most(0.1 * 3, 0.3), at_most(0.3001, 0.3)
    (True, False)
    """
    return value <= limit + TOLERANCE * abs(limit)


def at_least(value: float, limit: float) -> bool:
    """Value >= limit, within the tolerance.

    >>> at_least(0.7 + 0.1, 0.8), at_least(0.7999, 0.8)
    (True, False)
    """
    return value >= limit - TOLERANCE * abs(limit)
