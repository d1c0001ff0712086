"""The shortest way from one state of the logic to another, with the fewest things to set."""

from jobs.controls.cones import Cone, cone_of, groups
from jobs.controls.induction import fewest
from jobs.controls.model import Model
from jobs.controls.readings import Role
from jobs.controls.solver import Clauses, OutOfBudget

MAX_MOMENTS = 8
SECONDS_A_SETTING = 10
MAX_WEIGHT = 10


class Planner:
    """Ways to states about these nodes. Close it after use."""

    def __init__(self, model: Model, nodes: list[int]) -> None:
        self.cone: Cone = cone_of(model, *nodes)
        self.clauses = Clauses(model)
        self._rules = {rule.name: rule for rule in model.logic.rules}

    def close(self) -> None:
        self.clauses.close()

    def plan(self, now: int, wanted: list[int]) -> tuple[int, ...] | None:
        """Moments after now, as masks of true variables, the last of which makes all nodes true.

        `now` holds the inputs as they are set and what is carried over from them. None when there
        is no way of at most MAX_MOMENTS, or none was found within the budget.
        """
        self.clauses.renew()
        try:
            for last in range(MAX_MOMENTS):
                found = self._way(now, wanted, last)
                if found is not None:
                    return found
        except OutOfBudget:
            return None
        return None

    def can(self, now: int, wanted: list[int]) -> bool:
        """Whether there is such a way at all."""
        self.clauses.renew()
        try:
            return any(
                self.clauses.solve([*self._carried(now), *self._goals(wanted, last)]) is not None
                for last in range(MAX_MOMENTS)
            )
        except OutOfBudget:
            return False

    def _goals(self, wanted: list[int], last: int) -> list[int]:
        return [self.clauses.literal(node, last) for node in wanted]

    def _way(self, now: int, wanted: list[int], last: int) -> tuple[int, ...] | None:
        assumed = [*self._carried(now), *self._goals(wanted, last)]
        if self.clauses.solve(assumed) is None:
            return None
        effort = [each for moment in range(last + 1) for each in self._effort(now, moment)]
        solution = self.clauses.solve(assumed)
        assert solution is not None
        solution = fewest(self.clauses, assumed, effort, solution)
        return tuple(self.clauses.mask(self.cone, moment, solution) for moment in range(last + 1))

    def _literal(self, number: int, moment: int) -> int:
        return self.clauses.literal(self.cone.model.circuit.variables[number], moment)

    def _carried(self, now: int) -> list[int]:
        found = []
        for number in self.cone.states:
            literal = self._literal(number, 0)
            found.append(literal if now >> number & 1 else -literal)
        return found

    def _effort(self, now: int, moment: int) -> list[int]:
        """Literals that are true where something must be set, waited for, or run out."""
        variables = self.cone.model.readings.variables
        found = []
        for places in groups(self.cone):
            numbers = [self.cone.inputs[place] for place in places]
            if variables[numbers[0]].role is Role.TIMER:
                found += self._waiting(numbers[0], moment)
                continue
            changed = self.clauses.fresh()
            for number in numbers:
                self._changes(number, now, moment, changed)
            found.append(changed)
        return found

    def _changes(self, number: int, now: int, moment: int, changed: int) -> None:
        literal = self._literal(number, moment)
        if moment == 0:
            self.clauses.add([-literal if now >> number & 1 == 0 else literal, changed])
            return
        before = self._literal(number, moment - 1)
        self.clauses.add([-literal, before, changed])
        self.clauses.add([literal, -before, changed])

    def _waiting(self, number: int, moment: int) -> list[int]:
        variable = self.cone.model.readings.variables[number]
        timer = self._literal(number, moment)
        rule = self._rules[variable.name]
        if variable.tag == "on":
            return [timer] * _weight(rule.on_delay_s)
        was = self.cone.model.readings.variable(Role.WAS, variable.name, tag="delay")
        ended = self.clauses.fresh()
        self.clauses.add([-self.clauses.literal(was, moment), timer, ended])
        return [ended] * _weight(rule.off_delay_s)


def _weight(seconds: float) -> int:
    """How many signals one would rather set than wait that long."""
    return 1 + min(int(seconds / SECONDS_A_SETTING), MAX_WEIGHT)
