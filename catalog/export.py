"""Parts as the rows of a sheet, and the template of an empty one."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from django.db.models import QuerySet

from catalog.columns import COLUMNS, DRAWS, LIMITS, Column
from catalog.datasheet import of_revision
from catalog.models import Part
from catalog.plan import CHUNK
from catalog.sheets import Cell

HEADINGS = tuple(column.name for column in COLUMNS)
_ONCE = tuple(column for column in COLUMNS if column not in (*DRAWS, *LIMITS))


def export_rows(parts: QuerySet[Part]) -> Iterator[list[Cell]]:
    """What the catalog knows of these parts; reading the rows back changes nothing."""
    parts = parts.select_related("current__part")
    parts = parts.prefetch_related("current__draws", "current__limits")
    for part in parts.iterator(chunk_size=CHUNK):
        yield from rows_of_part(part)


def rows_of_part(part: Part) -> Iterator[list[Cell]]:
    sheet = of_revision(part.current)
    facts = {**sheet.facts, "code": part.code, "retired": part.retired}
    draws, limits = list(sheet.draws.values()), list(sheet.limits.values())
    for index in range(max(len(draws), len(limits), 1)):
        first = _cells(facts, _ONCE) if index == 0 else [part.code, *[None] * (len(_ONCE) - 1)]
        yield first + _row(draws, index, DRAWS) + _row(limits, index, LIMITS)


def _row(rows: Sequence[dict[str, Any]], index: int, columns: Sequence[Column]) -> list[Cell]:
    return _cells(rows[index], columns) if index < len(rows) else [None] * len(columns)


def _cells(values: dict[str, Any], columns: Iterable[Column]) -> list[Cell]:
    return [column.cell(values[column.field]) for column in columns]


def template_rows() -> Iterator[list[Cell]]:
    """What each column means, and example rows. All start with # and are not read back."""
    first, *rest = COLUMNS
    yield [f"# {first.note}", *(column.note for column in rest)]
    for index in range(len(first.examples)):
        yield [f"#{first.examples[index]}", *(column.examples[index] for column in rest)]
