"""Interlocks about what can happen: an output can come on, a latch can be released."""

from jobs.controls.circuit import Circuit
from jobs.controls.cones import Cone, cone_of
from jobs.controls.counterexample import counterexample
from jobs.controls.expressions import Named
from jobs.controls.logic import Interlock, InterlockKind, Rule
from jobs.controls.prove import Prover, fits, trail
from jobs.controls.reach import Reach, Visit
from jobs.controls.readings import Role
from jobs.controls.results import Counterexample, Proved, Refuted, Result, TooLarge
from jobs.controls.solver import Clauses, OutOfBudget

MAX_TRIES = 20


def output_reachable(prover: Prover, output: str, interlock: Interlock) -> Result:
    """Proved with a witness when some reachable state turns the output on."""
    node = prover.model.energised(output)
    found = prover.find(cone_of(prover.model, node), node)
    if isinstance(found, TooLarge):
        return found
    if isinstance(found, Proved):
        label = prover.model.label(output)
        sentence = f"No state that can be reached turns {label} on."
        return Refuted(counterexample=Counterexample(sentence=sentence, matters=(), moments=()))
    witness = counterexample(found, interlock)
    return Proved(states_checked=1, how="a state that shows it", witness=witness)


def latch_releasable(prover: Prover, rule: Rule, interlock: Interlock) -> Result:
    """Proved when every reachable state with the latch on has a way to turn it off."""
    active = prover.model.active[rule.name]
    cone = cone_of(prover.model, active)
    if not fits(cone):
        return _by_solver(prover, cone, active, rule)
    reach = Reach(cone)
    visits = list(reach.visits())
    off = prover.model.circuit.negate(active)
    free = _can_reach(reach, visits, reach.tables.table(off) & reach.legal)
    on = reach.tables.table(active) & reach.legal
    for visit in visits:
        stuck = _stuck(reach, visit, on, free)
        if stuck:
            return Refuted(counterexample=counterexample(trail(reach, visit, stuck), interlock))
    checked = sum(reach.slice(reach.legal, visit.state).bit_count() for visit in visits)
    return Proved(states_checked=checked, how="every state that can be reached")


def _can_reach(reach: Reach, visits: list[Visit], goal: int) -> set[int]:
    """The carried-over states from which a state of the goal table can be reached."""
    found = {visit.state for visit in visits if reach.slice(goal, visit.state)}
    targets = {
        visit.state: {state for state, _ in reach.successors(visit.state)} for visit in visits
    }
    while more := {each for each, next_ in targets.items() if each not in found and next_ & found}:
        found |= more
    return found


def _stuck(reach: Reach, visit: Visit, on: int, free: set[int]) -> int:
    """The inputs that turn the latch on and lead where nothing turns it off again."""
    table = 0
    for state, inputs in reach.successors(visit.state):
        if state not in free:
            table |= inputs & reach.slice(on, visit.state)
    return table


def _by_solver(prover: Prover, cone: Cone, active: int, rule: Rule) -> Result:
    """Look for settings that turn the latch off from whatever was before."""
    clauses = Clauses(prover.model)
    try:
        return _releasing(clauses, cone, active, rule)
    except OutOfBudget as error:
        return TooLarge(reason=f"It stands on {len(cone.order)} two-valued variables and {error}.")
    finally:
        clauses.close()


def _releasing(clauses: Clauses, cone: Cone, active: int, rule: Rule) -> Result:
    circuit = cone.model.circuit
    on = clauses.literal(active)
    before = [clauses.literal(circuit.variables[number]) for number in cone.states]
    inputs = [clauses.literal(circuit.variables[number]) for number in cone.inputs]
    latched = _latch_literal(clauses, cone, rule, circuit)
    assumed = [latched]
    for _ in range(MAX_TRIES):
        off = clauses.solve([*assumed, -on])
        if off is None:
            break
        settings = [each if each in off else -each for each in inputs]
        kept = clauses.solve([latched, *settings, on])
        if kept is None:
            how = "solver: one setting turns it off from every state"
            return Proved(states_checked=1 << len(cone.order), how=how)
        assumed = [latched, *[each if each in kept else -each for each in before]]
    return TooLarge(reason="No single setting was found that turns it off from every state.")


def _latch_literal(clauses: Clauses, cone: Cone, rule: Rule, circuit: Circuit) -> int:
    for number, variable in enumerate(cone.model.readings.variables):
        if variable.role is Role.WAS and variable.name == rule.name and variable.tag == "latch":
            return clauses.literal(circuit.variables[number])
    raise ValueError(f"{rule.name} does not latch.")


def about(interlock: Interlock, names: list[str]) -> list[str]:
    """The names that the interlock is about: its subjects, or all of them."""
    chosen = [each.name for each in interlock.subjects if isinstance(each, Named)]
    return [name for name in names if name in chosen] if chosen else names


def one(interlock: Interlock, key: str, output: str, label: str) -> Interlock:
    """The same interlock about one output or latch only, named by its key."""
    verb = "can come on"
    if interlock.kind is InterlockKind.LATCH_RELEASABLE:
        verb = "can be released"
    return Interlock(
        name=f"{interlock.name}.{key}",
        label=f"{label} {verb}",
        kind=interlock.kind,
        subjects=(Named(name=output),),
        safety=interlock.safety,
        why=interlock.why,
    )
