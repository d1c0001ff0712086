"""An entry as posted: read, judged together with the whole logic, and told what is wrong where."""

from dataclasses import dataclass, replace
from typing import Any

from django.http import QueryDict

from jobs.build_sheet.drafting.document import (
    KEYS,
    Plain,
    Problem,
    entry_of,
    put,
    read,
    where,
)
from jobs.build_sheet.drafting.entry_form import EntryForm
from jobs.build_sheet.drafting.fitted_forms import PatternFormSet
from jobs.build_sheet.drafting.forms import FORMS
from jobs.build_sheet.drafting.sentences import Line, line_of
from jobs.build_sheet.models import ControlLogic
from jobs.controls.logic import Action, Logic
from jobs.controls.signals import SignalKind, Wiring

JOINING = ("AND", "OR", "NOT", "(")
# What the document leaves out because it is usual, as the form must show it.
DEFAULTS: dict[str, Plain] = {
    "signals": {
        "kind": str(SignalKind.TWO_STATE),
        "wiring": str(Wiring.NORMALLY_OPEN),
        "on_words": "on",
        "off_words": "off",
    },
    "rules": {"action": str(Action.TURN_ON)},
    "heads": {"max_colours_lit": 1},
    "interlocks": {"safety": True},
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Mark:
    """A text cut at the place of its fault."""

    before: str
    here: str
    after: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Typed:
    """The form of one entry; a lamp head brings its patterns along."""

    draft: ControlLogic
    part: str
    was: str | None
    form: EntryForm
    patterns: Any = None

    @property
    def good(self) -> bool:
        # Both are asked, so that all faults show at once.
        whole = self.patterns is None or self.patterns.is_valid()
        return bool(self.form.is_valid() and whole)

    def entry(self) -> Plain:
        entry = self.form.entry()
        if self.patterns is not None:
            entry["patterns"] = [_pattern(form) for form in self.patterns.ordered_forms]
        return entry

    def sentence(self) -> Line | None:
        """How the entry would read. Raises DraftError when it does not fit the logic."""
        entry = self.entry()
        logic = read(put(self.draft.logic, self.part, self.was, entry))
        return line_of(logic, self.part, entry[KEYS[self.part]])

    def complain(self, problem: Problem) -> None:
        """Put a fault beside the field that it is about."""
        own = problem.part in ("", self.part) and problem.name in ("", self._name())
        field = problem.field.split("[")[0]
        if own and field in self.form.fields:
            self.form.add_error(field, problem.sentence)
        else:
            prefix = "" if own and not field else where(problem)
            self.form.add_error(None, f"{prefix}{problem.sentence}")

    def _name(self) -> str:
        return str(self.form.cleaned_data.get(KEYS[self.part], ""))

    def mark(self, problem: Problem) -> Mark | None:
        """The expression with the place of the fault marked."""
        if problem.position is None or problem.name != self._name():
            return None
        written: Any = self.entry()
        for key in problem.field.replace("]", "").replace("[", ".").split("."):
            written = written[int(key)] if key.isdecimal() else written.get(key)
        return mark(written, problem.position) if isinstance(written, str) else None


def mark(written: str, position: int) -> Mark:
    end = position
    while end < len(written) and not written[end].isspace() and written[end] not in "()":
        end += 1
    end = max(end, position + 1)
    # Of a very long text only what stands around the place is shown.
    return Mark(
        before=written[:position][-200:],
        here=written[position:end][:60] or "␣",
        after=written[end:][:200],
    )


def typed_entry(
    draft: ControlLogic, logic: Logic, part: str, was: str | None, data: QueryDict | None
) -> Typed:
    """The form of an entry, filled from the draft or from what was posted."""
    entry = entry_of(draft.logic, part, was) if was else None
    form = FORMS[part](data, logic=logic, initial=DEFAULTS.get(part, {}) | (entry or {}))
    patterns = None
    if part == "heads":
        initial = (entry or {}).get("patterns", [])
        patterns = PatternFormSet(data, initial=initial, prefix="patterns")
    return Typed(draft=draft, part=part, was=was, form=form, patterns=patterns)


def with_insert(typed: Typed, logic: Logic, data: QueryDict) -> Typed:
    """The same form, not judged, with a name added at the end of one of its texts."""
    field, _, snippet = data.get("insert", "").partition(":")
    values: Plain = {name: data.get(name, "") for name in typed.form.fields}
    if field in typed.form.expressions:
        values[field] = _appended(values[field], snippet[:200], lines=field == "subjects")
    return replace(typed, form=FORMS[typed.part](logic=logic, initial=values))


def _appended(written: str, snippet: str, *, lines: bool) -> str:
    written = written.strip()
    if not written or lines:
        return f"{written}\n{snippet}".strip()
    joined = written.upper().endswith(JOINING)
    return f"{written}{' ' if joined else ' AND '}{snippet}"


def _pattern(form: Any) -> Plain:
    cleaned = form.cleaned_data
    return {
        name: cleaned[name] for name in form.base_fields if cleaned.get(name) not in (None, "", [])
    }
