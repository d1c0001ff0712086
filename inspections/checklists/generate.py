"""Checks of a unit, made from its design. Generating again updates what changed, never doubles.

Expected values are predictions with tolerances; each says where its tolerance comes from.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from catalog.models import CheckGroup
from catalog.quantities import POUND
from inspections.checklists.actions import note_generated, refresh_state
from inspections.checklists.models import Check
from inspections.checklists.standard import ALWAYS, BY_PART, Standard
from jobs.build_sheet.review import Review, RunRow, predicted_volts, review
from jobs.build_sheet.weights import predicted_axles
from jobs.models import Circuit, Job, Stage, Unit

PRACTICE = "Common practice, no source"
VOLTS_TOLERANCE = Decimal("0.3")
CURRENT_SHARE, CURRENT_LEAST = Decimal("0.15"), Decimal("0.3")
JOINT_DROP = Decimal("0.1")
KEYOFF_ADDED_MA, KEYOFF_TOTAL_MA = 30, 85
WEIGHT_SHARE = Decimal("0.03")
VOLTS_FROM_A = 5.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Spec:
    """One check as it should be; `key` names what it was made from."""

    key: str
    ref: str
    title: str
    area: str
    stage: str
    kind: str
    instruction: str = ""
    expected_text: str = ""
    tolerance_source: str = PRACTICE
    unit_of_measure: str = ""
    predicted: Decimal | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    circuit: Circuit | None = None
    made_in: str = ""
    critical: bool = True
    photo_required: bool = False


def specs(unit: Unit) -> list[Spec]:
    """Every check this unit asks for, in the order of the work."""
    job = unit.job
    found = review(job, unit=unit)
    groups = set(
        job.lines.exclude(part__check_group="").values_list("part__check_group", flat=True)
    )
    wanted = [item for item in BY_PART if item.group in groups]
    return [
        *_standard(ALWAYS),
        *_feeds(found.feeds),
        *_circuits(job, found),
        *_doors(job),
        *_colours(job),
        *_standard(wanted),
        *_keyoff(unit),
        *_weights(unit),
    ]


def _standard(items: Iterable[Standard]) -> Iterator[Spec]:
    for item in items:
        yield Spec(
            key=f"standard {item.ref}",
            ref=item.ref,
            title=item.title,
            area=item.area,
            stage=item.stage,
            kind=item.kind,
            instruction=item.do,
            expected_text=item.expect,
            tolerance_source=item.source,
            unit_of_measure=item.unit,
            low=Decimal(item.low) if item.low else None,
            high=Decimal(item.high) if item.high else None,
            made_in=item.made_in,
            critical=item.critical,
            photo_required=item.photo,
        )


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


def _feeds(rows: list[RunRow]) -> Iterator[Spec]:
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


def _circuits(job: Job, found: Review) -> Iterator[Spec]:
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


def _doors(job: Job) -> Iterator[Spec]:
    """Each switch alone, so that two doors on one wire cannot hide behind each other."""
    lines = job.lines.filter(part__check_group=CheckGroup.DOOR).select_related("part")
    for line in lines:
        for number in range(1, line.quantity + 1):
            yield Spec(
                key=f"door {line.ref} {number}",
                ref=f"DOOR.{line.ref}.{number}",
                title=f"Door switch {number} of {line.quantity} ({line.ref})",
                area="Doors",
                stage="S11",
                kind="function",
                made_in="S10",
                instruction="Open this door alone, all others closed.",
                expected_text="Its own input, lamp and alarm, and no other",
            )


def _colours(job: Job) -> Iterator[Spec]:
    groups = (CheckGroup.WARNING, CheckGroup.SCENE)
    lines = job.lines.filter(part__check_group__in=groups).select_related("part")
    for line in lines.prefetch_related("part__draws"):
        colours = ", ".join(sorted({draw.colour for draw in line.part.draws.all()} - {""}))
        yield Spec(
            key=f"lamp {line.ref}",
            ref=f"LAMP.{line.ref}",
            title=f"{line.part.description} ({line.ref})",
            area="Lights",
            stage="S11",
            kind="function",
            made_in="S6",
            instruction="Each head, colour and mode, seen from 50 ft.",
            expected_text=f"{line.quantity} pieces, {colours or 'white'}; right place, aim, sync",
        )


def _keyoff(unit: Unit) -> Iterator[Spec]:
    if unit.keyoff_baseline_ua is None:
        return
    baseline = Decimal(unit.keyoff_baseline_ua) / 1000
    high = min(baseline + KEYOFF_ADDED_MA, Decimal(KEYOFF_TOTAL_MA))
    yield Spec(
        key="unit keyoff",
        ref="KEYOFF",
        title="Key-off draw",
        area="Energy",
        stage="S13",
        kind="reading",
        unit_of_measure="mA",
        low=Decimal(0),
        high=high,
        instruction="Doors latched by hand, wait until everything sleeps (up to 60 minutes).",
        expected_text=f"At most {high:g} mA; {baseline:g} mA on arrival",
        tolerance_source=f"{PRACTICE}: arrival plus {KEYOFF_ADDED_MA} mA, at most 85 mA",
    )


def _weights(unit: Unit) -> Iterator[Spec]:
    axles = predicted_axles(unit)
    for name, grams in axles.items():
        pounds = POUND.to_shown(grams).quantize(Decimal(1))
        margin = (pounds * WEIGHT_SHARE).quantize(Decimal(1))
        yield Spec(
            key=f"weight {name}",
            ref=f"WEIGHT.{name[0].upper()}",
            title=f"Weight, {name}",
            area="Weight",
            stage="S13",
            kind="reading",
            unit_of_measure="lb",
            predicted=pounds,
            low=pounds - margin,
            high=pounds + margin,
            instruction="Certified scale, full fuel, nobody aboard.",
            expected_text=f"{pounds:,} lb predicted, give or take 3 %",
            tolerance_source=f"{PRACTICE}: 3 % of the prediction",
        )


# Fields that, when they change, make a check a different question.
ASKS = ("title", "instruction", "expected_text", "low", "high", "unit_of_measure", "kind")


@transaction.atomic
def generate_checks(*, unit: Unit, by: User | None) -> tuple[int, int]:
    """Bring the unit's checks up to the design. Returns how many are new and how many changed.

    A check whose question changed gets a new version, so that results for the old one ask to be
    repeated. A check that the design no longer asks for is retired, never deleted.
    """
    Unit.objects.select_for_update().get(pk=unit.pk)
    stages = {stage.code: stage for stage in unit.stages.all()}
    have = {check.key: check for check in unit.checks.all()}
    made = changed = 0
    keys = set()
    for position, spec in enumerate(specs(unit)):
        keys.add(spec.key)
        stage = stages.get(spec.stage)
        if stage is None:
            raise Stage.DoesNotExist(f"Unit {unit.number} has no stage {spec.stage} yet.")
        check = have.get(spec.key) or Check(unit=unit, key=spec.key)
        new = check.pk is None
        asks_anew = not new and any(getattr(check, n) != getattr(spec, n) for n in ASKS)
        _fill(check, spec, stage, position)
        check.version += asks_anew
        check.save()
        made, changed = made + new, changed + asks_anew
        if asks_anew:
            refresh_state(check)
    gone = [check.pk for key, check in have.items() if key not in keys and not check.retired]
    Check.objects.filter(pk__in=gone).update(retired=True)
    note_generated(unit=unit, by=by, made=made, changed=changed + len(gone))
    return made, changed + len(gone)


def _fill(check: Check, spec: Spec, stage: Stage, position: int) -> None:
    for field in fields(spec):
        if field.name != "stage":
            setattr(check, field.name, getattr(spec, field.name))
    check.stage, check.position = stage, position
    check.retired = False
