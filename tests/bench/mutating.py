"""One operator or condition of a rule turned over: how often the vehicle's own steps notice."""

from collections import Counter
from collections.abc import Iterator

from jobs.controls.plan import test_plan as plan_of
from tests.bench.clock import Figure
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.replay import first_wrong, needed_for, rule_mutants, with_rule
from tests.jobs.controls.test_plan import means_the_same


def figures() -> Iterator[Figure]:
    """Every rule of the demo.

    A mutant that is proved to mean the same cannot be noticed. Neither can one of a condition that
    the plan itself reports as never deciding; that report is what the shop gets instead of a step.
    """
    logic = demo_logic("1.3")
    plan = plan_of(logic)
    reported = {each.output for each in plan.not_shown}
    found = Counter[str]()
    for rule in logic.rules:
        small = needed_for(logic, rule.output)
        for mutant in rule_mutants(rule):
            if first_wrong(with_rule(small, mutant), plan.steps, {rule.output}):
                found["caught"] += 1
            elif means_the_same(small, rule, mutant):
                found["same"] += 1
            else:
                found["reported" if rule.output in reported else "missed"] += 1
    words = f"{found['caught']} caught, {found['same']} the same, {found['reported']} reported"
    name = f"missed of {found.total()} mutants of {len(logic.rules)} rules ({words})"
    yield Figure(name=name, value=found["missed"], budget=0)
