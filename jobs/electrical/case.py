"""A design made ready for the rules: looked up, summed, derated once, then read by every rule."""

from dataclasses import dataclass
from math import sqrt

from jobs.electrical.conductor import derated_ampacity_a, resistance_per_metre_ohm
from jobs.electrical.design import Circuit, Conductor, Design, Feed, ReturnPath
from jobs.electrical.rule_sets.catalog import RULE_SETS
from jobs.electrical.rule_sets.shape import DropClass
from jobs.electrical.tables.ampacity import Ampacity
from jobs.electrical.tables.conductors import SIZE_BY_AWG
from jobs.electrical.voltage_drop import loop_resistance_ohm


def heating_current_a(*, average_a: float, peak_a: float) -> float:
    """The steady current that heats like a flashing one [A] = sqrt(average * peak).

    Exact for a load that is either off or at its peak; for a steady load it is the load itself.
    Source: kirchhoff (root mean square of an on-off current).

    >>> round(heating_current_a(average_a=9.5, peak_a=19), 2)
    13.44
    """
    return sqrt(average_a * peak_a)


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


class Case:
    """One design under one rule set. Reading it never changes it."""

    def __init__(self, design: Design, *, problems_only: bool = False) -> None:
        self.design = design
        self.problems_only = problems_only
        self.rules = RULE_SETS[design.rule_set]
        self.feeds = {feed.ref: feed for feed in design.feeds}
        self.supplies = {supply.ref: supply for supply in design.supplies}
        self.drop_classes = {item.key: item for item in self.rules.drop_classes}
        self._ampacity = {(row.insulation_c, row.awg): row for row in self.rules.ampacity}
        self._columns = sorted({row.insulation_c for row in self.rules.ampacity}, reverse=True)
        self._engine = {item.insulation_c: item.factor for item in self.rules.engine_space}
        self.circuits_of: dict[str, list[Circuit]] = {feed.ref: [] for feed in design.feeds}
        for circuit in design.circuits:
            self.circuits_of[circuit.feed].append(circuit)
        self.circuit_runs = {item.ref: self._circuit_run(item) for item in design.circuits}
        self.feed_runs = {item.ref: self._feed_run(item) for item in design.feeds}

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

    def _derated(self, conductor: Conductor, volts: float) -> DeratedAmpacity | None:
        row = self.ampacity_row(conductor)
        if row is None:
            return None
        engine = self._engine.get(row.insulation_c, 1.0) if conductor.engine_space else 1.0
        bundle = self._bundle_factor(conductor.bundle_count, volts)
        amps = derated_ampacity_a(base_a=row.amps, engine_factor=engine, bundle_factor=bundle)
        return DeratedAmpacity(row=row, engine_factor=engine, bundle_factor=bundle, amps=amps)

    def _bundle_factor(self, count: int, volts: float) -> float:
        if volts < self.rules.bundle_from_v:
            return 1.0
        for step in self.rules.bundle:
            if step.least <= count and (step.most is None or count <= step.most):
                return step.factor
        return 1.0

    def _loop_ohm(self, conductor: Conductor) -> float | None:
        if conductor.awg not in SIZE_BY_AWG or conductor.length_m is None:
            return None
        if conductor.return_path is None:
            return None
        body = conductor.return_path is ReturnPath.BODY
        return loop_resistance_ohm(
            resistance_per_metre_ohm=resistance_per_metre_ohm(
                awg=conductor.awg, factor=self.rules.resistance_factor.value
            ),
            length_m=conductor.length_m,
            return_fraction=self.rules.body_return_fraction.value if body else 1.0,
        )

    def _run(
        self, what: str, item: Conductor, average: float, peak: float, unknown: tuple[str, ...]
    ) -> Run:
        known = not unknown
        return Run(
            what=what,
            conductor=item,
            average_a=average if known else None,
            peak_a=peak if known else None,
            heating_a=heating_current_a(average_a=average, peak_a=peak) if known else None,
            unknown=unknown,
            ampacity=self._derated(item, self.design.nominal_v),
            loop_ohm=self._loop_ohm(item),
        )

    def _circuit_run(self, circuit: Circuit) -> Run:
        average, peak = circuit.through_average_a, circuit.through_peak_a
        unknown: tuple[str, ...] = ()
        for load in circuit.loads:
            if load.average_a is None or load.peak_a is None:
                unknown = (circuit.ref,)
                continue
            average += load.quantity * load.average_a
            peak += load.quantity * load.peak_a
        return self._run("circuit", circuit, average, peak, unknown)

    def _feed_run(self, feed: Feed) -> Run:
        """Sum over the feed's circuits; those that run only briefly are left out of the sums."""
        average = peak = 0.0
        unknown: list[str] = []
        for circuit in self.circuits_of[feed.ref]:
            run = self.circuit_runs[circuit.ref]
            if circuit.intermittent:
                continue
            unknown += run.unknown
            average += run.average_a or 0.0
            peak += run.peak_a or 0.0
        return self._run("feed", feed, average, peak, tuple(unknown))
