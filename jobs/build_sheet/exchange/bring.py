"""A build file brought onto a job: all of it, or nothing with every problem named."""

from collections import Counter, defaultdict
from typing import Any

from django import forms
from django.db import models, transaction

from jobs.audit.record import record
from jobs.build_sheet.actions import choose_rule_set
from jobs.build_sheet.exchange.read import BuildFile, Entry, Problem
from jobs.build_sheet.exchange.report import Report
from jobs.build_sheet.exchange.tables import TABLES, Table, cells_of, name_of
from jobs.electrical.rule_sets.catalog import RULE_SETS
from jobs.intake.errors import IntakeError
from jobs.intake.models import Job, Unit
from jobs.intake.units.actions import add_unit, change_unit, remove_unit

YES = {"yes", "y", "true", "1", "x", "on"}
NO = {"no", "n", "false", "0", ""}
Key = tuple[str, ...]


class _FieldError(Exception):
    """A cell that no form could understand, as a sentence; empty when it was said elsewhere."""


def bring(
    *,
    job: Job,
    build: BuildFile,
    by: Any,
    source: str,
    dry_run: bool = False,
    add_only: bool = False,
) -> Report:
    """Make the job's tables equal to those of the file. A table that the file lacks is untouched.

    Nothing is kept when there is a problem, or on a dry run. With `add_only` nothing is removed.
    """
    report = Report(problems=list(build.problems))
    with transaction.atomic():
        Job.objects.select_for_update().get(pk=job.pk)
        _rule_set(job, build, by, report)
        failed: set[str] = set()
        leftovers: list[tuple[Table, list[Any]]] = []
        for table in TABLES:
            if table.name in build.tables:
                gone = _bring_table(job, table, build.tables[table.name], by, report, failed)
                leftovers.append((table, [] if add_only else gone))
        for table, rows in reversed(leftovers):
            for row in rows:
                _remove(table, row, by, report)
        if report.problems or dry_run:
            transaction.set_rollback(True)
        else:
            sentence = f"Imported the build from {source}. {report.words}"
            record(by=by, verb="imported", subject=job, job=job.number, sentence=sentence)
    job.refresh_from_db()
    return report


def _rule_set(job: Job, build: BuildFile, by: Any, report: Report) -> None:
    key = build.rule_set
    if key is None:
        return
    if key in RULE_SETS:
        if key != job.rule_set:
            report.rule_set = key
        choose_rule_set(job=job, key=key, by=by)
    else:
        sentence = f"{key} is no rule set (known: {', '.join(RULE_SETS)})."
        report.problems.append(Problem(where="job.rule_set", sentence=sentence))


def _bring_table(
    job: Job, table: Table, entries: list[Entry], by: Any, report: Report, failed: set[str]
) -> list[Any]:
    """Add and change rows; hand back those that the file no longer has."""
    existing: dict[Key, list[Any]] = defaultdict(list)
    for row in table.rows(job):
        existing[_key(table, cells_of(table, row, job))].append(row)
    seen: Counter[Key] = Counter()
    kept: set[int] = set()
    for entry in entries:
        key = _key(table, entry.cells)
        rows = existing.get(key, [])
        row = rows[seen[key]] if seen[key] < len(rows) else None
        seen[key] += 1
        if row is not None:
            kept.add(row.pk)
        if not _bring_row(job, table, entry, row, by, report, failed):
            failed.add(key[0] if key else "")
    return [row for rows in existing.values() for row in rows if row.pk not in kept]


def _key(table: Table, cells: dict[str, Any]) -> Key:
    values = (cells.get(column) for column in table.key)
    return tuple("" if value is None else str(value).strip().upper() for value in values)


def _bring_row(
    job: Job, table: Table, entry: Entry, row: Any, by: Any, report: Report, failed: set[str]
) -> bool:
    columns, before = table.columns, len(report.problems)
    for name in entry.cells:
        if name not in columns.values():
            known = ", ".join(columns.values())
            sentence = f"{name} is not a column of {table.name} (known: {known})."
            report.problems.append(Problem(where=entry.place(), sentence=sentence))
    data, good = _data(job, table, entry, row, report, failed)
    form = table.form(data, instance=row, job=job)
    if good and form.is_valid():
        _save(job, table, entry, form, row, by, report)
    elif good:
        for name, errors in form.errors.items():
            where = entry.place(columns.get(name, ""))
            for error in errors:
                report.problems.append(Problem(where=where, sentence=str(error)))
    return good and len(report.problems) == before


