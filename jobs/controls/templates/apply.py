"""Add one of the trade's usual rules to a logic, with the shop's own numbers."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jobs.controls.codec import from_json, to_json
from jobs.controls.logic import Logic
from jobs.controls.order import LogicError
from jobs.controls.templates.parts import SIGNALS, TERM_NEEDS, TERMS, Plain


@dataclass(frozen=True, kw_only=True, slots=True)
class Parameter:
    """A number that the shop may change, or with `text` a name."""

    name: str
    label: str
    default: float = 0
    low: float = 0
    high: float = 0
    unit: str = ""
    text: str = ""

    def read(self, value: str) -> str:
        """The value as it goes into the rules. Raises LogicError naming field, value and limit."""
        if self.text:
            return value.strip() or self.text
        try:
            number = float(value)
        except ValueError:
            raise LogicError(f"{self.label} must be a number, not “{value}”.") from None
        if not self.low <= number <= self.high:
            limits = f"{self.low:g} to {self.high:g} {self.unit}".rstrip()
            raise LogicError(f"{self.label} is {number:g}; it must lie within {limits}.")
        return f"{number:g}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Template:
    """A usual rule. `{name}` in any text stands for a parameter.

    `needs` names signals, with a threshold as in “SPD>=10”. `each` is a rule that is added for
    every output of `onto` that the logic has. `after` names outputs that must be there already.
    """

    key: str
    title: str
    why: str
    after: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    terms: tuple[str, ...] = ()
    parameters: tuple[Parameter, ...] = ()
    signals: tuple[Plain, ...] = ()
    outputs: tuple[Plain, ...] = ()
    rules: tuple[Plain, ...] = ()
    interlocks: tuple[Plain, ...] = ()
    each: Plain | None = None
    onto: tuple[str, ...] = ()


def apply(logic: Logic, template: Template, values: Mapping[str, str] | None = None) -> Logic:
    """The logic with the template's parts added; what it has already is kept as it is.

    Raises LogicError when a rule of the same name exists, or when the parts do not fit together.
    """
    given = values or {}
    read = {
        each.name: each.read(given.get(each.name, "") or _default(each))
        for each in template.parameters
    }
    present = {output.name for output in logic.outputs}
    if absent := [name for name in template.after if name not in present]:
        raise LogicError(f"{template.key} acts on {absent[0]}; add the rule that drives it first.")
    data = to_json(logic)
    for need in _needs(template):
        _add_signal(data, need.format_map(read))
    for name in template.terms:
        _add(data, "terms", {"name": name, **TERMS[name]})
    for part, entries in (("signals", template.signals), ("outputs", template.outputs)):
        for entry in entries:
            _add(data, part, _filled(entry, read))
    for part, entries in (("rules", _rules(data, template)), ("interlocks", template.interlocks)):
        for entry in entries:
            _add_new(data, part, _filled(entry, read))
    return from_json(data)


def _default(parameter: Parameter) -> str:
    return parameter.text or f"{parameter.default:g}"


def _needs(template: Template) -> Iterator[str]:
    yield from template.needs
    for term in template.terms:
        yield from TERM_NEEDS[term]


def _rules(data: Plain, template: Template) -> tuple[Plain, ...]:
    """The template's rules, and one for every output that it acts on."""
    if template.each is None:
        return template.rules
    outputs = {output["name"] for output in data.get("outputs", [])}
    added = [
        {**template.each, "name": f"{template.key} {name}", "output": name}
        for name in template.onto
        if name in outputs
    ]
    return (*template.rules, *added)


def _filled(value: Any, read: Mapping[str, str]) -> Any:
    """Placeholders replaced; a text that is nothing but a number's placeholder becomes a number."""
    if isinstance(value, dict):
        return {key: _filled(each, read) for key, each in value.items()}
    if isinstance(value, list):
        return [_filled(each, read) for each in value]
    if not isinstance(value, str):
        return value
    if value.startswith("{#"):
        return float(read[value[2:-1]])
    return value.format_map(read)


def _entry(data: Plain, part: str, name: str) -> Plain | None:
    entries: list[Plain] = data.setdefault(part, [])
    return next((each for each in entries if each["name"] == name), None)


def _add(data: Plain, part: str, entry: Plain) -> None:
    if _entry(data, part, entry["name"]) is None:
        data[part].append(entry)


def _add_new(data: Plain, part: str, entry: Plain) -> None:
    if _entry(data, part, entry["name"]) is not None:
        raise LogicError(f"{entry['name']} is in the logic already; change it there.", path=part)
    data[part].append(entry)


def _add_signal(data: Plain, need: str) -> None:
    """The signal, and its threshold if it does not have it yet."""
    name, _, threshold = need.partition(">=")
    _add(data, "signals", {"name": name, **SIGNALS[name]})
    if not threshold:
        return
    signal = _entry(data, "signals", name)
    assert signal is not None
    known = [each["value"] for each in signal.get("thresholds", [])]
    if float(threshold) not in known:
        added = [*signal.get("thresholds", []), {"value": float(threshold)}]
        signal["thresholds"] = sorted(added, key=lambda each: each["value"])
