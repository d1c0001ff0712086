"""Signals as variables of a circuit: what is true, and what an input reads.

Each signal has variables for its true value and, where it may be unknown, one for being known.
Rules see the true value while it is known and their own unsafe substitute while it is not;
interlocks speak of the true value.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from jobs.controls.circuit import FALSE, TRUE, Circuit
from jobs.controls.expressions import Compare, Condition, Edge, Known, Relation
from jobs.controls.signals import UNKNOWN, Signal, SignalKind, Substitution


class Role(StrEnum):
    """What a variable stands for. The last two are carried over from the moment before."""

    VALUE = "value"
    KNOWN = "known"
    TIMER = "timer"
    WAS = "was"
    BEFORE = "before"


@dataclass(frozen=True, kw_only=True, slots=True)
class Variable:
    """`bit` counts the bits of a signal's value; `starts` is a state variable's first value."""

    role: Role
    name: str
    bit: int = 0
    tag: str = ""
    starts: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Fault:
    """One thing broken: a signal that reads `reads` whatever is true, or an output stuck on."""

    signal: str = ""
    reads: str = ""
    output_on: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class View:
    """Who looks at the signals: a rule with its unsafe substitutes, or an interlock."""

    unsafe: tuple[Substitution, ...] = ()
    true_values: bool = False

    def substitute(self, signal: Signal) -> int:
        """The number of the value that an unknown signal counts as."""
        own = next((each.value for each in self.unsafe if each.signal == signal.name), "")
        stated = own or signal.unsafe
        return signal.index(stated) if stated else signal.open_index


TRUTH = View(true_values=True)


class Readings:
    """Variables of a circuit, and the conditions that stand on signals alone."""

    def __init__(
        self, circuit: Circuit, signals: Iterable[Signal], faults: Iterable[Fault]
    ) -> None:
        self.circuit = circuit
        self._broken = {fault.signal: fault.reads for fault in faults if fault.signal}
        self.signals = {signal.name: signal for signal in signals}
        self.variables: list[Variable] = []
        self.following: dict[int, int] = {}
        self._nodes: dict[Variable, int] = {}
        for signal in self.signals.values():
            self._declare(signal)

    def variable(
        self, role: Role, name: str, *, bit: int = 0, tag: str = "", starts: bool = False
    ) -> int:
        key = Variable(role=role, name=name, bit=bit, tag=tag, starts=starts)
        if key not in self._nodes:
            self._nodes[key] = self.circuit.variable()
            self.variables.append(key)
        return self._nodes[key]

    def carry(self, variable: int, node: int) -> None:
        """The variable is next what the node is now."""
        self.following[self.circuit.number(variable)] = node

    def _declare(self, signal: Signal) -> None:
        """Its variables, and that binary codes without a value never occur."""
        self.value(signal, 0)
        spare = range(signal.size, 1 << bit_count(signal))
        for code in spare:
            self.circuit.legal.append(self.circuit.negate(self.value(signal, code)))
        if signal.may_be_unknown:
            self.variable(Role.KNOWN, signal.name)

    def value(self, signal: Signal, index: int) -> int:
        """The node that is true while the signal truly has this value."""
        parts = []
        for bit in range(bit_count(signal)):
            node = self.variable(Role.VALUE, signal.name, bit=bit)
            parts.append(node if index >> bit & 1 else self.circuit.negate(node))
        return self.circuit.all_of(parts)

    def known(self, signal: Signal) -> int:
        if signal.name in self._broken:
            return FALSE if self._broken[signal.name] == UNKNOWN else TRUE
        return self.variable(Role.KNOWN, signal.name) if signal.may_be_unknown else TRUE

    def condition(self, condition: Condition, eyes: View) -> int:
        signal = self.signals[condition.name]
        match condition:
            case Known():
                return self.known(signal)
            case Edge():
                return self._edge(signal, eyes, rising=condition.rising)
            case Compare():
                return self._reads(signal, accepted(signal, condition), eyes)
            case _:
                return self._reads(signal, {1}, eyes)

    def _reads(self, signal: Signal, values: set[int], eyes: View) -> int:
        truth = self.circuit.any_of([self.value(signal, value) for value in sorted(values)])
        if eyes.true_values:
            return truth
        stuck = self._broken.get(signal.name, UNKNOWN)
        if stuck != UNKNOWN:
            return TRUE if signal.index(stuck) in values else FALSE
        known = self.known(signal)
        substitute = TRUE if eyes.substitute(signal) in values else FALSE
        unseen = self.circuit.all_of((self.circuit.negate(known), substitute))
        return self.circuit.any_of((self.circuit.all_of((known, truth)), unseen))

    def _edge(self, signal: Signal, eyes: View, *, rising: bool) -> int:
        """A button held while the logic starts counts only after it has been let go."""
        reads = self._reads(signal, {1}, eyes)
        tag = "true" if eyes.true_values else str(eyes.substitute(signal))
        before = self.variable(Role.BEFORE, signal.name, bit=int(rising), tag=tag, starts=rising)
        self.carry(before, reads)
        if rising:
            return self.circuit.all_of((reads, self.circuit.negate(before)))
        return self.circuit.all_of((self.circuit.negate(reads), before))


def bit_count(signal: Signal) -> int:
    return (signal.size - 1).bit_length()


def accepted(signal: Signal, compare: Compare) -> set[int]:
    """The numbers of the values for which the comparison is true."""
    at = operand_index(signal, compare.operand)
    match compare.relation:
        case Relation.IS:
            return {at}
        case Relation.AT_LEAST:
            return set(range(at, signal.size))
        case Relation.BELOW:
            return set(range(at))


def operand_index(signal: Signal, operand: str) -> int:
    if signal.kind is SignalKind.POSITION:
        return signal.positions.index(operand)
    return 1 + [threshold.operand for threshold in signal.thresholds].index(operand)
