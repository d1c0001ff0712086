"""A design made ready for the rules: its runs, and its modes solved when first asked for."""

from functools import cached_property

from jobs.electrical.design import Design, Mode, ModeSource
from jobs.electrical.flow import Flow, Wiring, mode_flow, wire
from jobs.electrical.runs import DeratedAmpacity as DeratedAmpacity
from jobs.electrical.runs import Run as Run
from jobs.electrical.runs import Runs


class Case(Runs):
    """One design under one rule set. Reading it never changes what it says."""

    def __init__(self, design: Design, *, problems_only: bool = False) -> None:
        super().__init__(design)
        self.problems_only = problems_only
        self._wirings: dict[tuple[float, bool, tuple[str, ...]], Wiring] = {}

    def wiring(self, mode: Mode) -> Wiring:
        """Modes with the same supply voltage and links share one network."""
        key = (mode.bus_v, mode.source is ModeSource.BATTERY, mode.closed_links)
        if key not in self._wirings:
            self._wirings[key] = wire(self, mode)
        return self._wirings[key]

    def flow(self, mode: Mode, *, at_peak: bool = True) -> Flow:
        return mode_flow(self, self.wiring(mode), mode, at_peak=at_peak)

    @cached_property
    def flows(self) -> tuple[Flow, ...]:
        """Every mode with all its circuits at their peak: what voltages are judged by."""
        return tuple(self.flow(mode) for mode in self.design.modes)

    @cached_property
    def _on(self) -> dict[str, set[str]]:
        """Circuits that are on, per mode."""
        return {
            mode.key: {duty.circuit for duty in mode.duty if duty.fraction > 0}
            for mode in self.design.modes
        }

    def is_on_somewhere(self, circuit: str) -> bool:
        return circuit in self._on_somewhere

    @cached_property
    def _on_somewhere(self) -> set[str]:
        return set().union(*self._on.values())

    @cached_property
    def without_answer(self) -> set[str]:
        """Circuits that are on in a mode whose network has no operating point."""
        faulty = [flow.mode.key for flow in self.flows if flow.fault]
        return set().union(*(self._on[key] for key in faulty))

    @cached_property
    def collapsed(self) -> set[str]:
        """Circuits at which a mode's network was found to have no operating point."""
        places = [flow.fault_at.partition(" ") for flow in self.flows]
        return {ref for what, _, ref in places if what == "circuit"}

    @cached_property
    def lowest(self) -> dict[str, tuple[float, Flow]]:
        """Per circuit that is on somewhere: its lowest voltage and the mode where that is."""
        found: dict[str, tuple[float, Flow]] = {}
        for flow in self.flows:
            for duty in flow.mode.duty:
                volts = flow.voltage_v.get(duty.circuit)
                if volts is None or duty.fraction == 0:
                    continue
                if duty.circuit not in found or volts < found[duty.circuit][0]:
                    found[duty.circuit] = (volts, flow)
        return found

    @cached_property
    def largest_drop(self) -> dict[str, tuple[float, Flow]]:
        """Per circuit that is on somewhere: the most volts it loses, and in which mode."""
        found: dict[str, tuple[float, Flow]] = {}
        for flow in self.flows:
            for duty in flow.mode.duty:
                volts = flow.voltage_v.get(duty.circuit)
                if volts is None or duty.fraction == 0:
                    continue
                drop = flow.supply_v - volts
                if duty.circuit not in found or drop > found[duty.circuit][0]:
                    found[duty.circuit] = (drop, flow)
        return found
