"""Every check of a large vehicle against the time that ngspice needs for its solves alone."""

import tempfile
from collections.abc import Iterator
from pathlib import Path

from jobs.electrical.case import Case
from jobs.electrical.check import check
from jobs.electrical.design import (
    Circuit,
    Design,
    DeviceKind,
    Duty,
    Feed,
    Load,
    LoadModel,
    Mode,
    ModeSource,
    Owner,
    Supply,
    SupplyKind,
    UnitRatings,
)
from jobs.electrical.flow import mode_demand
from tests.bench.clock import Figure, best, growth
from tests.jobs.electrical.ngspice import voltages

MODELS = (LoadModel.CURRENT, LoadModel.POWER, LoadModel.RESISTANCE)
PER_FEED = 40


def figures() -> Iterator[Figure]:
    large = vehicle(circuits=400)
    assert not any(finding.rule == "input" for finding in check(large))
    ours = best(lambda: check(large), rounds=8)
    theirs = best(lambda: _ngspice(large), rounds=3)
    name = f"all checks, 400 circuits x 7 modes ({1000 * ours:.0f} ms) over ngspice"
    yield Figure(name=name, value=ours / theirs, budget=0.15, unit="x")
    edit = best(lambda: check(large, problems_only=True), rounds=8)
    name = f"the same, problems only ({1000 * edit:.0f} ms)"
    yield Figure(name=name, value=edit / theirs, budget=0.15, unit="x")
    small, huge = vehicle(circuits=100), vehicle(circuits=1_600)
    exponent = growth(lambda: check(small), lambda: check(huge), times=16, rounds=4)
    name = "growth exponent of all checks, 100 to 1,600 circuits"
    yield Figure(name=name, value=exponent, budget=1.05)


def _ngspice(design: Design) -> None:
    """The seven modes' networks solved by ngspice, with nothing judged."""
    case = Case(design)
    demands = case.demands(at_peak=True)
    with tempfile.TemporaryDirectory() as folder:
        for mode in design.modes:
            wiring = case.wiring(mode)
            demand = mode_demand(wiring, mode, demands, by_duty=False)
            voltages(wiring.network, demand, Path(folder))


def vehicle(*, circuits: int, modes: int = 7) -> Design:
    """Forty circuits a feed, all three kinds of load, each mode with its own bus voltage."""
    refs = [f"{index // PER_FEED:03d}-{index % PER_FEED:02d}" for index in range(circuits)]
    feeds = sorted({ref[:3] for ref in refs})
    return Design(
        name="bench",
        unit=UnitRatings(alternator_hot_idle_a=9e3, alternator_hot_high_idle_a=9e3, battery_ah=9e3),
        supplies=(Supply(ref="MAIN", kind=SupplyKind.BATTERY, nominal_v=13.2, capacity_ah=9e3),),
        feeds=tuple(_feed(ref) for ref in feeds),
        circuits=tuple(_circuit(ref, index) for index, ref in enumerate(refs)),
        modes=tuple(_mode(index, refs) for index in range(modes)),
    )


def _feed(ref: str) -> Feed:
    return Feed(
        ref=ref, supply="MAIN", device_kind=DeviceKind.FUSE_BOLT, device_a=125.0, awg="2/0",
        length_m=3.0, source_distance_m=0.2,
    )  # fmt: skip


def _circuit(ref: str, index: int) -> Circuit:
    load = Load(
        ref=f"L{index}", name="Lamp", place="Roof", owner=Owner.SHOP, model=MODELS[index % 3],
        average_a=1.0 + index % 4 / 2, peak_a=3.0 + index % 5 / 2, rated_v=13.2, supply_min_v=10.5,
    )  # fmt: skip
    return Circuit(
        ref=ref, feed=ref[:3], label=ref, designation=ref, device_kind=DeviceKind.FUSE_BLADE,
        device_a=10.0, awg="12", length_m=2.0 + index % 7, loads=(load,),
    )  # fmt: skip


def _mode(index: int, refs: list[str]) -> Mode:
    sources = (ModeSource.IDLE, ModeSource.HIGH_IDLE, ModeSource.BATTERY, ModeSource.SHORE)
    return Mode(
        key=f"m{index}",
        name=f"Mode {index}",
        source=sources[index % 4],
        bus_v=12.2 + index / 4,
        duty=tuple(
            Duty(circuit=ref, fraction=1.0 if place % 3 else 0.5)
            for place, ref in enumerate(refs)
            if (place + index) % 7
        ),
    )
