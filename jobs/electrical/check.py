"""All electrical checks of a design. The public face of the calculation:

    design = Design(rule_set="common-practice", feeds=(...), circuits=(...))   # design.py
    findings = check(design)              every rule on every subject, with worked steps
    findings = check(design, problems_only=True)   only what does not pass: fast, for each edit
    case = Case(design); case.circuit_runs["A-02"].peak_a      # case.py: figures for a schedule
    data = to_json(design); design = from_json(data)           # design_json.py

A Finding's `subject` is a circuit's reference ("A-02"), "feed A", "feed E at AUX", "node N1",
"mode scene", "mode timers on MAIN", "inverter", "shore power", "AC branch 1",
"contact R1" or "pass-through P1". A design with
faulty data (a reference that leads nowhere, a number out of range) is not calculated: every
problem comes back as a FAIL of rule "input" with its path as subject. None of this raises, and no
number is ever NaN.
"""

from collections.abc import Callable
from dataclasses import replace

from jobs.electrical.case import Case, Run
from jobs.electrical.design import Circuit, Design, Feed, Mode, Node
from jobs.electrical.input_check import design_problems
from jobs.electrical.rules import ac, completeness, conductors, energy, protection, totals
from jobs.electrical.rules.ac_branches import ac_branches
from jobs.electrical.rules.asleep import asleep_current
from jobs.electrical.rules.charging import charging
from jobs.electrical.rules.drop import voltage_drop
from jobs.electrical.rules.openings import pass_through_fill
from jobs.electrical.rules.surge import inrush
from jobs.electrical.rules.voltage import drop_in_modes, operating_point, voltage_at_load
from jobs.findings import Finding, Severity

# Every rule there is: one function, one question. The order is the order of the findings.
RUN_RULES: tuple[Callable[[Case, Run], list[Finding]], ...] = (
    completeness.complete,
    completeness.known_size,
    completeness.smallest_conductor,
    completeness.plausible_length,
    conductors.conductor_ampacity,
    conductors.device_carries_load,
    conductors.device_protects_conductor,
    protection.device_kind,
    protection.fault_clearing,
)
FEED_RULES: tuple[Callable[[Case, Feed], list[Finding]], ...] = (
    protection.protected_at_source,
    protection.selectivity,
    totals.panel_limit,
)
NODE_RULES: tuple[Callable[[Case, Node], list[Finding]], ...] = (
    totals.module_limit,
    totals.channel_used_once,
)
CIRCUIT_RULES: tuple[Callable[[Case, Circuit], list[Finding]], ...] = (
    voltage_drop,
    drop_in_modes,
    voltage_at_load,
    inrush,
    totals.channel_limit,
    completeness.used_in_a_mode,
)
MODE_RULES: tuple[Callable[[Case, Mode], list[Finding]], ...] = (
    operating_point,
    energy.alternator_budget,
    energy.battery_runtime,
    charging,
    asleep_current,
)
DESIGN_RULES: tuple[Callable[[Case], list[Finding]], ...] = (
    ac.ac_described,
    ac_branches,
    ac.inverter,
    ac.shore_budget,
    ac.neutral_bond,
    totals.contact_limits,
    pass_through_fill,
    completeness.modes_entered,
)


def check(design: Design, *, problems_only: bool = False) -> list[Finding]:
    """Every finding of the design: feeds, nodes, circuits, modes, then the whole."""
    problems = design_problems(design)
    if problems:
        return [_input_finding(problem.path, problem.message) for problem in problems]
    return check_case(Case(design, problems_only=problems_only))


def check_case(case: Case) -> list[Finding]:
    """As `check`, for a case whose design is known to be without problems."""
    design, findings = case.design, list[Finding]()
    for feed in design.feeds:
        for run_rule in RUN_RULES:
            findings += run_rule(case, case.feed_runs[feed.ref])
        for feed_rule in FEED_RULES:
            findings += feed_rule(case, feed)
    for node in design.nodes:
        for node_rule in NODE_RULES:
            findings += node_rule(case, node)
    for circuit in design.circuits:
        findings += check_circuit(case, circuit)
    for mode in design.modes:
        for mode_rule in MODE_RULES:
            findings += _by_name(mode, mode_rule(case, mode))
    for design_rule in DESIGN_RULES:
        findings += design_rule(case)
    return findings


def check_circuit(case: Case, circuit: Circuit) -> list[Finding]:
    """The findings of one circuit."""
    findings: list[Finding] = []
    run = case.circuit_runs[circuit.ref]
    for run_rule in RUN_RULES:
        findings += run_rule(case, run)
    for circuit_rule in CIRCUIT_RULES:
        findings += circuit_rule(case, circuit)
    return findings


def _by_name(mode: Mode, findings: list[Finding]) -> list[Finding]:
    """People know a mode by its name, scripts by its key."""
    key, name = f"mode {mode.key}", f"mode {mode.name or mode.key}"
    return [replace(each, name=each.subject.replace(key, name, 1)) for each in findings]


def _input_finding(path: str, message: str) -> Finding:
    return Finding(
        rule="input",
        severity=Severity.FAIL,
        subject=path,
        message=f"{path}: {message}.",
        fix="Correct this entry.",
        source="design-input",
    )
