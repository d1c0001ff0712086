"""Every check that a unit's design asks for, as values; generate.py turns them into rows.

Expected values are predictions with tolerances; each says where its tolerance comes from.
"""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from catalog.models import CheckGroup
from catalog.quantities import POUND
from inspections.checklists.circuit_specs import circuit_specs, feed_specs
from inspections.checklists.spec import PRACTICE, Spec
from inspections.checklists.standard import ALWAYS, BY_PART, Standard
from jobs.build_sheet.review import review
from jobs.build_sheet.weights import predicted_axles
from jobs.models import Job, Unit

KEYOFF_ADDED_MA, KEYOFF_TOTAL_MA = 30, 85
WEIGHT_SHARE = Decimal("0.03")


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
        *feed_specs(found.feeds),
        *circuit_specs(job, found),
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
