"""What applying a sheet would change: every step in words, and a digest that binds them.

The dry run shows a plan; applying makes the plan again and goes ahead only if it is the same one.
"""

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any, TypeVar

from catalog.columns import FACTS, Column
from catalog.datasheet import (
    Change,
    Datasheet,
    changes,
    fact_problems,
    of_revision,
    revises,
    settled,
)
from catalog.entries import RETIRED, Entry, read_entries
from catalog.models import Part
from catalog.sheets import Problem, Sheet

EMPTY = Datasheet(facts={}, draws={}, limits={})
# Below the number of variables that every database takes in one question.
CHUNK = 500
Item = TypeVar("Item")


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """One part to make (base 0) or to move on from revision `base`."""

    code: str
    row: int
    base: int
    old: Datasheet
    new: Datasheet
    was_retired: bool
    retired: bool

    @property
    def is_new(self) -> bool:
        return self.base == 0

    @property
    def revises(self) -> bool:
        """False when only kind or retirement move, which no revision holds."""
        return revises(self.new, self.old)

    @property
    def changes(self) -> list[Change]:
        told = changes(self.old, self.new)
        if self.retired != self.was_retired:
            was, now = RETIRED.show(self.was_retired), RETIRED.show(self.retired)
            told.append(Change(what=RETIRED.label, old=was, new=now))
        return told

    def identity(self) -> list[Any]:
        """What makes this step this one: where it starts and where it ends."""
        sheet = self.new
        tables = [list(table.values()) for table in (sheet.draws, sheet.limits)]
        start = [self.code, self.base, self.old.facts.get("kind"), self.was_retired]
        return [*start, sheet.facts, *tables, self.retired]


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    sha256: str
    steps: tuple[Step, ...]
    unchanged: int
    untouched: int
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]

    @property
    def new(self) -> int:
        return sum(step.is_new for step in self.steps)

    @property
    def changed(self) -> int:
        return len(self.steps) - self.new

    @property
    def digest(self) -> str:
        """The same for the same steps from the same starting point, and for no others."""
        told = json.dumps([step.identity() for step in self.steps], default=str)
        return hashlib.sha256(f"{self.sha256} {told}".encode()).hexdigest()


def plan_of(*, name: str, content: bytes) -> Plan:
    """Compare a file with the catalog as it stands. Raises SheetError; changes nothing."""
    entries, sheet = read_entries(name=name, content=content)
    known = current_parts(entry.code for entry in entries)
    problems = list(sheet.problems)
    steps, unchanged = [], 0
    for entry in entries:
        part = known.get(entry.code)
        complaints = list(_complaints(entry, part, sheet))
        problems += complaints
        if complaints:
            continue
        step = _step(entry, part)
        if step is None:
            unchanged += 1
        else:
            steps.append(step)
    return Plan(
        sha256=hashlib.sha256(content).hexdigest(),
        steps=tuple(sorted(steps, key=lambda step: step.is_new)),
        unchanged=unchanged,
        untouched=Part.objects.count() - len(known),
        problems=tuple(sorted(problems, key=lambda problem: problem.row)),
        notes=tuple(sheet.notes),
    )


def chunks(items: Iterable[Item], size: int = CHUNK) -> Iterator[list[Item]]:
    rest = iter(items)
    while chunk := list(islice(rest, size)):
        yield chunk


def current_parts(codes: Iterable[str]) -> dict[str, Part]:
    """Parts by code with all that their current revision says."""
    found = {}
    for chunk in chunks(codes):
        parts = Part.objects.filter(code__in=chunk).select_related("current__part")
        for part in parts.prefetch_related("current__draws", "current__limits"):
            found[part.code] = part
    return found


def _complaints(entry: Entry, part: Part | None, sheet: Sheet) -> Iterator[Problem]:
    row = entry.row.number
    if part is None:
        for column in FACTS:
            if column.read.required and column.name not in sheet.columns:
                sentence = f"{entry.code} is not in the catalog yet, so it needs this column."
                yield Problem(row=row, column=column.name, sentence=sentence)
    facts = {**(of_revision(part.current).facts if part else {}), **entry.facts}
    names = {column.field: column.name for column in FACTS}
    for field, sentence in fact_problems(facts):
        yield Problem(row=row, column=names[field], sentence=sentence)


def _step(entry: Entry, part: Part | None) -> Step | None:
    """What this entry does to the part; None when it says nothing new."""
    old = of_revision(part.current) if part else EMPTY
    facts = {**old.facts, **entry.facts} if part else {**_defaults(FACTS), **entry.facts}
    new = Datasheet(
        facts=facts,
        draws=old.draws if entry.draws is None else entry.draws,
        limits=old.limits if entry.limits is None else entry.limits,
    )
    new = settled(new, old)
    was_retired = part.retired if part else False
    retired = was_retired if entry.retired is None else entry.retired
    if part and new == old and retired == was_retired:
        return None
    return Step(
        code=entry.code,
        row=entry.row.number,
        base=part.current.number if part else 0,
        old=old,
        new=new,
        was_retired=was_retired,
        retired=retired,
    )


def _defaults(columns: Iterable[Column]) -> dict[str, Any]:
    return {column.field: column.clean("") for column in columns if not column.read.required}
