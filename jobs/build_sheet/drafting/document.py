"""One entry of a logic document at a time: find, put, take out; and say where a fault lies.

The document is the plain JSON of jobs/controls/codec.py. It is read whole after each change, so
what is kept is always a logic that can be proved.
"""

from dataclasses import dataclass
from typing import Any

from jobs.controls.codec import from_json, to_json
from jobs.controls.logic import Logic
from jobs.controls.order import LogicError
from jobs.controls.rename import renamed
from jobs.controls.tokens import ExpressionError

Plain = dict[str, Any]

# Part of the document: the field that names an entry, and what people call one.
KEYS = {
    "signals": "name",
    "terms": "name",
    "outputs": "name",
    "rules": "name",
    "heads": "name",
    "profile": "zone",
    "assumptions": "name",
    "interlocks": "name",
    "nodes": "name",
    "wires": "place",
}
NOUNS = {
    "signals": "signal",
    "terms": "term",
    "outputs": "output",
    "rules": "rule",
    "heads": "lamp head",
    "profile": "zone of the legal profile",
    "assumptions": "assumption",
    "interlocks": "interlock",
    "nodes": "node",
    "wires": "wire",
}
SHARED_NAMES = ("signals", "terms", "outputs")


@dataclass(frozen=True, kw_only=True, slots=True)
class Problem:
    """What is wrong, in words, and where: the field of which entry, the place in its text."""

    sentence: str
    part: str = ""
    name: str = ""
    field: str = ""
    position: int | None = None


class DraftError(Exception):
    """Why a draft cannot be changed so. `stale` when somebody else changed it meanwhile."""

    def __init__(self, problem: Problem | str, *, stale: bool = False) -> None:
        self.problem = problem if isinstance(problem, Problem) else Problem(sentence=problem)
        self.stale = stale
        super().__init__(self.problem.sentence)


def entry_of(data: Plain, part: str, name: str) -> Plain | None:
    key = KEYS[part]
    return next((each for each in data.get(part, []) if each[key] == name), None)


def put(data: Plain, part: str, was: str | None, entry: Plain) -> Plain:
    """The document with an entry added (`was` is None) or in the place of the one it was."""
    key = KEYS[part]
    name = entry[key]
    taken = entry_of(data, part, name)
    if taken is not None and name != was:
        raise DraftError(
            Problem(sentence=f"{name} is in this version already; choose another name.", field=key)
        )
    if was is None:
        return data | {part: [*data.get(part, []), entry]}
    if entry_of(data, part, was) is None:
        raise DraftError(f"{was} is no longer in this version.", stale=True)
    if name != was and part in SHARED_NAMES:
        data = to_json(renamed(from_json(data), was, name))
        was = name
    if name != was and part in ("heads", "nodes") and data.get("wires"):
        data = data | {"wires": [_rewired(wire, part, was, name) for wire in data["wires"]]}
    entries = [entry if each[key] == was else each for each in data[part]]
    return data | {part: entries}


def _rewired(wire: Plain, part: str, was: str, name: str) -> Plain:
    """The wire of a head or node that has another name now."""
    if part == "heads":
        return wire | {"name": name} if wire["name"] == was else wire
    node, dot, channel = wire["place"].partition(".")
    return wire | {"place": f"{name}.{channel}"} if dot and node == was else wire


def without(data: Plain, part: str, name: str) -> Plain:
    if entry_of(data, part, name) is None:
        raise DraftError(f"{name} is no longer in this version.", stale=True)
    return data | {part: [each for each in data[part] if each[KEYS[part]] != name]}


def moved(data: Plain, part: str, name: str, by: int) -> Plain:
    """The document with an entry one place up or down; at the end it stays."""
    entries = list(data.get(part, []))
    at = next((n for n, each in enumerate(entries) if each[KEYS[part]] == name), None)
    if at is None:
        raise DraftError(f"{name} is no longer in this version.", stale=True)
    to = min(max(at + by, 0), len(entries) - 1)
    entries.insert(to, entries.pop(at))
    return data | {part: entries}


def read(data: Plain) -> Logic:
    """The document as logic. Raises DraftError that names the entry and field in words."""
    try:
        return from_json(data)
    except LogicError as error:
        raise DraftError(problem_of(data, error)) from error


def problem_of(data: Plain, error: LogicError) -> Problem:
    """The fault with “rules[3].when” told as “Rule R04, when”."""
    sentence = str(error).removeprefix(f"{error.path}: ") if error.path else str(error)
    part, name, field = _place(data, error.path)
    cause = error.__cause__
    return Problem(
        sentence=_spelled(data, sentence),
        part=part,
        name=name,
        field=field,
        position=cause.position if isinstance(cause, ExpressionError) else None,
    )


def where(problem: Problem) -> str:
    """“Rule R04, when: ”, or nothing when it is about the whole."""
    if not problem.name:
        return ""
    noun = NOUNS[problem.part]
    field = f", {problem.field.split('[')[0].replace('_', ' ')}" if problem.field else ""
    return f"{noun[0].upper()}{noun[1:]} {problem.name}{field}: "


def _place(data: Plain, path: str) -> tuple[str, str, str]:
    part, bracket, rest = path.partition("[")
    if part not in KEYS or not bracket:
        return "", "", ""
    number, _, field = rest.partition("]")
    entries = data.get(part, [])
    if not number.isdecimal() or int(number) >= len(entries):
        return "", "", ""
    return part, str(entries[int(number)].get(KEYS[part], "")), field.lstrip(".")


def _spelled(data: Plain, sentence: str) -> str:
    """“also at outputs[2].name” told by its noun."""
    for part, noun in NOUNS.items():
        for number in range(len(data.get(part, []))):
            sentence = sentence.replace(f"at {part}[{number}].name", f"for another {noun}")
    return sentence
