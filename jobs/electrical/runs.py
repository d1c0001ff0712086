"""Feeds and circuits with their currents, derated ampacity and resistance, looked up once."""

from dataclasses import dataclass

from jobs.electrical.conductor import derated_ampacity_a, resistance_per_metre_ohm
from jobs.electrical.current import heating_current_a, swing_a
from jobs.electrical.design import Circuit, Conductor, Design, Feed, ReturnPath
from jobs.electrical.rule_sets.catalog import RULE_SETS
from jobs.electrical.rule_sets.shape import DropClass, Limit
from jobs.electrical.tables.ampacity import Ampacity
from jobs.electrical.tables.conductors import SIZE_BY_AWG
from jobs.electrical.voltage_drop import loop_resistance_ohm


@dataclass(frozen=True, kw_only=True, slots=True)
class DeratedAmpacity:
    row: Ampacity
    engine_factor: float
    bundle_factor: float
    amps: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Run:
    """A feed or a circuit with its currents; None where data are missing."""

    what: str
    conductor: Conductor
    average_a: float | None
    peak_a: float | None
    swing_a: float | None
    heating_a: float | None
    # Circuits of this run whose currents are not entered.
    unknown: tuple[str, ...]
    ampacity: DeratedAmpacity | None
    loop_ohm: float | None

    @property
    def subject(self) -> str:
        """A circuit by its reference alone, a feed as "feed A"."""
        ref = self.conductor.ref
        return ref if self.what == "circuit" else f"feed {ref}"


@dataclass(slots=True)
class Sums:
    """Running sums over loads that may flash: averages, peaks, swings."""

    average_a: float = 0.0
    peak_a: float = 0.0
    swing_a: float = 0.0

    def add(self, average_a: float, peak_a: float) -> None:
        self.average_a += average_a
        self.peak_a += peak_a
        self.swing_a += swing_a(average_a=average_a, peak_a=peak_a)


