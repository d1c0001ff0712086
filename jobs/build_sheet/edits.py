"""One circuit changed in place: everything judged again, only what changed handed back.

The rows are read once; the changed circuit is exchanged in the frozen design.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from jobs.build_sheet.actions import save_row
from jobs.build_sheet.circuit_forms import CellForm
from jobs.build_sheet.design import circuit_of, design_from
from jobs.build_sheet.models import AcceptedFinding, Circuit
from jobs.build_sheet.review import Judged, RunRow, run_row
from jobs.build_sheet.rows import Rows, rows_of
from jobs.electrical.case import Case
from jobs.electrical.changes import Change, ChangeKind, what_changed
from jobs.electrical.check import check, check_case
from jobs.electrical.design import Design
from jobs.electrical.input_check import design_problems
from jobs.electrical.suggest import with_circuit
from jobs.findings import Finding
from jobs.intake.models import Job


@dataclass(frozen=True, kw_only=True, slots=True)
class Schedule:
    """A job's rows and frozen design as they stand before an edit."""

    job: Job
    rows: Rows
    design: Design

    def circuit(self, row_id: int) -> Circuit | None:
        return next((row for row in self.rows.circuits if row.pk == row_id), None)


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
    design = design_from(rows, job, unit=job.units.order_by("id").first())
    return Schedule(job=job, rows=rows, design=design)


def effect_on(schedule: Schedule, form: CellForm) -> list[Change]:
    """What the valid form would change. Nothing is written."""
    return what_changed(
        check(schedule.design, problems_only=True),
        check(_after(schedule, form), problems_only=True),
    )


def _after(schedule: Schedule, form: CellForm) -> Design:
    return with_circuit(schedule.design, circuit_of(form.instance))


def save_cells(*, schedule: Schedule, form: CellForm, by: Any, seen_version: int | None) -> Edited:
    """Save the valid form and judge the design again. Raises BuildSheetError when it is stale."""
    before = check(schedule.design, problems_only=True)
    save_row(form=form, by=by, seen_version=seen_version)
    design = _after(schedule, form)
    case = None if design_problems(design) else Case(design, problems_only=True)
    after = check_case(case) if case else check(design)
    changes = what_changed(before, after)
    accepted = {(a.rule, a.subject): a for a in schedule.job.accepted_findings.all()}
    return _edited(schedule, case, form.instance, after, changes, accepted)


def _edited(
    schedule: Schedule,
    case: Case | None,
    circuit: Circuit,
    after: list[Finding],
    changes: list[Change],
    accepted: dict[tuple[str, str], AcceptedFinding],
) -> Edited:
    def judge(findings: Iterable[Finding | None]) -> list[Judged]:
        return [
            Judged(finding=f, accepted=accepted.get((f.rule, f.subject))) for f in findings if f
        ]

    touched = {(each.after or each.before).subject for each in changes}  # type: ignore[union-attr]
    by_subject = judge(after)

    def row(item: Any, subject: str, feed_ref: str | None) -> RunRow:
        mine = [each for each in by_subject if each.finding.subject == subject]
        return run_row(case, item, mine, feed_ref)

    def of_kind(kind: ChangeKind) -> list[Change]:
        return [each for each in changes if each.kind is kind]

    return Edited(
        row=row(circuit, circuit.ref, circuit.feed.ref),
        changes=changes,
        circuits=[
            row(item, item.ref, item.feed.ref)
            for item in schedule.rows.circuits
            if item.pk != circuit.pk and item.ref in touched
        ],
        feeds=[
            row(item, f"feed {item.ref}", None)
            for item in schedule.rows.feeds
            if f"feed {item.ref}" in touched
        ],
        appeared=judge(each.after for each in of_kind(ChangeKind.APPEARED)),
        changed=judge(each.after for each in of_kind(ChangeKind.CHANGED)),
        vanished=judge(each.before for each in of_kind(ChangeKind.VANISHED)),
    )
