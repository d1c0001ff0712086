"""What one broken wire, switch or output does to each interlock, and what covers it."""

from collections.abc import Iterator
from dataclasses import dataclass

from jobs.controls.broken import broken_node
from jobs.controls.cones import cone_of
from jobs.controls.expressions import names
from jobs.controls.logic import Interlock, InterlockKind, Logic, Output
from jobs.controls.model import Model
from jobs.controls.prove import Prover
from jobs.controls.readings import Fault
from jobs.controls.results import Proved, Refuted, Result
from jobs.controls.signals import UNKNOWN, Signal, SignalKind, Wiring

NOT_ABOUT_MOMENTS = (InterlockKind.LATCH_RELEASABLE, InterlockKind.OUTPUT_REACHABLE)


@dataclass(frozen=True, kw_only=True, slots=True)
class NamedFault:
    fault: Fault
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class FaultLine:
    """One fault against one interlock.

    `covered_by` names what keeps the interlock whole, or what takes the energy away when it breaks.
    A line that breaks and has no cover needs a named person's acceptance.
    """

    fault: str
    interlock: str
    safety: bool
    result: Result
    covered_by: tuple[str, ...] = ()

    @property
    def breaks(self) -> bool:
        """Anything that is not proved counts as broken."""
        return not isinstance(self.result, Proved)

    @property
    def uncovered(self) -> bool:
        return self.breaks and self.safety and not self.covered_by


def fault_table(logic: Logic) -> list[FaultLine]:
    """Every single fault that can touch an interlock which holds on a whole vehicle."""
    return [line for lines in fault_lines(logic) for line in lines]


def fault_lines(logic: Logic, first: int = 0) -> Iterator[list[FaultLine]]:
    """The table interlock by interlock, from the one with this number on."""
    table = _Table(logic)
    for interlock in logic.interlocks[first:]:
        yield list(table.lines(interlock))


class _Table:
    def __init__(self, logic: Logic) -> None:
        self.logic = logic
        self.outputs = {output.name: output for output in logic.outputs}
        self._models: dict[tuple[float, tuple[Fault, ...]], Model] = {}
        self._results: dict[tuple[str, frozenset[Fault]], Result] = {}

    def model(self, interlock: Interlock, *faults: Fault) -> Model:
        key = (interlock.allow_s, faults)
        if key not in self._models:
            self._models[key] = Model(self.logic, allow_s=interlock.allow_s, faults=faults)
        return self._models[key]

    def judge(self, interlock: Interlock, *faults: Fault) -> Result:
        key = (interlock.name, frozenset(faults))
        if key not in self._results:
            with Prover(self.model(interlock, *faults)) as prover:
                self._results[key] = prover.judge(interlock)
        return self._results[key]

    def lines(self, interlock: Interlock) -> Iterator[FaultLine]:
        if interlock.kind in NOT_ABOUT_MOMENTS or not isinstance(self.judge(interlock), Proved):
            return
        signals = self._signals(interlock)
        for signal in signals:
            for named in signal_faults(signal):
                result = self.judge(interlock, named.fault)
                covered: tuple[str, ...] = ()
                if isinstance(result, Proved):
                    covered = tuple(self._other_channels(interlock, named.fault, signals))
                yield self._line(interlock, named, result, covered)
        for name in sorted({name for each in interlock.subjects for name in names(each)}):
            if name in self.outputs and not self.outputs[name].internal:
                yield self._stuck_output(interlock, self.outputs[name])

    def _line(
        self, interlock: Interlock, named: NamedFault, result: Result, covered: tuple[str, ...]
    ) -> FaultLine:
        return FaultLine(
            fault=named.words,
            interlock=interlock.name,
            safety=interlock.safety,
            result=result,
            covered_by=covered,
        )

    def _signals(self, interlock: Interlock) -> list[Signal]:
        """Signals that the rules read in the cone of the interlock."""
        model = self.model(interlock)
        cone = cone_of(model, broken_node(model, interlock))
        found = {model.readings.variables[number].name for number in cone.order}
        return [signal for signal in self.logic.signals if signal.name in found]

    def _other_channels(
        self, interlock: Interlock, fault: Fault, signals: list[Signal]
    ) -> Iterator[str]:
        """Wired signals whose failure as well would break it: they cover this fault now."""
        first = next(each for each in signals if each.name == fault.signal)
        if first.wiring is Wiring.BUS:
            return
        for other in signals:
            if other.name == first.name or other.wiring is Wiring.BUS:
                continue
            harmless = [
                each.fault
                for each in signal_faults(other)
                if isinstance(self.judge(interlock, each.fault), Proved)
            ]
            if any(isinstance(self.judge(interlock, fault, each), Refuted) for each in harmless):
                yield other.label

    def _stuck_output(self, interlock: Interlock, output: Output) -> FaultLine:
        fault = Fault(output_on=output.name)
        result = self.judge(interlock, fault)
        covered: tuple[str, ...] = ()
        if isinstance(result, Proved) and output.series:
            series = self.outputs[output.series]
            if not isinstance(self.judge(interlock, fault, Fault(output_on=series.name)), Proved):
                covered = (series.label,)
        elif not isinstance(result, Proved) and output.second_means:
            covered = (output.second_means,)
        named = NamedFault(fault=fault, words=f"{output.label} stuck on")
        return self._line(interlock, named, result, covered)


def signal_faults(signal: Signal) -> list[NamedFault]:
    """Stuck at its extremes or at each position, wire cut, and value lost."""
    if signal.kind is SignalKind.POSITION:
        stuck = list(signal.positions)
    else:
        stuck = [signal.example(0), signal.example(signal.size - 1)]
    found = [
        _reads(signal, value, f"stuck at {signal.words(signal.index(value))}") for value in stuck
    ]
    if signal.wiring is not Wiring.BUS:
        open_value = UNKNOWN if signal.monitored else signal.example(signal.open_index)
        found.append(_reads(signal, open_value, "with its wire cut"))
    if signal.may_be_unknown:
        found.append(_reads(signal, UNKNOWN, "unknown"))
    return found


def _reads(signal: Signal, value: str, words: str) -> NamedFault:
    fault = Fault(signal=signal.name, reads=value)
    return NamedFault(fault=fault, words=f"{signal.label} {words}")
