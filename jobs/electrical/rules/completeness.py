"""What is not there yet, and what should not be there. A gap is never a pass."""

from collections.abc import Iterator

from jobs.electrical.case import Case, Run
from jobs.electrical.design import Circuit
from jobs.electrical.tables.conductors import SIZE_BY_AWG
from jobs.findings import Finding, Severity, at_least, judged, undetermined

# One-way length beyond which a run on a road vehicle is more likely a slip of the pen.
LONGEST_M = 30.0


def complete(case: Case, run: Run) -> list[Finding]:
    """Device, size, length and return of a run are entered, and a known size."""
    gaps = list(_run_gaps(run))
    if run.what == "circuit":
        gaps += _circuit_gaps(case, case.circuits[run.conductor.ref])
    if gaps:
        return [
            undetermined(
                rule="complete",
                subject=run.subject,
                missing=f"not entered: {', '.join(gaps)}",
                fix="Enter what is missing.",
                source="design-input",
            )
        ]
    if case.problems_only:
        return []
    return [
        Finding(
            rule="complete",
            severity=Severity.PASS,
            subject=run.subject,
            message="Device, conductor, length and return are entered.",
            source="design-input",
        )
    ]


def _run_gaps(run: Run) -> Iterator[str]:
    conductor = run.conductor
    if conductor.device_kind is None or conductor.device_a is None:
        yield "protective device"
    if not conductor.awg:
        yield "conductor size"
    if conductor.length_m is None:
        yield "length"
    if conductor.return_path is None:
        yield "return path"


def _circuit_gaps(case: Case, circuit: Circuit) -> Iterator[str]:
    if not circuit.label:
        yield "label"
    if not circuit.loads and not circuit.through_peak_a:
        yield "load"
    if circuit.node is not None and not circuit.channel:
        yield "channel"
    for load in circuit.loads:
        if not load.place:
            yield f"place of {load.name or load.ref}"
        if load.owner is None:
            yield f"owner of {load.name or load.ref}"


def known_size(case: Case, run: Run) -> list[Finding]:
    """The conductor size is one that exists in the tables."""
    awg = run.conductor.awg
    if not awg or awg in SIZE_BY_AWG:
        return []
    return [
        Finding(
            rule="known_size",
            severity=Severity.FAIL,
            subject=run.subject,
            message=f'"{awg}" is not a known conductor size.',
            fix=f"Use one of {', '.join(SIZE_BY_AWG)} AWG.",
            source="astm-b258",
        )
    ]


def smallest_conductor(case: Case, run: Run) -> list[Finding]:
    """No thinner than the rule set's smallest single conductor."""
    awg, least = run.conductor.awg, case.rules.smallest_single_awg
    size = SIZE_BY_AWG.get(awg or "")
    if size is None:
        return []
    area, least_area = size.area_cmil, SIZE_BY_AWG[least].area_cmil
    passes = at_least(area, least_area)
    if passes:
        return []
    return judged(
        rule="smallest_conductor",
        subject=run.subject,
        passes=False,
        message=f"{awg} AWG is thinner than {least} AWG, the smallest single conductor.",
        measured=area,
        limit=least_area,
        unit="cmil",
        fix=f"Use {least} AWG or thicker.",
        source=case.rules.smallest_single_source,
    )


def plausible_length(case: Case, run: Run) -> list[Finding]:
    """A one-way length beyond 30 m is worth a second look."""
    length = run.conductor.length_m
    if length is None or length <= LONGEST_M:
        return []
    return judged(
        rule="plausible_length",
        subject=run.subject,
        passes=False,
        otherwise=Severity.WARNING,
        message=f"{length / 0.3048:.0f} ft one way is long for a vehicle.",
        measured=length,
        limit=LONGEST_M,
        unit="m",
        fix="Check the length.",
        source="common-practice",
    )


def modes_entered(case: Case) -> list[Finding]:
    """A design with circuits says in which modes they run, one of them asleep."""
    modes = case.design.modes
    if not case.design.circuits or any(mode.asleep for mode in modes):
        return []
    rule, subject = "modes_entered", "operating modes"
    fix = "Add the modes in which the vehicle runs, and one parked and asleep."
    if not modes:
        missing = "no operating mode is entered; neither energy nor voltage in use is judged"
        return [
            undetermined(
                rule=rule, subject=subject, missing=missing, fix=fix, source="design-input"
            )
        ]
    return [
        Finding(
            rule=rule,
            severity=Severity.WARNING,
            subject=subject,
            message="No mode is parked and asleep, so the key-off draw is not judged.",
            fix=fix,
            source="design-input",
        )
    ]


def used_in_a_mode(case: Case, circuit: Circuit) -> list[Finding]:
    """A circuit with loads is on in some mode, or it is known to run only briefly."""
    if not circuit.loads or circuit.intermittent or circuit.whole_feed:
        return []
    if case.is_on_somewhere(circuit.ref):
        return []
    return [
        Finding(
            rule="used_in_a_mode",
            severity=Severity.WARNING,
            subject=circuit.ref,
            message="On in no operating mode, so no mode shows its voltage or its energy.",
            fix="Add it to the modes in which it runs, or mark it as intermittent.",
            source="design-input",
        )
    ]
