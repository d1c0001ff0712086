"""The design as JSON and back: field names are those of design.py, stable for outside scripts.

Reading is strict: an unknown field, a wrong type, a number out of range or a reference that leads
nowhere raises DesignError with the path of each fault.
"""

import math
import types
from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from enum import StrEnum
from typing import Any, Union, get_args, get_origin, get_type_hints

from jobs.electrical.design import Design
from jobs.electrical.input_check import DesignError, Problem, design_problems


def to_json(design: Design) -> dict[str, Any]:
    """Plain dicts, lists and numbers; every field is present, unknown values are null."""
    return {item.name: _plain(getattr(design, item.name)) for item in fields(design)}


def from_json(data: object) -> Design:
    """The design that `data` describes. Raises DesignError (a ValueError) naming each path."""
    problems: list[Problem] = []
    design = _read(Design, data, "", problems)
    if not problems:
        problems = design_problems(design)
    if problems:
        raise DesignError(problems)
    assert isinstance(design, Design)
    return design


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        return {item.name: _plain(getattr(value, item.name)) for item in fields(value)}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return str(value) if isinstance(value, StrEnum) else value


def _read(kind: Any, value: object, path: str, problems: list[Problem]) -> Any:
    """`value` as `kind`; on a fault a problem is noted and None comes back."""
    origin = get_origin(kind)
    if origin is Union or origin is types.UnionType:
        if value is None:
            return None
        return _read(get_args(kind)[0], value, path, problems)
    if origin is tuple:
        return _read_list(get_args(kind)[0], value, path, problems)
    if is_dataclass(kind):
        return _read_record(kind, value, path, problems)
    return _read_scalar(kind, value, path, problems)


def _read_list(kind: Any, value: object, path: str, problems: list[Problem]) -> Any:
    if not isinstance(value, list | tuple):
        problems.append(Problem(path=path, message="must be a list"))
        return None
    return tuple(
        _read(kind, item, f"{path}[{index}]", problems) for index, item in enumerate(value)
    )


def _read_record(kind: Any, value: object, path: str, problems: list[Problem]) -> Any:
    if not isinstance(value, Mapping):
        problems.append(Problem(path=path or "design", message="must be an object"))
        return None
    hints, dot, found = get_type_hints(kind), f"{path}." if path else "", len(problems)
    known = {item.name: item for item in fields(kind)}
    problems += [
        Problem(path=f"{dot}{name}", message="is not a known field")
        for name in value
        if name not in known
    ]
    for name, item in known.items():
        if name not in value and item.default is MISSING:
            problems.append(Problem(path=f"{dot}{name}", message="is missing"))
    read = {
        name: _read(hints[name], value[name], f"{dot}{name}", problems)
        for name in known
        if name in value
    }
    return kind(**read) if len(problems) == found else None


def _read_scalar(kind: Any, value: object, path: str, problems: list[Problem]) -> Any:
    if kind in (float, int) and isinstance(value, int | float) and not isinstance(value, bool):
        if not math.isfinite(value):
            problems.append(Problem(path=path, message="must be a finite number"))
        elif kind is int and value != int(value):
            problems.append(Problem(path=path, message=f"{value:g} must be a whole number"))
        else:
            return kind(value)
        return None
    if kind is bool and isinstance(value, bool):
        return value
    if isinstance(kind, type) and issubclass(kind, StrEnum) and isinstance(value, str):
        if value in {str(member) for member in kind}:
            return kind(value)
        allowed = ", ".join(kind)
        problems.append(Problem(path=path, message=f'"{value}" is not one of {allowed}'))
        return None
    if kind is str and isinstance(value, str):
        return value
    names = {float: "a number", int: "a whole number", bool: "true or false"}
    problems.append(Problem(path=path, message=f"must be {names.get(kind, 'a text')}"))
    return None
