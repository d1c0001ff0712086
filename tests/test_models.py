"""Claims about every table at once, so that a new one is covered without anybody remembering."""

import tomllib
from datetime import UTC, datetime
from pathlib import Path

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import models

PROJECT = Path(__file__).resolve().parent.parent
OWN = ("catalog", "jobs", "inspections")
TABLES = [model for app in OWN for model in apps.get_app_config(app).get_models()]


def _rooms() -> list[str]:
    """Every room, lowest first, as the import directions of pyproject.toml rank them."""
    tools = tomllib.loads((PROJECT / "pyproject.toml").read_text())["tool"]
    ranked = ["catalog"]
    for app in ("jobs", "inspections"):
        contract = next(
            one for one in tools["importlinter"]["contracts"] if one.get("containers") == [app]
        )
        for layer in reversed(contract["layers"]):
            ranked += [f"{app}.{room.strip(' ()')}" for room in layer.split("|")]
    return ranked


ROOMS = _rooms()


def room_of(model: type[models.Model]) -> str:
    parts = model.__module__.split(".")
    return "catalog" if parts[0] == "catalog" else ".".join(parts[:2])


def references() -> list[tuple[type[models.Model], models.Field, type[models.Model]]]:
    found = []
    for model in TABLES:
        for field in (*model._meta.fields, *model._meta.many_to_many):
            target = field.related_model
            if target in TABLES:
                found.append((model, field, target))
    return found


def test_every_table_lives_in_a_ranked_room() -> None:
    assert {room_of(model) for model in TABLES} <= set(ROOMS)


def test_tables_point_at_their_own_room_or_a_lower_one() -> None:
    """Names in quotes ("jobs.Quote") escape the import rules; this catches them."""
    upward = [
        f"{model._meta.label}.{field.name} -> {target._meta.label}"
        for model, field, target in references()
        if ROOMS.index(room_of(target)) > ROOMS.index(room_of(model))
    ]
    assert upward == []


def pairs() -> list[tuple[type[models.Model], models.Field, models.Field]]:
    """Columns that say when and who of the same event."""
    found = []
    for model in TABLES:
        fields = {field.name: field for field in model._meta.fields}
        for name, at in fields.items():
            by = fields.get(f"{name[:-3]}_by") if name.endswith("_at") else None
            # When the moment is always there, an empty name means a customer or a command.
            if by is not None and at.null:
                found.append((model, at, by))
    return found


def _named(pair: tuple[type[models.Model], models.Field, models.Field]) -> str:
    return f"{pair[0].__name__}.{pair[1].name}"


def _guards(model: type[models.Model], at: models.Field, by: models.Field) -> list:
    wanted = {at.name, by.name}
    return [
        constraint
        for constraint in model._meta.constraints
        if isinstance(constraint, models.CheckConstraint)
        and wanted <= {name.split("__")[0] for name in _names(constraint.condition)}
    ]


def _names(condition: models.Q) -> list[str]:
    found = []
    for child in condition.children:
        found += _names(child) if isinstance(child, models.Q) else [child[0]]
    return found


@pytest.mark.django_db
@pytest.mark.parametrize("pair", pairs(), ids=_named)
@pytest.mark.parametrize("missing", ["at", "by"])
def test_when_and_who_are_set_together(pair: tuple, missing: str) -> None:
    model, at, by = pair
    row = model()
    moment = datetime(2026, 11, 20, 12, tzinfo=UTC)
    setattr(row, at.attname, None if missing == "at" else moment)
    somebody = 1 if by.is_relation else "Mona Ash"
    nobody = None if by.null else ""
    setattr(row, by.attname, nobody if missing == "by" else somebody)
    refusals = 0
    for guard in _guards(model, at, by):
        try:
            guard.validate(model, row)
        except ValidationError:
            refusals += 1
    assert refusals, f"{model._meta.label} keeps {at.name} without {by.name} or the reverse"
