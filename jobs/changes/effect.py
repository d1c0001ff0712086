"""The effect of edits on price, hours, amps, voltage, weight, stages and checks.

Found by making them on the real rows and taking them back. Rooms that know more, such as the one
of the checks, put a function into READERS: it answers {name: what} for a unit, and what differs
before and after is told under its heading.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from django.db import transaction

from catalog.quantities import POUND
from jobs.build_sheet.effects import problems_of
from jobs.build_sheet.models import BuildLine
from jobs.build_sheet.quoting import priced_inputs
from jobs.build_sheet.review import Review, review
from jobs.build_sheet.weights import predicted_axles
from jobs.changes.edits import Edit, make, words
from jobs.electrical.changes import Change, what_changed
from jobs.findings import Finding
from jobs.intake.models import Job, Unit
from jobs.quoting.pricing import PricedInput
from jobs.stages.actions import planned_minutes

Reader = Callable[[Unit], Mapping[str, Any]]
READERS: dict[str, Reader] = {}


@dataclass(frozen=True, kw_only=True, slots=True)
class State:
    """A job's figures at one moment. Currents and drops are None where data are missing."""

    lines: dict[str, PricedInput]
    minutes: int
    mass_g: Decimal
    no_weight: tuple[str, ...]
    axles: Mapping[str, Decimal]
    runs: dict[str, tuple[float | None, float | None, float | None]]
    stages: Mapping[str, int]
    findings: list[Finding]
    read: dict[str, Mapping[str, Any]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Effect:
    before: State
    after: State
    findings: list[Change]
    sentences: list[str] = field(default_factory=list)
    lines: list[PricedInput] = field(default_factory=list)


def state_of(job: Job) -> State:
    lines = list(BuildLine.objects.filter(job=job).select_related("part"))
    unit = job.units.order_by("id").first()
    found: Review = review(job, unit=unit)
    return State(
        lines={item.ref: item for item in priced_inputs(job)},
        minutes=sum(line.minutes for line in lines),
        mass_g=sum((line.mass or Decimal(0) for line in lines), Decimal(0)),
        no_weight=tuple(sorted(line.ref for line in lines if line.mass is None)),
        axles=predicted_axles(unit) if unit else {},
        runs={
            row.item.ref: (row.average_a, row.peak_a, row.path_drop_percent)
            for row in (*found.feeds, *found.circuits)
        },
        stages=planned_minutes(unit) if unit else {},
        findings=problems_of(job),
        read={name: dict(reader(unit)) for name, reader in READERS.items()} if unit else {},
    )


def effect_of_edits(job: Job, edits: list[Edit]) -> Effect:
    """Make the edits, look, and take them back. Raises EditError when one cannot be made."""
    with transaction.atomic():
        before = state_of(job)
        make(job, edits)
        after = state_of(job)
        transaction.set_rollback(True)
    changes = what_changed(before.findings, after.findings)
    said = [words(edit) for edit in edits]
    said += [*_work(before, after), *_weight(before, after), *_electrical(before, after)]
    said += [*_findings(changes), *_readers(before, after)]
    return Effect(
        before=before,
        after=after,
        findings=changes,
        sentences=[f"{one[0].upper()}{one[1:]}." for one in said],
        lines=price_lines(before.lines, after.lines),
    )


def price_lines(
    before: Mapping[str, PricedInput], after: Mapping[str, PricedInput]
) -> list[PricedInput]:
    """Signed lines that turn the price of one sheet into that of the other."""
    found: list[PricedInput] = []
    for ref in [*after, *(ref for ref in before if ref not in after)]:
        was, now = before.get(ref), after.get(ref)
        if was == now:
            continue
        if was and now and (was.code, was.unit_cents) == (now.code, now.unit_cents):
            more, minutes = now.quantity - was.quantity, now.minutes - was.minutes
            found.append(replace(now, quantity=more, minutes=minutes))
            continue
        if was:
            found.append(replace(was, quantity=-was.quantity, minutes=-was.minutes))
        if now:
            found.append(now)
    return found


def _hours(minutes: int) -> str:
    return f"{Decimal(minutes) / 60:+.2f} h"


def _work(before: State, after: State) -> list[str]:
    found = []
    if after.minutes != before.minutes:
        found.append(f"labour {_hours(after.minutes - before.minutes)}")
    codes = sorted({*before.stages, *after.stages}, key=lambda code: (len(code), code))
    moved = [
        f"{code} {_hours(after.stages.get(code, 0) - before.stages.get(code, 0))}"
        for code in codes
        if after.stages.get(code, 0) != before.stages.get(code, 0)
    ]
    return [*found, f"stages touched: {', '.join(moved)}"] if moved else found


def _pounds(grams: Decimal) -> str:
    return f"{POUND.to_shown(grams):+,.1f} lb"


def _weight(before: State, after: State) -> list[str]:
    found = []
    if after.mass_g != before.mass_g:
        found.append(f"weight {_pounds(after.mass_g - before.mass_g)}")
    for name, grams in after.axles.items():
        was = before.axles.get(name)
        if was is not None and was != grams and name != "total":
            found.append(f"{name} {_pounds(grams - was)}, to {POUND.to_shown(grams):,.0f} lb empty")
    new = sorted(set(after.no_weight) - set(before.no_weight))
    return [*found, f"no weight is known of {', '.join(new)}"] if new else found


def _electrical(before: State, after: State) -> list[str]:
    """Runs whose current changes, each; those that only lose more voltage behind them, together."""
    found, drops = [], []
    for ref in [*after.runs, *(ref for ref in before.runs if ref not in after.runs)]:
        was, now = before.runs.get(ref), after.runs.get(ref)
        if was == now:
            continue
        if was is None or now is None:
            found.append(f"circuit {ref} {'is new' if was is None else 'is gone'}")
        elif was[:2] != now[:2]:
            average, peak = (_pair(was[place], now[place], "A") for place in (0, 1))
            drop = f", drop to the load {_pair(was[2], now[2], '%')}" if was[2] != now[2] else ""
            found.append(f"{ref} carries {average} average, {peak} peak{drop}")
        elif was[2] is not None and now[2] is not None:
            drops.append(now[2] - was[2])
    if drops:
        most = max(drops, key=abs)
        found.append(
            f"the drop to the load moves on {len(drops)} more circuits, at most by {most:+.2f} %"
        )
    return found


def _pair(was: float | None, now: float | None, unit: str) -> str:
    def one(value: float | None) -> str:
        return "not known" if value is None else f"{value:.1f}"

    return f"{one(was)} → {one(now)} {unit}"


def _findings(changes: list[Change]) -> list[str]:
    found = []
    for change in changes:
        finding = change.after or change.before
        assert finding is not None
        found.append(f"finding {change.kind}: {finding.called}, {finding.message.rstrip('.')}")
    return found


def _readers(before: State, after: State) -> list[str]:
    found = []
    for name, now in after.read.items():
        was = before.read.get(name, {})
        new = [key for key in now if key not in was]
        again = [key for key in now if key in was and was[key] != now[key]]
        gone = [key for key in was if key not in now]
        for word, keys in (("new", new), ("to be done again", again), ("no longer asked", gone)):
            if keys:
                more = f" and {len(keys) - 6} more" if len(keys) > 6 else ""
                found.append(f"{name} {word}: {', '.join(keys[:6])}{more}")
    return found
