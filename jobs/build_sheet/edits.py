"""One circuit changed in place: everything judged again, only what changed handed back.

The rows are read once; the changed circuit is exchanged in the frozen design.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction

from jobs.audit.record import record
from jobs.build_sheet.actions import STALE, BuildSheetError
from jobs.build_sheet.circuit_forms import CellForm
from jobs.build_sheet.design import circuit_of, design_from
from jobs.build_sheet.models import AcceptedFinding, Circuit
from jobs.build_sheet.prepared import Prepared
from jobs.build_sheet.review import (
    Judged,
    RunRow,
    loads_text,
    run_row,
    shown_circuits,
    shown_feeds,
)
from jobs.build_sheet.rows import Rows, rows_of
from jobs.electrical.case import Case
from jobs.electrical.changes import Change, ChangeKind, what_changed
from jobs.electrical.check import check, check_case
from jobs.electrical.design import Design
from jobs.electrical.input_check import circuit_problems, design_problems
from jobs.electrical.suggest import with_circuit
from jobs.findings import Finding
from jobs.intake.models import Job


@dataclass(frozen=True, kw_only=True, slots=True)
class Schedule:
    """A job's rows and frozen design as they stand before an edit."""

    job: Job
    rows: Rows
    design: Design


@dataclass(frozen=True, kw_only=True, slots=True)
class Edited:
    """What an edit altered: findings, and the feeds and circuits whose row reads differently."""

    row: RunRow
    changes: list[Change]
    circuits: list[RunRow] = field(default_factory=list)
    feeds: list[RunRow] = field(default_factory=list)
    appeared: list[Judged] = field(default_factory=list)
    changed: list[Judged] = field(default_factory=list)
    vanished: list[Judged] = field(default_factory=list)


def schedule_of(job: Job) -> Schedule:
    rows = rows_of(job)
    return Schedule(job=job, rows=rows, design=design_from(rows, job))


# Equal designs give equal findings, and each edit starts where the last one ended.
_KNOWN: dict[str, tuple[Design, list[Finding]]] = {}
MOST_KNOWN = 32


def _problems(design: Design) -> list[Finding]:
    """What does not pass. Taken from the last edit when the design is equal to its outcome."""
    known, findings = _KNOWN.get(design.name, (None, []))
    return findings if known == design else check(design, problems_only=True)


def _remember(design: Design, findings: list[Finding]) -> None:
    if len(_KNOWN) >= MOST_KNOWN:
        _KNOWN.clear()
    _KNOWN[design.name] = (design, findings)


def effect_on(schedule: Schedule, form: CellForm) -> list[Change]:
    """What the valid form would change. Nothing is written."""
    return what_changed(
        _problems(schedule.design),
        check(_after(schedule, form), problems_only=True),
    )


def _after(schedule: Schedule, form: CellForm) -> Design:
    return with_circuit(schedule.design, circuit_of(form.instance, schedule.rows))


def save_cells(*, schedule: Schedule, form: CellForm, by: Any, seen_version: int | None) -> Edited:
    """Save the valid form and judge the design again. Raises BuildSheetError when it is stale."""
    before = _problems(schedule.design)
    _write(form, by, schedule.job, seen_version)
    design = _after(schedule, form)
    sound = not any(finding.rule == "input" for finding in before)
    faults = circuit_problems(design, form.instance.ref) if sound else design_problems(design)
    case = None if faults else Case(design, problems_only=True)
    after = check_case(case) if case else check(design)
    _remember(design, after)
    return _edited(schedule, case, form.instance, after, what_changed(before, after))


@transaction.atomic
def _write(form: CellForm, by: Any, job: Job, seen_version: int | None) -> None:
    """One conditional update of the four cells and one line of history."""
    circuit = form.instance
    seen = circuit.version if seen_version is None else seen_version
    values = {name: form.cleaned_data[name] for name in form.fields}
    rows = Circuit.objects.filter(pk=circuit.pk, version=seen)
    if not rows.update(**values, version=seen + 1):
        raise BuildSheetError(STALE.format(circuit))
    circuit.version = seen + 1
    words = ", ".join(form.changed_data) or "nothing"
    sentence = f"Changed circuit {circuit}: {words}."
    record(by=by, verb="changed", subject=circuit, job=job.number, sentence=sentence)


ACCEPTED = Prepared(lambda job: AcceptedFinding.objects.filter(job_id=job), ("rule", "subject"))


def _accepted(job: Job) -> dict[tuple[str, str], AcceptedFinding]:
    """Findings accepted in writing; most jobs have none."""
    if not ACCEPTED.of(job.pk):
        return {}
    return {(each.rule, each.subject): each for each in job.accepted_findings.all()}


def _edited(
    schedule: Schedule,
    case: Case | None,
    circuit: Circuit,
    after: list[Finding],
    changes: list[Change],
) -> Edited:
    accepted = _accepted(schedule.job)

    def judge(findings: Iterable[Finding | None]) -> list[Judged]:
        return [
            Judged(finding=f, accepted=accepted.get((f.rule, f.subject))) for f in findings if f
        ]

    touched = {(each.after or each.before).subject for each in changes}  # type: ignore[union-attr]
    others = touched & {item.ref for item in schedule.rows.circuits} - {circuit.ref}
    feeds = {item.ref for item in schedule.rows.feeds if f"feed {item.ref}" in touched}
    by_subject = judge(after)
    circuits = {each.ref: each for each in schedule.design.circuits}

    def row(item: Any, subject: str, feed_ref: str | None) -> RunRow:
        mine = [each for each in by_subject if each.finding.subject == subject]
        return run_row(
            case, item, mine, feed_ref, loads_text(circuits[item.ref]) if feed_ref else ""
        )

    def of_kind(kind: ChangeKind) -> list[Change]:
        return [each for each in changes if each.kind is kind]

    return Edited(
        row=row(circuit, circuit.ref, circuit.feed.ref),
        changes=changes,
        circuits=[
            row(item, item.ref, item.feed.ref)
            for item in (shown_circuits(schedule.job).filter(ref__in=others) if others else ())
        ],
        feeds=[
            row(item, f"feed {item.ref}", None)
            for item in (shown_feeds(schedule.job).filter(ref__in=feeds) if feeds else ())
        ],
        appeared=judge(each.after for each in of_kind(ChangeKind.APPEARED)),
        changed=judge(each.after for each in of_kind(ChangeKind.CHANGED)),
        vanished=judge(each.before for each in of_kind(ChangeKind.VANISHED)),
    )
