"""A whole build as a file: JSON or a workbook with one sheet a table."""

import json
from typing import Any

from catalog.sheets import workbook_bytes
from jobs.build_sheet.exchange.tables import TABLES, cells_of
from jobs.intake.models import Job

FORMAT = "build"
VERSION = 1


def build_of(job: Job) -> dict[str, Any]:
    """The build as plain data; reading it back changes nothing."""
    head = {"number": job.number, "rule_set": job.rule_set}
    tables = {
        table.name: [cells_of(table, row, job) for row in table.rows(job)] for table in TABLES
    }
    return {"format": FORMAT, "version": VERSION, "job": head, **tables}


def json_bytes(build: dict[str, Any]) -> bytes:
    return json.dumps(build, indent=1, ensure_ascii=False).encode()


def workbook(build: dict[str, Any]) -> bytes:
    sheets: list[tuple[str, list[str], list[list[Any]]]] = [
        ("job", list(build["job"]), [list(build["job"].values())])
    ]
    for table in TABLES:
        columns = list(table.columns.values())
        rows = [[_text(row[column]) for column in columns] for row in build[table.name]]
        sheets.append((table.name, columns, rows))
    return workbook_bytes(sheets)


def _text(value: Any) -> Any:
    """Lists and yes or no as people write them; numbers stay numbers."""
    if isinstance(value, list):
        return ", ".join(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value
