"""Queries about one job whose SQL is built once: building one costs several times its running."""

from collections import namedtuple
from collections.abc import Callable
from typing import Any

from django.db import connection
from django.db.models import QuerySet

# Stands for the job's key while the SQL is built.
ANY_JOB = 0


class Prepared:
    """The rows that `build` selects of a job, as named tuples of the columns in `names`.

    Values are what the database driver hands over: on SQLite decimals are plain numbers, so the
    reader converts what it needs.
    """

    def __init__(self, build: Callable[[int], QuerySet[Any]], names: tuple[str, ...]) -> None:
        self._build, self._names = build, names
        self._row: Any = namedtuple("Row", names)
        self._built: tuple[str, int] | None = None

    def of(self, job_id: int) -> list[Any]:
        if self._built is None:
            self._built = self._sql()
        sql, places = self._built
        with connection.cursor() as cursor:
            cursor.execute(sql, [job_id] * places)
            return list(map(self._row._make, cursor.fetchall()))

    def _sql(self) -> tuple[str, int]:
        """The SQL and in how many places the job's key stands in it."""
        sql, params = self._build(ANY_JOB).values_list(*self._names).query.sql_with_params()
        if set(params) != {ANY_JOB}:
            raise ValueError(f"a prepared query may depend on the job alone, not on {params}")
        return sql, len(params)
