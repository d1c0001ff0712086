"""The design as people read it: each run with its currents, drop and findings, worst first."""

from collections import Counter, defaultdict
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import QuerySet
from django.utils.text import slugify

from jobs.build_sheet.design import design_of
from jobs.build_sheet.models import AcceptedFinding, Circuit, Feed
from jobs.build_sheet.quantities import quantity_findings
from jobs.build_sheet.weights import weight_findings
from jobs.electrical.case import Case, Run
from jobs.electrical.check import check, check_case
from jobs.electrical.design import Circuit as DesignCircuit
from jobs.electrical.design import Design
from jobs.electrical.input_check import design_problems
from jobs.findings import WORST_FIRST, Finding, Severity, worst
from jobs.intake.models import Job, Unit


@dataclass(frozen=True, kw_only=True, slots=True)
class Judged:
    """A finding with the written acceptance of a named person, if there is one."""

    finding: Finding
    accepted: AcceptedFinding | None

    @property
    def key(self) -> str:
        """Names the finding on a page: one rule says one thing about one subject."""
        return slugify(f"{self.finding.rule} {self.finding.subject}")

    @property
    def blocks(self) -> bool:
        """Whether it keeps the design from release."""
        hard = self.finding.severity in (Severity.FAIL, Severity.UNDETERMINED)
        return hard and self.accepted is None


@dataclass(frozen=True, kw_only=True, slots=True)
class RunRow:
    """One feed or circuit with its computed figures; None where data are missing."""

    item: Feed | Circuit
    average_a: float | None
    peak_a: float | None
    ampacity_a: float | None
    drop_v: float | None
    path_drop_v: float | None
    path_drop_percent: float | None
    judged: list[Judged]
    # What hangs on a circuit: "2 × WL-01, 1 × WL-02".
    loads: str = ""

    @property
    def status(self) -> str:
        return worst([each.finding for each in self.judged])

    @property
    def problems(self) -> list[Judged]:
        return [each for each in self.judged if each.finding.severity != Severity.PASS]


@dataclass(frozen=True, kw_only=True, slots=True)
class Review:
    """Everything about a job's design: the frozen input, all findings, rows for the schedule."""

    design: Design
    judged: list[Judged]
    feeds: list[RunRow]
    circuits: list[RunRow]

    @property
    def findings(self) -> list[Finding]:
        return [each.finding for each in self.judged]

    @property
    def counts(self) -> dict[str, int]:
        found = Counter(str(each.finding.severity) for each in self.judged)
        return {str(severity): found[str(severity)] for severity in WORST_FIRST}

    @property
    def problems(self) -> list[Judged]:
        """Everything that does not pass, worst first, accepted in writing or not."""
        order = {severity: rank for rank, severity in enumerate(WORST_FIRST)}
        found = [each for each in self.judged if each.finding.severity != Severity.PASS]
        return sorted(found, key=lambda each: order[each.finding.severity])

    @property
    def open_problems(self) -> list[Judged]:
        """What still needs a person, worst first."""
        return [each for each in self.problems if each.accepted is None]

    @property
    def accepted_problems(self) -> list[Judged]:
        return [each for each in self.problems if each.accepted is not None]

    @property
    def blocking(self) -> list[Judged]:
        return [each for each in self.judged if each.blocks]


@dataclass(frozen=True, kw_only=True, slots=True)
class Kept:
    """A design with its rows as they were kept, to be reviewed instead of those of today."""

    design: Design
    feeds: list[Feed]
    circuits: list[Circuit]


def review(job: Job, *, unit: Unit | None = None, kept: Kept | None = None) -> Review:
    """Compute everything again from the rows; nothing is cached that could be stale."""
    unit = unit or job.units.order_by("id").first()
    design = kept.design if kept else design_of(job, unit=unit)
    case = None if design_problems(design) else Case(design)
    electrical = check_case(case) if case else check(design)
    findings = [*electrical, *quantity_findings(job), *weight_findings(job, unit)]
    accepted = {(a.rule, a.subject): a for a in job.accepted_findings.all()}
    judged = [Judged(finding=f, accepted=accepted.get((f.rule, f.subject))) for f in findings]
    by_subject: dict[str, list[Judged]] = defaultdict(list)
    for each in judged:
        by_subject[each.finding.subject].append(each)
    feeds = [
        run_row(case, feed, by_subject[f"feed {feed.ref}"], None)
        for feed in (kept.feeds if kept else shown_feeds(job))
    ]
    loads = {circuit.ref: loads_text(circuit) for circuit in design.circuits}
    circuits = [
        run_row(case, item, by_subject[item.ref], item.feed.ref, loads.get(item.ref, ""))
        for item in (kept.circuits if kept else shown_circuits(job))
    ]
    return Review(design=design, judged=judged, feeds=feeds, circuits=circuits)


def _drop(run: Run) -> float | None:
    if run.loop_ohm is None or run.peak_a is None:
        return None
    return run.loop_ohm * run.peak_a


def shown_feeds(job: Job) -> QuerySet[Feed]:
    """Feeds with what a page says about them."""
    return job.feeds.select_related("supply", "second_supply")


def shown_circuits(job: Job) -> QuerySet[Circuit]:
    """Circuits with what a page says about them."""
    return job.circuits.select_related("feed", "node")


def loads_text(circuit: DesignCircuit) -> str:
    return ", ".join(f"{load.quantity} × {load.ref}" for load in circuit.loads)


def run_row(
    case: Case | None,
    item: Feed | Circuit,
    judged: list[Judged],
    feed_ref: str | None,
    loads: str = "",
) -> RunRow:
    """Figures of one run at peak; a circuit's path adds the drop of its feed."""
    run = feed_drop = None
    volts = None
    if case is not None:
        runs = case.feed_runs if feed_ref is None else case.circuit_runs
        run = runs[item.ref]
        feed = case.feeds[feed_ref or item.ref]
        volts = case.supply_v(feed)
        whole = getattr(item, "whole_feed", False)
        feed_drop = 0.0 if feed_ref is None or whole else _drop(case.feed_runs[feed_ref])
    drop = _drop(run) if run else None
    path = None if drop is None or feed_drop is None else drop + feed_drop
    return RunRow(
        item=item,
        average_a=run.average_a if run else None,
        peak_a=run.peak_a if run else None,
        ampacity_a=run.ampacity.amps if run and run.ampacity else None,
        drop_v=drop,
        path_drop_v=path,
        path_drop_percent=None if path is None or not volts else 100 * path / volts,
        judged=judged,
        loads=loads,
    )


def predicted_volts(job: Job, found: Review) -> dict[str, Decimal]:
    """Voltage expected at each circuit's load during the load test, everything on at peak [V].

    Supply voltage during the test less feed and branch drop; circuits without data are left out.
    """
    test = {supply.ref: supply.test_mv or supply.nominal_mv for supply in job.supplies.all()}
    supply_of = {feed.item.ref: feed.item.supply.ref for feed in found.feeds}
    volts = {}
    for row in found.circuits:
        if row.path_drop_v is None:
            continue
        start = Decimal(test[supply_of[row.item.feed.ref]]) / 1000
        volts[row.item.ref] = start - Decimal(str(round(row.path_drop_v, 6)))
    return volts
