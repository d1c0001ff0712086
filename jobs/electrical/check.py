"""All electrical checks of a design. The public face of the calculation:

    design = Design(rule_set="common-practice", feeds=(...), circuits=(...))   # design.py
    findings = check(design)              every rule on every subject, with worked steps
    findings = check(design, problems_only=True)   only what does not pass: fast, for each edit
    data = to_json(design); design = from_json(data)                           # design_json.py

A Finding's `subject` is a circuit's reference ("A-02"), "feed A", "node N1", "mode scene",
"supply AUX" or "unit". A design with faulty data (a reference that leads nowhere, a number out of
range) is not calculated: every problem comes back as a FAIL of rule "input" with its path as
subject. None of this raises, and no number is ever NaN.
"""

from collections.abc import Callable

from jobs.electrical.case import Case, Run
from jobs.electrical.design import Circuit, Design
from jobs.electrical.input_check import design_problems
from jobs.electrical.rules.conductors import (
    conductor_ampacity,
    device_carries_load,
    device_protects_conductor,
)
from jobs.electrical.rules.drop import voltage_drop
from jobs.findings import Finding, Severity

# Rules on every conductor run, feeds and circuits alike.
RUN_RULES: tuple[Callable[[Case, Run], list[Finding]], ...] = (
    conductor_ampacity,
    device_carries_load,
    device_protects_conductor,
)
CIRCUIT_RULES: tuple[Callable[[Case, Circuit], list[Finding]], ...] = (voltage_drop,)


def check(design: Design, *, problems_only: bool = False) -> list[Finding]:
    """Every finding of the design, in the order feeds, circuits, then the whole."""
    problems = design_problems(design)
    if problems:
        return [_input_finding(problem.path, problem.message) for problem in problems]
    case = Case(design, problems_only=problems_only)
    findings: list[Finding] = []
    for feed in design.feeds:
        for rule in RUN_RULES:
            findings += rule(case, case.feed_runs[feed.ref])
    for circuit in design.circuits:
        findings += _check_circuit(case, circuit)
    return findings


def check_circuit(design: Design, ref: str, *, problems_only: bool = False) -> list[Finding]:
    """The findings of one circuit, as in `check`; KeyError for a circuit the design lacks."""
    problems = design_problems(design)
    if problems:
        return [_input_finding(problem.path, problem.message) for problem in problems]
    circuit = {item.ref: item for item in design.circuits}[ref]
    return _check_circuit(Case(design, problems_only=problems_only), circuit)


def _check_circuit(case: Case, circuit: Circuit) -> list[Finding]:
    findings: list[Finding] = []
    run = case.circuit_runs[circuit.ref]
    for rule in RUN_RULES:
        findings += rule(case, run)
    for circuit_rule in CIRCUIT_RULES:
        findings += circuit_rule(case, circuit)
    return findings


def _input_finding(path: str, message: str) -> Finding:
    return Finding(
        rule="input",
        severity=Severity.FAIL,
        subject=path,
        message=f"{path}: {message}.",
        fix="Correct this entry.",
        source="design-input",
    )