def _data(
    job: Job, table: Table, entry: Entry, row: Any, report: Report, failed: set[str]
) -> tuple[dict[str, Any], bool]:
    """What the form would have been sent; False when a cell could not be understood."""
    form, good = table.form(instance=row, job=job), True
    data: dict[str, Any] = {}
    for name, item in form.fields.items():
        column = table.columns.get(name, name)
        try:
            if column in entry.cells and not _is_blank(entry.cells[column], item):
                data[name] = _typed(item, entry.cells[column], failed)
            elif column in entry.cells and not item.required:
                data[name] = ""
            else:
                data[name] = _stored(form[name], item, row)
        except _FieldError as error:
            good = False
            if str(error):
                report.problems.append(Problem(where=entry.place(column), sentence=str(error)))
    # A box that is not ticked is not sent; 0 is a value.
    return {n: value for n, value in data.items() if value is not None and value is not False}, good


def _is_blank(value: Any, item: forms.Field) -> bool:
    return not isinstance(item, forms.BooleanField) and value in (None, "", [])


def _stored(bound: forms.BoundField, item: forms.Field, row: Any) -> Any:
    value = bound.value()
    if isinstance(item, forms.ModelMultipleChoiceField):
        return [getattr(each, "pk", each) for each in value or ()]
    return value


def _typed(item: forms.Field, value: Any, failed: set[str]) -> Any:
    """A cell as the form's widget would send it."""
    if isinstance(item, forms.ModelMultipleChoiceField):
        names = value if isinstance(value, list) else str(value).replace(";", ",").split(",")
        return [_target(item, name, failed) for name in names if str(name).strip()]
    if isinstance(item, forms.ModelChoiceField):
        return _target(item, value, failed)
    if isinstance(value, dict | list):
        raise _FieldError("must be one value, not a list or an object.")
    if isinstance(item, forms.BooleanField):
        return _yes(value, item)
    return str(value)


def _yes(value: Any, item: forms.BooleanField) -> Any:
    word = "" if value is None else str(value).strip().lower()
    if isinstance(item, forms.NullBooleanField) and word == "":
        return ""
    if word in YES:
        return "true" if isinstance(item, forms.NullBooleanField) else "on"
    if word in NO:
        return "false" if isinstance(item, forms.NullBooleanField) else False
    raise _FieldError(f"{word} is neither yes nor no.")


def _target(item: Any, name: Any, failed: set[str]) -> int:
    word = str(name).strip()
    model = item.queryset.model
    names = "key" if hasattr(model, "key") else "ref"
    found = item.queryset.filter(**{f"{names}__iexact": word}).first()
    if found is None:
        # Its own row was refused: that problem is enough.
        raise _FieldError(
            "" if word.upper() in failed else f"there is no {model._meta.verbose_name} {word}."
        )
    return int(found.pk)


def _save(
    job: Job, table: Table, entry: Entry, form: Any, row: Any, by: Any, report: Report
) -> None:
    before = None if row is None else cells_of(table, type(row).objects.get(pk=row.pk), job)
    try:
        saved = _save_unit(job, form, row, by) if table.name == "units" else form.save()
    except IntakeError as error:
        report.problems.append(Problem(where=entry.place(), sentence=str(error)))
        return
    after = cells_of(table, type(saved).objects.get(pk=saved.pk), job)
    name = " ".join(str(after[column]) for column in table.key) or table.name
    if before is None:
        report.add(table.name, name)
    elif before != after:
        report.change(table.name, name, before, after)
        if table.name != "units" and hasattr(saved, "version"):
            type(saved).objects.filter(pk=saved.pk).update(version=models.F("version") + 1)


def _save_unit(job: Job, form: Any, row: Unit | None, by: Any) -> Unit:
    if row is None:
        return add_unit(job=job, values=form.values(), by=by)
    change_unit(unit=row, version=row.version, values=form.values(), by=by)
    return row


def _remove(table: Table, row: Any, by: Any, report: Report) -> None:
    name = name_of(row)
    try:
        with transaction.atomic():
            if isinstance(row, Unit):
                remove_unit(unit=row, by=by)
            else:
                row.delete()
    except models.ProtectedError as error:
        users = sorted({str(each) for each in error.protected_objects})
        sentence = f"{name} is not in the file but is used by {', '.join(users[:5])}."
        report.problems.append(Problem(where=table.name, sentence=sentence))
    except IntakeError as error:
        report.problems.append(Problem(where=table.name, sentence=str(error)))
    else:
        report.remove(table.name, name)
