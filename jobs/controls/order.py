"""Outputs in the order in which they can be worked out."""

from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter

from jobs.controls.expressions import Expression, names
from jobs.controls.logic import Interlock, Logic, Rule


class LogicError(ValueError):
    """A sentence about logic that cannot be used, with the path of the place."""

    def __init__(self, message: str, *, path: str = "") -> None:
        super().__init__(message)
        self.path = path


def by_dependence(logic: Logic) -> Iterator[tuple[str, tuple[Rule, ...]]]:
    """Each output with its rules, after the outputs that these look at."""
    terms = {term.name: term.when for term in logic.terms}
    rules: dict[str, list[Rule]] = {output.name: [] for output in logic.outputs}
    for rule in logic.rules:
        rules[rule.output].append(rule)
    uses = {
        output: {name for rule in own for name in used_names(rule, terms)} & rules.keys()
        for output, own in rules.items()
    }
    for output in acyclic(uses, what="rules"):
        yield output, tuple(rules[output])


def acyclic(uses: dict[str, set[str]], *, what: str) -> list[str]:
    """The names, used ones first. Raises LogicError naming a cycle."""
    try:
        return list(TopologicalSorter(uses).static_order())
    except CycleError as error:
        cycle = " → ".join(reversed(error.args[1]))
        message = f"The {what} form a circle: {cycle}. Nothing may depend on itself."
        raise LogicError(message, path=what) from None


def used_names(rule: Rule, terms: dict[str, Expression]) -> set[str]:
    """Signals and outputs that the rule looks at, through terms too."""
    return _spread(set(names(rule.when)) | set(names(rule.reset) if rule.reset else ()), terms)


def spread(interlock: Interlock, terms: dict[str, Expression]) -> set[str]:
    """Signals and outputs that the interlock names, through terms too."""
    parts = [*interlock.subjects, *([interlock.condition] if interlock.condition else [])]
    return _spread({name for part in parts for name in names(part)}, terms)


def _spread(used: set[str], terms: dict[str, Expression]) -> set[str]:
    while found := used & terms.keys():
        used = used - found | {name for term in found for name in names(terms[term])}
    return used