class Runs:
    """The runs of one design under one rule set."""

    def __init__(self, design: Design) -> None:
        self.design = design
        self.rules = RULE_SETS[design.rule_set]
        self.circuits = {circuit.ref: circuit for circuit in design.circuits}
        self.feeds = {feed.ref: feed for feed in design.feeds}
        self.supplies = {supply.ref: supply for supply in design.supplies}
        self.drop_classes = {item.key: item for item in self.rules.drop_classes}
        self.fault_multiple = dict(self.rules.fault_multiples)
        self._ampacity = {(row.insulation_c, row.awg): row for row in self.rules.ampacity}
        self._columns = sorted({row.insulation_c for row in self.rules.ampacity}, reverse=True)
        self._engine = {item.insulation_c: item.factor for item in self.rules.engine_space}
        self._derated: dict[tuple[str | None, int, bool, int], DeratedAmpacity | None] = {}
        self._per_metre: dict[str, float] = {}
        self.circuits_of: dict[str, list[Circuit]] = {feed.ref: [] for feed in design.feeds}
        for circuit in design.circuits:
            self.circuits_of[circuit.feed].append(circuit)
        self._on_node: dict[str, list[Circuit]] = {node.ref: [] for node in design.nodes}
        for circuit in design.circuits:
            if circuit.node is not None:
                self._on_node[circuit.node].append(circuit)
        self.circuit_runs = {item.ref: self._circuit_run(item) for item in design.circuits}
        self.feed_runs = {item.ref: self._feed_run(item) for item in design.feeds}

    @property
    def device_over_ampacity(self) -> Limit:
        """Device rating over derated ampacity, at most, at this design's voltage."""
        high = self.rules.device_over_ampacity_from_50_v
        if high is not None and self.design.nominal_v >= 50:
            return high
        return self.rules.device_over_ampacity

    def circuits_on(self, node: str) -> list[Circuit]:
        """Circuits on the channels of a node."""
        return self._on_node[node]

    def supply_v(self, feed: Feed) -> float | None:
        """The voltage that percentages of drop refer to."""
        return self.supplies[feed.supply].nominal_v

    def drop_class(self, circuit: Circuit) -> DropClass:
        """The strictest class among the circuit's loads; without loads the loosest of the set."""
        classes = [self.drop_classes[load.drop_class] for load in circuit.loads]
        if not classes:
            return max(self.rules.drop_classes, key=lambda item: item.limit_percent.value)
        return min(classes, key=lambda item: item.limit_percent.value)

    def ampacity_row(self, conductor: Conductor) -> Ampacity | None:
        """The row of the hottest insulation column that the wire reaches."""
        if conductor.awg is None:
            return None
        column = next((c for c in self._columns if c <= conductor.insulation_c), None)
        return None if column is None else self._ampacity.get((column, conductor.awg))

    def derated(self, conductor: Conductor) -> DeratedAmpacity | None:
        """Ampacity where the wire lies; None for a size or insulation without a row."""
        key = (
            conductor.awg,
            conductor.insulation_c,
            conductor.engine_space,
            conductor.bundle_count,
        )
        if key not in self._derated:
            self._derated[key] = self._derate(conductor)
        return self._derated[key]

    def _derate(self, conductor: Conductor) -> DeratedAmpacity | None:
        row = self.ampacity_row(conductor)
        if row is None:
            return None
        engine = self._engine.get(row.insulation_c, 1.0) if conductor.engine_space else 1.0
        bundle = self._bundle_factor(conductor.bundle_count)
        amps = derated_ampacity_a(base_a=row.amps, engine_factor=engine, bundle_factor=bundle)
        return DeratedAmpacity(row=row, engine_factor=engine, bundle_factor=bundle, amps=amps)

    def _bundle_factor(self, count: int) -> float:
        if self.design.nominal_v < self.rules.bundle_from_v:
            return 1.0
        for step in self.rules.bundle:
            if step.least <= count and (step.most is None or count <= step.most):
                return step.factor
        return 1.0

    def _loop_ohm(self, conductor: Conductor) -> float | None:
        awg, length, path = conductor.awg, conductor.length_m, conductor.return_path
        if length is None or path is None or awg not in SIZE_BY_AWG:
            return None
        if awg not in self._per_metre:
            factor = self.rules.resistance_factor.value
            self._per_metre[awg] = resistance_per_metre_ohm(awg=awg, factor=factor)
        body = path is ReturnPath.BODY
        return loop_resistance_ohm(
            resistance_per_metre_ohm=self._per_metre[awg],
            length_m=length,
            return_fraction=self.rules.body_return_fraction.value if body else 1.0,
        )

    def _run(self, what: str, item: Conductor, sums: Sums, unknown: tuple[str, ...]) -> Run:
        known = not unknown
        heating = heating_current_a(average_a=sums.average_a, swing_a=sums.swing_a)
        return Run(
            what=what,
            conductor=item,
            average_a=sums.average_a if known else None,
            peak_a=sums.peak_a if known else None,
            swing_a=sums.swing_a if known else None,
            heating_a=heating if known else None,
            unknown=unknown,
            ampacity=self.derated(item),
            loop_ohm=self._loop_ohm(item),
        )

    def _circuit_run(self, circuit: Circuit) -> Run:
        sums = Sums()
        sums.add(circuit.through_average_a, circuit.through_peak_a)
        unknown: tuple[str, ...] = ()
        for load in circuit.loads:
            if load.average_a is None or load.peak_a is None:
                unknown = (circuit.ref,)
            else:
                sums.add(load.quantity * load.average_a, load.quantity * load.peak_a)
        return self._run("circuit", circuit, sums, unknown)

    def _feed_run(self, feed: Feed) -> Run:
        """Sum over the feed's circuits; those that run only briefly are left out of the sums."""
        lasting = [item for item in self.circuits_of[feed.ref] if not item.intermittent]
        sums, unknown = self.sums_of(lasting)
        return self._run("feed", feed, sums, unknown)

    def sums_of(self, circuits: list[Circuit]) -> tuple[Sums, tuple[str, ...]]:
        """What circuits draw together, and those whose currents are not entered."""
        sums, unknown = Sums(), []
        for circuit in circuits:
            run = self.circuit_runs[circuit.ref]
            if run.average_a is None or run.peak_a is None or run.swing_a is None:
                unknown.append(circuit.ref)
            else:
                sums.average_a += run.average_a
                sums.peak_a += run.peak_a
                sums.swing_a += run.swing_a
        return sums, tuple(unknown)
