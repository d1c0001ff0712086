"""From a load to its battery with the voltage to expect at each test point, and what goes dark."""

from dataclasses import dataclass

from jobs.build_sheet.models import BuildLine, Circuit, CircuitLoad, Feed
from jobs.build_sheet.pictures.profile import Level
from jobs.electrical.case import Case
from jobs.electrical.design import Mode
from jobs.electrical.rules.drop import drop_limit
from jobs.electrical.trace import trace
from jobs.templatetags.units import amps, feet, inches

# The column beside those of the operating modes; a mode's key is a slug, so never this.
LOAD_TEST = "+load-test"


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """What a meter shows: volts, or none because data are missing or the circuit is off."""

    volts: float | None
    off: bool = False

    @property
    def words(self) -> str:
        if self.off:
            return "off"
        return "not known" if self.volts is None else f"{self.volts:.2f} V"


@dataclass(frozen=True, kw_only=True, slots=True)
class Condition:
    """One column of expected voltages: a mode, or everything on at peak."""

    key: str
    name: str
    on: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class MeterPoint:
    name: str
    place: str
    device: str
    conductor: str
    label: str
    readings: tuple[Reading, ...]
    short: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Path:
    """One circuit from its supply to its loads."""

    circuit: Circuit
    conditions: tuple[Condition, ...]
    points: tuple[MeterPoint, ...]
    # The most volts that feed, branch and return may lose together.
    may_lose_v: float | None

    @property
    def rows(self) -> list[tuple[MeterPoint, list[tuple[Condition, Reading]]]]:
        return [(p, list(zip(self.conditions, p.readings, strict=True))) for p in self.points]

    def levels(self, condition: Condition) -> list[Level]:
        """What the picture shows; nothing when a voltage is not known or the circuit is off."""
        column = self.conditions.index(condition)
        found: dict[str, Level] = {}
        for point in self.points:
            reading = point.readings[column]
            if reading.off or reading.volts is None:
                return []
            found[point.short] = Level(name=point.short, volts=reading.volts)
        return list(found.values())


def path_of(case: Case | None, circuit: Circuit) -> Path:
    """The whole way of one circuit; without a case nothing is calculated, the places stay."""
    conditions, volts = _conditions(case, circuit)
    feed, loads = circuit.feed, list(circuit.loads.all())
    starts = tuple(Reading(volts=start) for start, _, _ in volts)
    panels = tuple(Reading(volts=panel) for _, panel, _ in volts)
    switched = bool(circuit.node_id or circuit.channel)
    outs, ends = (
        tuple(
            Reading(volts=level[part], off=switched and not condition.on)
            for level, condition in zip(volts, conditions, strict=True)
        )
        for part in (1, 2)
    )
    points = [
        MeterPoint(
            name=f"{feed.supply.name}, terminals", place="", device="", conductor="",
            label=feed.supply.ref, readings=starts, short="Supply",
        ),
        MeterPoint(
            name=f"Behind the device of feed {feed.ref}", place=_near(feed),
            device=_device(feed), conductor="", label=f"feed {feed.ref}",
            readings=starts, short="Feed device",
        ),
    ]  # fmt: skip
    if not circuit.whole_feed:
        points += [
            MeterPoint(
                name=f"Panel of feed {feed.ref}: {feed.name}", place=feed.panel_place,
                device="", conductor=_conductor(feed), label=f"feed {feed.ref}",
                readings=panels, short="Panel",
            ),
            MeterPoint(
                name=_output(circuit), place=circuit.node.place if circuit.node else "",
                device=_device(circuit), conductor="", label=circuit.label or circuit.ref,
                readings=outs, short="Circuit device",
            ),
        ]  # fmt: skip
    points += [_end(circuit, load, ends) for load in loads] or [_end(circuit, None, ends)]
    return Path(
        circuit=circuit,
        conditions=conditions,
        points=tuple(points),
        may_lose_v=_may_lose_v(case, circuit),
    )


def _conditions(
    case: Case | None, circuit: Circuit
) -> tuple[tuple[Condition, ...], list[tuple[float | None, float | None, float | None]]]:
    """Every mode and the load test, each with the volts at supply, panel and load."""
    if case is None:
        return (Condition(key=LOAD_TEST, name="All on at peak", on=True),), [(None, None, None)]
    modes = [
        (Condition(key=mode.key, name=mode.name or mode.key, on=_is_on(mode, circuit.ref)), mode)
        for mode in case.design.modes
    ]
    test_mv = circuit.feed.supply.test_mv
    found = [_volts(case, circuit, mode=mode) for _, mode in modes]
    found.append(_volts(case, circuit, supply_v=None if test_mv is None else test_mv / 1000))
    load_test = Condition(key=LOAD_TEST, name="Load test, all on at peak", on=True)
    return (*(condition for condition, _ in modes), load_test), found


def _volts(
    case: Case, circuit: Circuit, *, mode: Mode | None = None, supply_v: float | None = None
) -> tuple[float | None, float | None, float | None]:
    points = trace(case, circuit.ref, mode=mode, supply_v=supply_v)
    panel = points[0].volts if circuit.whole_feed else points[1].volts
    return points[0].volts, panel, points[-1].volts


def _is_on(mode: Mode, ref: str) -> bool:
    return any(duty.circuit == ref and duty.fraction > 0 for duty in mode.duty)


def _may_lose_v(case: Case | None, circuit: Circuit) -> float | None:
    if case is None:
        return None
    found = case.circuits[circuit.ref]
    volts = case.supply_v(case.feeds[found.feed])
    return None if volts is None else volts * drop_limit(case, found)[0].value / 100


def _near(feed: Feed) -> str:
    distance = feed.source_distance_mm
    return "" if distance is None else f"{inches(distance)} of conductor from the supply"


def _device(item: Feed | Circuit) -> str:
    kind = item.get_device_kind_display()
    rating = item.device_ma
    return (
        f"{amps(rating)}, {kind[0].lower()}{kind[1:]}"
        if rating is not None
        else f"{kind}, no rating"
    )


def _conductor(item: Feed | Circuit) -> str:
    length = item.length_mm
    shown = feet(length) if length is not None else "no length"
    size = f"{item.awg} AWG {item.colour}".strip() if item.awg else "no size"
    return f"{size}, {shown}"


def _output(circuit: Circuit) -> str:
    if circuit.node:
        return f"Node {circuit.node.ref}, channel {circuit.channel or 'not entered'}"
    return f"Slot {circuit.channel}" if circuit.channel else f"Behind the device of {circuit.ref}"


def place_of(line: BuildLine) -> str:
    """Zone and access, without saying the zone twice."""
    zone = str(line.get_zone_display())
    return (
        line.access
        if line.access.startswith(zone)
        else ", ".join(filter(None, [zone, line.access]))
    )


def _end(circuit: Circuit, load: CircuitLoad | None, readings: tuple[Reading, ...]) -> MeterPoint:
    line: BuildLine | None = load.line if load else None
    name = f"{load.quantity} × {line.part.description}" if line else circuit.designation
    place = place_of(line) if line else ""
    return MeterPoint(
        name=name,
        place=place,
        device="",
        conductor=_conductor(circuit),
        label=" ".join(filter(None, [circuit.label or circuit.ref, line.ref if line else ""])),
        readings=readings,
        short="Load",
    )
