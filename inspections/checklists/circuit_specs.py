"""Checks of feeds and circuits: device, polarity, joint drop, voltage and current."""

from collections.abc import Iterator
from decimal import Decimal

from inspections.checklists.spec import PRACTICE, Spec
from jobs.build_sheet.review import Review, RunRow, predicted_volts
from jobs.models import Circuit, Job

VOLTS_TOLERANCE = Decimal("0.3")
CURRENT_SHARE, CURRENT_LEAST = Decimal("0.15"), Decimal("0.3")
JOINT_DROP = Decimal("0.1")
VOLTS_FROM_A = 5.0


def _device_words(row: RunRow) -> str:
    item = row.item
    rating = "no rating entered"
    if item.device_ma is not None:
        rating = f"{Decimal(item.device_ma) / 1000:g} A"
    where = ""
    node = getattr(item, "node", None)
    if node is not None:
        where = f", {node.ref} channel {item.channel}"
    return f"{rating}, {item.get_device_kind_display().lower()}{where}"


def feed_specs(rows: list[RunRow]) -> Iterator[Spec]:
    for row in rows:
        ref = row.item.ref
        yield Spec(
            key=f"feed {ref} device",
            ref=f"{ref}.F",
            title=f"Protection of feed {ref}",
            area="Protection",
            stage="S10",
            kind="visual",
            made_in="S4",
            instruction="Read rating and type in the holder.",
            expected_text=_device_words(row),
            photo_required=True,
        )
        yield Spec(
            key=f"feed {ref} joint",
            ref=f"{ref}.J",
            title=f"Joint drop of feed {ref}",
            area="Feeds",
            stage="S13",
            kind="reading",
            made_in="S4",
            unit_of_measure="V",
            instruction="Across the device and its two studs, all loads of the feed on.",
            predicted=Decimal(0),
            low=Decimal(0),
            high=JOINT_DROP,
            expected_text="At most 0.1 V",
        )


def circuit_specs(job: Job, found: Review) -> Iterator[Spec]:
    volts = predicted_volts(job, found)
    for row in found.circuits:
        circuit = row.item
        yield from _before_power(row, circuit)
        if (row.peak_a or 0) >= VOLTS_FROM_A and circuit.ref in volts:
            yield _volts(circuit, volts[circuit.ref])
        if row.peak_a:
            yield _current(circuit, row)


def _before_power(row: RunRow, circuit: Circuit) -> Iterator[Spec]:
    yield Spec(
        key=f"circuit {circuit.ref} device",
        ref=f"{circuit.ref}.F",
        title=f"Protection of {circuit.ref} {circuit.designation}",
        area="Protection",
        stage="S10",
        kind="visual",
        made_in="S4",
        circuit=circuit,
        instruction="Read the rating in the slot or the node configuration.",
        expected_text=_device_words(row),
    )
    yield Spec(
        key=f"circuit {circuit.ref} polarity",
        ref=f"{circuit.ref}.P",
        title=f"Polarity and return of {circuit.ref} {circuit.designation}",
        area="Polarity",
        stage="S10",
        kind="visual",
        made_in="S5",
        circuit=circuit,
        instruction="Meter at the load connector before power, loads unplugged.",
        expected_text="Not reversed; to body above 10 kΩ; return below 0.1 Ω",
    )


def _volts(circuit: Circuit, predicted: Decimal) -> Spec:
    """Limit: 0.3 V below the prediction, rounded to the tenth that a meter shows."""
    shown = predicted.quantize(Decimal("0.1"))
    return Spec(
        key=f"circuit {circuit.ref} volts",
        ref=f"{circuit.ref}.V",
        title=f"Voltage at {circuit.designation} ({circuit.ref})",
        area="Voltage",
        stage="S13",
        kind="reading",
        made_in="S6",
        unit_of_measure="V",
        circuit=circuit,
        instruction="At the device, engine at high idle, every load on.",
        predicted=shown,
        low=shown - VOLTS_TOLERANCE,
        high=shown + 1,
        expected_text=f"{shown} V predicted; at least {shown - VOLTS_TOLERANCE} V",
        tolerance_source=f"{PRACTICE}: 0.3 V below the prediction",
    )


def _current(circuit: Circuit, row: RunRow) -> Spec:
    """Within 15 % or 0.3 A of the design, whichever is wider; brief loads at their peak."""
    amps = row.peak_a if circuit.intermittent or not row.average_a else row.average_a
    expected = Decimal(str(amps)).quantize(Decimal("0.01"))
    margin = max(expected * CURRENT_SHARE, CURRENT_LEAST).quantize(Decimal("0.01"))
    return Spec(
        key=f"circuit {circuit.ref} current",
        ref=f"{circuit.ref}.I",
        title=f"Current of {circuit.designation} ({circuit.ref})",
        area="Current",
        stage="S13",
        kind="reading",
        made_in="S6",
        unit_of_measure="A",
        circuit=circuit,
        instruction="Clamp meter at the panel, this circuit alone, average over ten seconds.",
        predicted=expected,
        low=max(expected - margin, Decimal(0)),
        high=expected + margin,
        expected_text=f"{expected} A by design, give or take {margin} A",
        tolerance_source=f"{PRACTICE}: 15 % or 0.3 A",
        critical=False,
    )
