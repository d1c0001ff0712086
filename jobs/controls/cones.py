"""The part of a model that can influence one question, laid out for truth tables."""

from dataclasses import dataclass

from jobs.controls.circuit import bits
from jobs.controls.model import Model
from jobs.controls.readings import Role
from jobs.controls.results import Moment, Setting
from jobs.controls.tables import changed


@dataclass(frozen=True, kw_only=True, slots=True)
class Cone:
    """Variables by number, inputs first. `ties` are the conditions that legal states fulfil."""

    model: Model
    inputs: tuple[int, ...]
    states: tuple[int, ...]
    ties: tuple[int, ...]

    @property
    def order(self) -> tuple[int, ...]:
        return self.inputs + self.states

    @property
    def start(self) -> int:
        """The number of the state at power-up."""
        variables = self.model.readings.variables
        return sum(variables[each].starts << place for place, each in enumerate(self.states))


def cone_of(model: Model, *nodes: int) -> Cone:
    """All that the nodes depend on: through gates, through legal states, and through time."""
    circuit, following = model.circuit, model.following
    support = 0
    for node in nodes:
        support |= circuit.support[node]
    while True:
        wider, ties = circuit.closure(support)
        for number in bits(wider):
            if number in following:
                wider |= circuit.support[following[number]]
        if wider == support:
            break
        support = wider
    numbers = bits(support)
    return Cone(
        model=model,
        inputs=tuple(number for number in numbers if number not in following),
        states=tuple(number for number in numbers if number in following),
        ties=tuple(ties),
    )


def groups(cone: Cone) -> list[tuple[int, ...]]:
    """Places in `inputs` that belong together: the bits of one signal's value, or one other."""
    variables = cone.model.readings.variables
    found: dict[tuple[Role, str, str], list[int]] = {}
    for place, number in enumerate(cone.inputs):
        variable = variables[number]
        found.setdefault((variable.role, variable.name, variable.tag), []).append(place)
    return [tuple(places) for places in found.values()]


def rest_state(cone: Cone) -> int:
    """The inputs of a parked, untouched vehicle, all known and no timer run out."""
    return sum(_at_rest(cone, number) << place for place, number in enumerate(cone.inputs))


def _at_rest(cone: Cone, number: int) -> int:
    variable = cone.model.readings.variables[number]
    if variable.role is Role.KNOWN:
        return 1
    if variable.role is Role.TIMER:
        return 0
    return cone.model.readings.signals[variable.name].rest_index >> variable.bit & 1


def nearest(cone: Cone, table: int, start: int | None = None) -> int:
    """The state of a table over the inputs with the fewest signals away from start, or rest."""
    size = len(cone.inputs)
    within = 1 << (rest_state(cone) if start is None else start)
    apart = groups(cone)
    while not table & within:
        within |= _one_change(within, apart, size)
    found = table & within
    return (found & -found).bit_length() - 1


def _one_change(table: int, apart: list[tuple[int, ...]], size: int) -> int:
    wider = 0
    for places in apart:
        wider |= widened(table, places, size)
    return wider


def widened(table: int, places: tuple[int, ...], size: int) -> int:
    """The table's states and those that differ from them at these places only."""
    for place in places:
        table |= changed(table, place, size)
    return table


def spelled(cone: Cone, carried: int, inputs: int) -> int:
    """The same state as a mask of the variables that are true in it."""
    state = carried << len(cone.inputs) | inputs
    return sum(1 << number for place, number in enumerate(cone.order) if state >> place & 1)


def state_in(cone: Cone, true: int) -> int:
    """The number of the inputs' state in which the variables of the mask are true."""
    return sum((true >> number & 1) << place for place, number in enumerate(cone.inputs))


def moment(cone: Cone, true: int, on: tuple[str, ...] = ()) -> Moment:
    """The settings that a mask of true variables stands for."""
    variables = cone.model.readings.variables
    values: dict[str, int] = {}
    hidden: set[str] = set()
    timers: dict[str, list[str]] = {"on": [], "off": []}
    for number in cone.inputs:
        variable = variables[number]
        is_on = true >> number & 1
        if variable.role is Role.VALUE:
            values[variable.name] = values.get(variable.name, 0) | is_on << variable.bit
        elif variable.role is Role.KNOWN and not is_on:
            hidden.add(variable.name)
        elif variable.role is Role.TIMER and is_on:
            timers[variable.tag].append(variable.name)
    settings = tuple(
        Setting(
            signal=name,
            value=signal.example(values.get(name, signal.rest_index)),
            known=name not in hidden,
        )
        for name, signal in cone.model.readings.signals.items()
        if name in values or name in hidden
    )
    return Moment(settings=settings, waited=tuple(timers["on"]), held=tuple(timers["off"]), on=on)
