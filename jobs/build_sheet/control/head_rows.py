"""The table of a lamp head as plain rows, to be kept: what is asked for, and which pattern wins."""

from typing import Any

from jobs.controls.heads import HeadTable
from jobs.controls.results import Moment


def head_row(table: HeadTable) -> dict[str, Any]:
    return {
        "head": table.head,
        "rows": [
            {
                "asked": list(row.asked),
                "winner": row.winner,
                "cell": str(row.cell),
                "example": _setting_words(row.example),
            }
            for row in table.rows
        ],
        "impossible": table.impossible,
        "never_shown": list(table.never_shown),
        "complete": table.complete,
    }


def _setting_words(example: Moment | None) -> list[list[Any]]:
    """Signal, value and whether it is known, of a moment that shows the cell."""
    if example is None:
        return []
    return [[each.signal, each.value, each.known] for each in example.settings]
