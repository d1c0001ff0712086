"""Queries about one job whose SQL is built once: building one costs several times its running."""

from collections import namedtuple
from collections.abc import Callable
from typing import Any, TypeVar

from django.db import DEFAULT_DB_ALIAS, connection
from django.db.models import Model, QuerySet

M = TypeVar("M", bound=Model)

# Stands for the job while the SQL is built.
ANY_JOB = 0


class Prepared:
    """The rows that `build` selects of a job, as named tuples of the columns in `names`.

    A job is known by its key or by its number, whichever `build` asks for.
    Values are what the database driver hands over: on SQLite decimals are plain numbers, so the
    reader converts what it needs.
    """

    def __init__(self, build: Callable[[Any], QuerySet[Any]], names: tuple[str, ...]) -> None:
        self._build, self._names = build, names
        self._row: Any = namedtuple("Row", names)
        self._built: tuple[str, int] | None = None

    def of(self, job: int | str) -> list[Any]:
        if self._built is None:
            self._built = self._sql()
        sql, places = self._built
        with connection.cursor() as cursor:
            cursor.execute(sql, [job] * places)
            return list(map(self._row._make, cursor.fetchall()))

    def _sql(self) -> tuple[str, int]:
        """The SQL and in how many places the job's key stands in it."""
        sql, params = self._build(ANY_JOB).values_list(*self._names).query.sql_with_params()
        if {str(param) for param in params} != {str(ANY_JOB)}:
            raise ValueError(f"a prepared query may depend on the job alone, not on {params}")
        return sql, len(params)


def model_of(model: type[M], row: Any) -> M:
    """The model that a row was read from; a column that was not read is fetched when asked for.

    Not for moments: SQLite's driver hands them over without their zone.
    """
    fields = [field for field in model._meta.concrete_fields if field.attname in row._fields]
    values = [field.to_python(getattr(row, field.attname)) for field in fields]
    return model.from_db(DEFAULT_DB_ALIAS, [field.attname for field in fields], values)
