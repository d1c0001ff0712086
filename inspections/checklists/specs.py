"""Every check that a unit's design asks for, as values; generate.py turns them into rows.

Words, limits and coverage come from the shop's templates (templates.py); expected values are
predictions of the design, each with its tolerance and where that comes from.
"""

from collections.abc import Iterator
from decimal import Decimal

from django.db.models import prefetch_related_objects

from catalog.models import CheckGroup
from catalog.quantities import POUND
from inspections.checklists.circuit_specs import circuit_specs, crimp_specs, feed_specs
from inspections.checklists.logic_steps import logic_specs
from inspections.checklists.making import Maker, margin_words, sourced, whole
from inspections.checklists.spec import Spec
from inspections.checklists.template_models import CheckTemplate
from inspections.checklists.templates import current_templates
from jobs.build_sheet.drafting.release import released_logic
from jobs.build_sheet.review import review
from jobs.build_sheet.unit_lines import lines_of
from jobs.build_sheet.weights import predicted_axles
from jobs.models import Job, Unit

Source = CheckTemplate.Source


def specs(unit: Unit) -> list[Spec]:
    """Every check this unit asks for, in the order of the work."""
    job = unit.job
    found = review(job, unit=unit)
    maker = Maker(unit, current_templates())
    groups = {line.part.check_group for line in lines_of(unit)} - {""}
    made = (
        *_plain(maker, Source.EVERY),
        *feed_specs(maker, found.feeds),
        *circuit_specs(maker, job, found),
        *crimp_specs(maker, found),
        *_timers(maker, job),
        *_doors(maker, unit),
        *_colours(maker, unit),
        *_plain(maker, Source.GROUP, groups),
        *_keyoff(maker, unit),
        *_weights(maker, unit),
    )
    return [*(spec for spec in made if spec is not None), *logic_specs(job)]


def _plain(maker: Maker, source: str, groups: set[str] | None = None) -> Iterator[Spec | None]:
    """Templates that make one check each, with nothing to fill in."""
    for template in maker.templates.values():
        if template.source != source or (groups is not None and template.group not in groups):
            continue
        checked, sampled = maker.sampling(template.code, template.code)
        if checked:
            key = f"standard {template.code}"
            yield maker.make(template.code, key=key, ref=template.code, sampled=sampled)


def _timers(maker: Maker, job: Job) -> Iterator[Spec | None]:
    """Each delay of the released control logic that is long enough to be timed."""
    template = maker.templates.get("timer")
    logic = released_logic(job)
    if template is None or logic is None:
        return
    least = template.bound or Decimal(0)
    for rule in logic.logic.get("rules", ()):
        for word, name in (("on", "on_delay_s"), ("off", "off_delay_s")):
            seconds = Decimal(str(rule.get(name) or 0))
            if not seconds or seconds < least:
                continue
            margin = template.margin(seconds).quantize(Decimal("0.1"))
            yield maker.make(
                "timer",
                key=f"timer {rule['name']} {word}",
                ref=f"TIMER.{rule['name']}.{word}",
                names={
                    "ref": f"{rule['name']}, {word} after {seconds.normalize():f} s",
                    "name": rule.get("why") or rule.get("output", ""),
                },
                predicted=seconds,
                low=seconds - margin,
                high=seconds + margin,
                expected_text=f"{seconds.normalize():f} s by the logic, give or take {margin} s",
                tolerance_source=sourced(template, margin_words(template)),
            )


def _doors(maker: Maker, unit: Unit) -> Iterator[Spec | None]:
    """Each switch alone, so that two doors on one wire cannot hide behind each other."""
    for line in lines_of(unit, part__check_group=CheckGroup.DOOR):
        for number in range(1, line.quantity + 1):
            yield maker.make(
                "door",
                key=f"door {line.ref} {number}",
                ref=f"DOOR.{line.ref}.{number}",
                names={"ref": f"{number} of {line.quantity} ({line.ref})", "name": line.ref},
            )


def _colours(maker: Maker, unit: Unit) -> Iterator[Spec | None]:
    groups = (CheckGroup.WARNING, CheckGroup.SCENE)
    lines = lines_of(unit, part__check_group__in=groups)
    prefetch_related_objects(lines, "part__draws")
    for line in lines:
        colours = ", ".join(sorted({draw.colour for draw in line.part.draws.all()} - {""}))
        yield maker.make(
            "lamp",
            key=f"lamp {line.ref}",
            ref=f"LAMP.{line.ref}",
            names={"ref": line.ref, "name": line.part.description},
            expected_text=f"{line.quantity} pieces, {colours or 'white'}; right place, aim, sync",
        )


def _keyoff(maker: Maker, unit: Unit) -> Iterator[Spec | None]:
    template = maker.templates.get("keyoff")
    if unit.keyoff_baseline_ua is None or template is None:
        return
    baseline = Decimal(unit.keyoff_baseline_ua) / 1000
    added = template.spread_least or Decimal(0)
    high = baseline + added
    limit = ""
    if template.bound is not None:
        high, limit = min(high, template.bound), f", at most {template.bound.normalize():f} mA"
    yield maker.make(
        "keyoff",
        key="unit keyoff",
        ref="KEYOFF",
        low=Decimal(0),
        high=high,
        expected_text=f"At most {high:g} mA; {baseline:g} mA on arrival",
        tolerance_source=sourced(template, f"arrival plus {added.normalize():f} mA{limit}"),
    )


def _weights(maker: Maker, unit: Unit) -> Iterator[Spec | None]:
    template = maker.templates.get("axle")
    if template is None:
        return
    for name, grams in predicted_axles(unit).items():
        pounds = whole(POUND.to_shown(grams))
        margin = whole(template.margin(pounds))
        words = margin_words(template)
        yield maker.make(
            "axle",
            key=f"weight {name}",
            ref=f"WEIGHT.{name[0].upper()}",
            names={"ref": name, "name": name},
            predicted=pounds,
            low=pounds - margin,
            high=pounds + margin,
            expected_text=f"{pounds:,} lb predicted, give or take {words}",
            tolerance_source=sourced(template, f"{words} of the prediction"),
        )
