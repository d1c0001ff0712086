"""A design made ready for the rules: its runs, and its modes solved when first asked for."""

from functools import cached_property

from jobs.electrical.design import Design, Mode, ModeSource
from jobs.electrical.flow import (
    CircuitDemand,
    Flow,
    Wiring,
    at_voltage,
    circuit_demand,
    mode_demand,
    mode_flow,
    wire,
)
from jobs.electrical.runs import DeratedAmpacity as DeratedAmpacity
from jobs.electrical.runs import Run as Run
from jobs.electrical.runs import Runs
from jobs.findings import Step


class Case(Runs):
    """One design under one rule set. Reading it never changes what it says."""

    def __init__(self, design: Design, *, problems_only: bool = False) -> None:
        super().__init__(design)
        self.problems_only = problems_only
        self._wirings: dict[tuple[float, bool, tuple[str, ...]], Wiring] = {}
        self._first_wirings: dict[
            tuple[bool, tuple[str, ...]], tuple[float, bool, tuple[str, ...]]
        ] = {}
        # Sums that several findings show, worked once.
        self.kept_steps: dict[tuple[object, ...], tuple[Step, ...]] = {}
        self._demands: dict[bool, dict[str, CircuitDemand]] = {}

    def wiring(self, mode: Mode) -> Wiring:
        """Modes with the same links share one network; another supply voltage only scales it."""
        alike = (mode.source is ModeSource.BATTERY, mode.closed_links)
        key = (mode.bus_v, *alike)
        if key not in self._wirings:
            first = self._first_wirings.setdefault(alike, key)
            known = self._wirings.get(first)
            self._wirings[key] = at_voltage(known, mode.bus_v) if known else wire(self, mode)
        return self._wirings[key]

    def demands(self, *, at_peak: bool) -> dict[str, CircuitDemand]:
        """What each circuit takes when it is on."""
        if at_peak not in self._demands:
            nominal = self.design.nominal_v
            self._demands[at_peak] = {
                item.ref: circuit_demand(item, nominal_v=nominal, at_peak=at_peak)
                for item in self.design.circuits
            }
        return self._demands[at_peak]

    def flow(self, mode: Mode, *, at_peak: bool = True) -> Flow:
        """A mode with what is on at its peak, or at average times duty as a slow meter shows."""
        wiring = self.wiring(mode)
        demands = self.demands(at_peak=at_peak)
        demand = mode_demand(wiring, mode, demands, by_duty=not at_peak)
        return mode_flow(self, wiring, mode, demand)

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
            volts = flow.voltage_v
            for ref in self._on[flow.mode.key]:
                v = volts.get(ref)
                if v is not None and (ref not in found or v < found[ref][0]):
                    found[ref] = (v, flow)
        return found

    @cached_property
    def largest_drop(self) -> dict[str, tuple[float, Flow]]:
        """Per circuit that is on somewhere: the most volts it loses, and in which mode."""
        found: dict[str, tuple[float, Flow]] = {}
        for flow in self.flows:
            volts, supply_v = flow.voltage_v, flow.supply_v
            for ref in self._on[flow.mode.key]:
                v = volts.get(ref)
                if v is not None and (ref not in found or supply_v - v > found[ref][0]):
                    found[ref] = (supply_v - v, flow)
        return found
