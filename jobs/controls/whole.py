"""Whether the parts of a logic fit together: no circles, no growth without end, some state left."""

from jobs.controls.circuit import TRUE
from jobs.controls.expressions import Edge, Expression, conditions, names
from jobs.controls.logic import Logic
from jobs.controls.model import Model
from jobs.controls.order import LogicError, acyclic, by_dependence
from jobs.controls.solver import Clauses

MAX_CONDITIONS = 200
MAX_CHAIN = 40


def check_whole(logic: Logic) -> None:
    """Raise LogicError with the first problem; names and values are right already."""
    in_order = acyclic(_term_uses(logic), what="terms")
    _check_size(logic, in_order)
    list(by_dependence(logic))
    series = {each.name: {each.series} - {""} for each in logic.outputs}
    _check_chain("Output in series", acyclic(series, what="series outputs"), series)
    _check_momentary(logic, in_order)
    _check_assumptions(logic)


def _term_uses(logic: Logic) -> dict[str, set[str]]:
    terms = {term.name for term in logic.terms}
    return {term.name: set(names(term.when)) & terms for term in logic.terms}


def _check_size(logic: Logic, in_order: list[str]) -> None:
    """Terms are written out wherever they stand, so what they grow to is limited."""
    terms = {term.name: term.when for term in logic.terms}
    sizes: dict[str, int] = {}
    _check_chain("Term", in_order, _term_uses(logic))
    for name in in_order:
        sizes[name] = _size(terms[name], sizes)
    used = [(rule.name, part) for rule in logic.rules for part in (rule.when, rule.reset) if part]
    used += [(head.name, each.when) for head in logic.heads for each in head.patterns]
    used += [(each.name, each.holds) for each in logic.assumptions]
    for each in logic.interlocks:
        used += [(each.name, part) for part in (*each.subjects, each.condition) if part]
    for owner, expression in used:
        size = _size(expression, sizes)
        if size > MAX_CONDITIONS:
            message = f"{owner} has {size:,} conditions with its terms written out; at most "
            raise LogicError(f"{message}{MAX_CONDITIONS}.", path=owner)


def _check_chain(what: str, in_order: list[str], uses: dict[str, set[str]]) -> None:
    depth: dict[str, int] = {}
    for name in in_order:
        depth[name] = 1 + max((depth[used] for used in uses[name]), default=0)
        if depth[name] > MAX_CHAIN:
            message = f"{what} {name} stands on a chain of {depth[name]}; at most {MAX_CHAIN}."
            raise LogicError(message, path=name)


def _size(expression: Expression, sizes: dict[str, int]) -> int:
    return sum(sizes.get(condition.name, 1) for condition in conditions(expression))


def _check_momentary(logic: Logic, in_order: list[str]) -> None:
    """Something just pressed lasts no time, so no delay before coming on can run out for it."""
    terms = {term.name: term.when for term in logic.terms}
    momentary: set[str] = set()
    for name in in_order:
        if _has_edge(terms[name]) or names(terms[name]) & momentary:
            momentary.add(name)
    for rule in logic.rules:
        if rule.on_delay_s and (_has_edge(rule.when) or names(rule.when) & momentary):
            message = f"{rule.name}: a delay before coming on never runs out for a mere press."
            raise LogicError(message, path="rules")


def _has_edge(expression: Expression) -> bool:
    return any(isinstance(each, Edge) for each in conditions(expression))


def _check_assumptions(logic: Logic) -> None:
    """Without any state left, every interlock would hold and mean nothing."""
    if not logic.assumptions:
        return
    clauses = Clauses(Model(logic))
    try:
        clauses.literal(TRUE)
        if clauses.solve([]) is None:
            message = "The assumptions contradict each other: no state fulfils them all."
            raise LogicError(message, path="assumptions")
    finally:
        clauses.close()
