"""Search by solver: is a node ever true from power-up on?

Without state one question decides. With state two questions alternate for longer and longer runs:
can it be broken at the k-th moment after power-up, and can it be broken after k whole moments from
wherever they start? When the second is impossible and the first never came true, it never breaks.
"""

from pysat.card import ITotalizer  # type: ignore[import-untyped]

from jobs.controls.cones import Cone, groups, rest_state
from jobs.controls.counterexample import Trail
from jobs.controls.results import Proved, TooLarge
from jobs.controls.solver import Clauses, OutOfBudget

MAX_MOMENTS = 16


def search(clauses: Clauses, cone: Cone, broken: int) -> Proved | Trail | TooLarge:
    try:
        return _search(clauses, cone, broken)
    except OutOfBudget as error:
        size = len(cone.order)
        return TooLarge(reason=f"It stands on {size} two-valued variables and {error}.")


def _search(clauses: Clauses, cone: Cone, broken: int) -> Proved | Trail | TooLarge:
    states = 1 << len(cone.order)
    if not cone.states:
        if clauses.solve([clauses.literal(broken)]) is None:
            return Proved(states_checked=states, how="solver, over every state")
        return _smallest(clauses, cone, broken, 0)
    whole: list[int] = []
    for moment in range(MAX_MOMENTS):
        breaks = clauses.literal(broken, moment)
        if clauses.solve([clauses.powered, breaks]) is not None:
            return _smallest(clauses, cone, broken, moment)
        if clauses.solve([*whole, *_different(clauses, cone, moment), breaks]) is None:
            how = f"solver, by induction over {moment + 1} moments"
            return Proved(states_checked=states, how=how)
        whole.append(-breaks)
    return TooLarge(
        reason=f"It is whole for {MAX_MOMENTS} moments after power-up, which proves nothing beyond."
    )


def _different(clauses: Clauses, cone: Cone, moment: int) -> list[int]:
    """Literals that assume every carried-over state up to this moment to be another one.

    A shortest way to a broken state never passes the same state twice, so nothing is lost.
    """
    variables = cone.model.circuit.variables
    found = []
    for late in range(1, moment + 1):
        for early in range(late):
            either = []
            for number in cone.states:
                one = clauses.literal(variables[number], early)
                two = clauses.literal(variables[number], late)
                differ = clauses.fresh()
                clauses.add([-differ, one, two])
                clauses.add([-differ, -one, -two])
                either.append(differ)
            assumed = clauses.fresh()
            clauses.add([-assumed, *either])
            found.append(assumed)
    return found


def _smallest(clauses: Clauses, cone: Cone, broken: int, moment: int) -> Trail:
    """The trail of this length with the fewest signals away from rest, over all its moments."""
    wanted = [clauses.powered, clauses.literal(broken, moment)]
    moved = [each for at in range(moment + 1) for each in _moved(clauses, cone, at)]
    solution = clauses.solve(wanted)
    assert solution is not None
    count = sum(each in solution for each in moved)
    if count:
        solution = fewest(clauses, wanted, moved, solution)
    masks = [clauses.mask(cone, at, solution) for at in range(moment + 1)]
    return Trail(
        cone=cone,
        before=tuple(masks[:-1]),
        last=masks[-1],
        matters=tuple(
            cone.model.readings.variables[cone.inputs[places[0]]]
            for places in _matters(clauses, cone, broken, masks[-1])
        ),
    )


def fewest(
    clauses: Clauses, wanted: list[int], moved: list[int], solution: frozenset[int]
) -> frozenset[int]:
    """The solution with the fewest of these literals true, or the best within the budget."""
    count = sum(each in solution for each in moved)
    with ITotalizer(lits=moved, ubound=count, top_id=clauses.last) as counter:
        clauses.last = counter.top_id
        for clause in counter.cnf.clauses:
            clauses.add(clause)
        while count:
            try:
                better = clauses.solve([*wanted, -counter.rhs[count - 1]])
            except OutOfBudget:
                return solution
            if better is None:
                return solution
            solution = better
            count = sum(each in solution for each in moved)
    return solution


def _moved(clauses: Clauses, cone: Cone, moment: int) -> list[int]:
    """For each signal, known mark and timer a literal that is true when it is away from rest."""
    rest = rest_state(cone)
    found = []
    for places in groups(cone):
        away = clauses.fresh()
        for place in places:
            literal = clauses.literal(_node(cone, place), moment)
            clauses.add([literal if rest >> place & 1 else -literal, away])
        found.append(away)
    return found


def _node(cone: Cone, place: int) -> int:
    return cone.model.circuit.variables[cone.order[place]]


def _matters(clauses: Clauses, cone: Cone, broken: int, mask: int) -> list[tuple[int, ...]]:
    """Groups of inputs that cannot change without mending it, those at rest given up first."""
    carried = range(len(cone.inputs), len(cone.order))
    apart = sorted(groups(cone), key=lambda each: _is_away(cone, each, mask))
    kept = list(apart)
    for places in apart:
        fewer = [each for each in kept if each is not places]
        fixed = [place for each in fewer for place in each] + list(carried)
        assumed = [_fixed(clauses, cone, place, mask) for place in fixed]
        if clauses.solve([*assumed, -clauses.literal(broken)]) is None:
            kept = fewer
    return kept


def _is_away(cone: Cone, places: tuple[int, ...], mask: int) -> bool:
    rest = rest_state(cone)
    return any((mask >> cone.order[place] ^ rest >> place) & 1 for place in places)


def _fixed(clauses: Clauses, cone: Cone, place: int, mask: int) -> int:
    """The literal that gives a variable its value of the mask, at a moment of any state."""
    literal = clauses.literal(_node(cone, place))
    return literal if mask >> cone.order[place] & 1 else -literal
