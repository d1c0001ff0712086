"""Give a signal, term or output another name everywhere it is used."""

from dataclasses import fields, is_dataclass, replace
from typing import Any

from jobs.controls.expressions import Compare, Edge, Known, Named
from jobs.controls.logic import Logic, Output, Rule, Term, Wire
from jobs.controls.signals import Signal, Substitution

# Which of their texts are such a name; a position may be spelled like a signal and is none.
NAMING: dict[type, tuple[str, ...]] = {
    Named: ("name",),
    Compare: ("name",),
    Known: ("name",),
    Edge: ("name",),
    Signal: ("name",),
    Term: ("name",),
    Output: ("name", "series"),
    Rule: ("output",),
    Substitution: ("signal",),
    Wire: ("name",),
}


def renamed(logic: Logic, old: str, new: str) -> Logic:
    """The logic with one name changed. Whether the new name is free is for `check` to say."""
    found = _walk(logic, old, new)
    assert isinstance(found, Logic)
    return found


def _walk(value: Any, old: str, new: str) -> Any:
    if isinstance(value, tuple):
        return tuple(_walk(each, old, new) for each in value)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    naming = NAMING.get(type(value), ())
    changes = {}
    for field in fields(value):
        was = getattr(value, field.name)
        now = new if field.name in naming and was == old else _walk(was, old, new)
        if now is not was and now != was:
            changes[field.name] = now
    return replace(value, **changes) if changes else value
