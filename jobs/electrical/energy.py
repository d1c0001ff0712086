"""What a mode takes and what it may take."""

from dataclasses import dataclass

from jobs.electrical.ac import inverter_dc_a
from jobs.electrical.design import Mode
from jobs.electrical.runs import Runs


@dataclass(frozen=True, kw_only=True, slots=True)
class ModeBudget:
    """Average current of a mode, in the parts people ask about; `unknown` lists what is missing."""

    mode: Mode
    chassis_a: float
    allowance_a: float
    circuits_a: float
    inverter_a: float
    unknown: tuple[str, ...]

    @property
    def total_a(self) -> float:
        return self.chassis_a + self.allowance_a + self.circuits_a + self.inverter_a


def mode_budget(runs: Runs, mode: Mode) -> ModeBudget:
    """Demand of a mode [A] = chassis + allowance + sum(average * duty) + P / (V * efficiency).

    Source: common-practice.
    """
    circuits = 0.0
    unknown: list[str] = []
    for duty in mode.duty:
        run = runs.circuit_runs[duty.circuit]
        if duty.fraction > 0:
            unknown += run.unknown
        circuits += duty.fraction * (run.average_a or 0.0)
    inverter = inverter_dc_a(
        output_w=mode.inverter_w, dc_v=mode.bus_v, efficiency=mode.inverter_efficiency
    )
    return ModeBudget(
        mode=mode,
        chassis_a=mode.chassis_base_a,
        allowance_a=mode.allowance_a,
        circuits_a=circuits,
        inverter_a=inverter,
        unknown=tuple(unknown),
    )


def supply_currents_a(runs: Runs, mode: Mode) -> dict[str, float]:
    """Average current of each supply in a mode: its feeds' circuits, chassis on the first battery.

    The inverter counts on the supply of its feed. Closed links are not followed here: on the
    battery an isolator is open.
    """
    budget = mode_budget(runs, mode)
    found = {supply.ref: 0.0 for supply in runs.design.supplies}
    for duty in mode.duty:
        feed = runs.feeds[runs.circuits[duty.circuit].feed]
        found[feed.supply] += duty.fraction * (runs.circuit_runs[duty.circuit].average_a or 0.0)
    main = next((item.ref for item in runs.design.supplies if item.kind == "battery"), None)
    if main is not None:
        found[main] += budget.chassis_a + budget.allowance_a
    ac = runs.design.ac
    if ac is not None and ac.inverter is not None:
        found[runs.feeds[ac.inverter.feed].supply] += budget.inverter_a
    return found
