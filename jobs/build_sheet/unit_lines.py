"""The build sheet as one unit gets it: its lines with what is otherwise on that unit."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

from jobs.build_sheet.models import BuildLine, UnitDifference
from jobs.intake.models import Unit

Own = dict[tuple[int, int], int]


def lines_of(unit: Unit, **wanted: Any) -> list[BuildLine]:
    """The lines that are fitted to the unit, in its quantity. They are for reading; never saved."""
    rows = unit.job.lines.filter(**wanted).select_related("part__part")
    own = own_pieces(unit.differences.all())
    found = []
    for line in rows:
        line.quantity = pieces_on(line, unit.pk, own)
        if line.quantity:
            found.append(line)
    return found


def own_pieces(rows: Iterable[UnitDifference]) -> Own:
    """By line and unit: how many pieces where the sheet does not hold."""
    return {
        (row.line_id, row.unit_id): row.pieces
        for row in rows
        if row.pieces is not None and row.line_id is not None
    }


def pieces_on(line: BuildLine, unit: int, own: Own) -> int:
    """How many pieces of a line the unit gets; never more than the sheet has."""
    return min(own.get((line.pk, unit), line.quantity), line.quantity)


def fewer_pieces(lines: Iterable[int]) -> dict[int, list[int]]:
    """By line: the pieces of each unit that differs. One query whatever the number of jobs."""
    wanted = set(lines)
    rows = UnitDifference.objects.filter(pieces__isnull=False)
    if len(wanted) < 500:
        rows = rows.filter(line__in=wanted)
    found: dict[int, list[int]] = defaultdict(list)
    for line, pieces in rows.values_list("line", "pieces"):
        found[line].append(pieces)
    return found


def pieces_of_all(quantity: int, units: int, own: Sequence[int]) -> int:
    """Of all units of a job together; `own` are the pieces of those that get fewer."""
    return quantity * (units - len(own)) + sum(min(one, quantity) for one in own)
