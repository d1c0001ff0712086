"""Logic to plain JSON and back. Values that equal their default are left out."""

import hashlib
import json
from collections.abc import Callable
from dataclasses import MISSING, Field, fields, is_dataclass
from enum import StrEnum
from functools import cache
from types import UnionType
from typing import Any, get_args, get_origin, get_type_hints

from jobs.controls.check import check, check_names
from jobs.controls.expressions import Expression, text
from jobs.controls.grammar import Vocabulary, parse
from jobs.controls.logic import Logic
from jobs.controls.order import LogicError
from jobs.controls.signals import Signal
from jobs.controls.tokens import ExpressionError

MAX_TEXT = 1_000
MAX_ITEMS = 2_000

Reader = Callable[[str], Expression]


def to_json(logic: Logic) -> dict[str, Any]:
    """The logic as dictionaries, lists, text and numbers."""
    plain = _plain(logic)
    assert isinstance(plain, dict)
    return plain


def canonical(logic: Logic) -> str:
    """One text for one logic: the same wherever it is written."""
    return json.dumps(to_json(logic), sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def sha256(logic: Logic) -> str:
    return hashlib.sha256(canonical(logic).encode()).hexdigest()


def from_json(data: object) -> Logic:
    """Read and check a logic. Raises LogicError, a sentence with the path of the place."""
    if not isinstance(data, dict):
        raise LogicError("The logic must be an object with signals, outputs and rules.")
    signals = _read(tuple[Signal, ...], data.get("signals", []), "signals", _no_expressions)
    words: dict[str, Signal | None] = {signal.name: signal for signal in signals}
    named = {part: _names(data.get(part)) for part in ("terms", "outputs")}
    check_names({"signals": [signal.name for signal in signals], **named}, signals)
    for names in named.values():
        words |= dict.fromkeys(names)
    logic = _read(Logic, data, "", lambda written: parse(written, words))
    assert isinstance(logic, Logic)
    check(logic)
    return logic


def vocabulary(logic: Logic) -> Vocabulary:
    """Every name that an expression of this logic may use."""
    worked_out = [term.name for term in logic.terms] + [output.name for output in logic.outputs]
    return {signal.name: signal for signal in logic.signals} | dict.fromkeys(worked_out)


def _names(items: object) -> list[str]:
    entries = items if isinstance(items, list) else []
    found = [entry.get("name") for entry in entries if isinstance(entry, dict)]
    return [name for name in found if isinstance(name, str)]


def _no_expressions(written: str) -> Expression:
    raise AssertionError(written)


def _plain(value: object) -> Any:
    if isinstance(value, Expression):
        return text(value)
    if is_dataclass(value):
        kept = [each for each in fields(value) if _default(each) != getattr(value, each.name)]
        return {each.name: _plain(getattr(value, each.name)) for each in kept}
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return str(value) if isinstance(value, StrEnum) else value


def _default(each: "Field[Any]") -> object:
    return each.default


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _read(kind: Any, data: object, path: str, reader: Reader) -> Any:
    if kind is Expression or kind == Expression | None:
        return _expression(data, path, reader)
    if get_origin(kind) is tuple:
        return _sequence(get_args(kind)[0], data, path, reader)
    if isinstance(kind, UnionType):
        raise TypeError(kind)
    if is_dataclass(kind):
        return _record(kind, data, path, reader)
    return _scalar(kind, data, path)


def _expression(data: object, path: str, reader: Reader) -> Expression | None:
    if data is None:
        return None
    if not isinstance(data, str):
        raise LogicError(f"{path} must be an expression in quotes.", path=path)
    try:
        return reader(data)
    except ExpressionError as error:
        raise LogicError(f"{path}: {error}", path=path) from error


def _sequence(kind: Any, data: object, path: str, reader: Reader) -> tuple[Any, ...]:
    if not isinstance(data, list):
        raise LogicError(f"{path} must be a list.", path=path)
    if len(data) > MAX_ITEMS:
        raise LogicError(f"{path} has {len(data)} entries; at most {MAX_ITEMS}.", path=path)
    return tuple(_read(kind, each, f"{path}[{at}]", reader) for at, each in enumerate(data))


def _record(kind: Any, data: object, path: str, reader: Reader) -> Any:
    if not isinstance(data, dict):
        raise LogicError(f"{path} must be an object.", path=path)
    known = {each.name: each for each in fields(kind)}
    prefix = f"{path}." if path else ""
    if extra := [key for key in data if key not in known]:
        raise LogicError(f"{prefix}{extra[0]} is not known here.", path=f"{prefix}{extra[0]}")
    for name, each in known.items():
        if each.default is MISSING and name not in data:
            raise LogicError(f"{prefix}{name} is missing.", path=f"{prefix}{name}")
    hints = _hints(kind)
    # In the order of the fields: PostgreSQL hands objects back in an order of its own.
    values = {
        key: _read(hints[key], data[key], f"{prefix}{key}", reader) for key in known if key in data
    }
    return kind(**values)


def _scalar(kind: Any, data: object, path: str) -> Any:
    if issubclass(kind, StrEnum):
        choices = [str(each) for each in kind]
        if data not in choices:
            raise LogicError(f"{path} must be one of {', '.join(choices)}.", path=path)
        return kind(data)
    if kind is float and isinstance(data, int) and not isinstance(data, bool):
        return float(data)
    if type(data) is not kind:
        wanted = {str: "text", int: "a whole number", float: "a number", bool: "true or false"}
        raise LogicError(f"{path} must be {wanted[kind]}.", path=path)
    if isinstance(data, str) and len(data) > MAX_TEXT:
        raise LogicError(f"{path} has more than {MAX_TEXT} characters.", path=path)
    return data
