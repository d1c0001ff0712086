"""The demo's work and checks: stages, holds, readings, two defects, release and handover."""

import uuid
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from inspections.checklists.actions import Reading
from inspections.checklists.generate import generate_checks
from inspections.defects.actions import contain, describe_defect, mark_reworked, record_check
from inspections.demo.after import place_things
from inspections.demo.cards import card
from inspections.demo.disputes import settle_dispute
from inspections.demo.rows import read
from inspections.handover.actions import build_packet, record_receipt, record_training
from inspections.models import Check, Instrument, Packet
from inspections.release.actions import release_unit, sign_off
from jobs.models import BuildLine, ConditionPhoto, Requirement, Serial, Stage, Unit
from jobs.stages.actions import (
    finish_stage,
    plan_stages,
    start_work,
    stop_work,
)
from jobs.stages.holds import refuse_hold, release_hold

SHIFT_MINUTES = 480
WHO_CHECKS = {"S0": "wren", "S9": "dag", "S10": "dag"}


def at(day: str | date, hour: int = 8) -> datetime:
    day = date.fromisoformat(day) if isinstance(day, str) else day
    return timezone.make_aware(datetime.combine(day, time(hour)))


def record_of(days_later: int = 0) -> dict[str, Any]:
    """The work record, moved by whole days for a job that runs later."""
    work = read("work")
    for row in work["stages"]:
        row[1], row[2] = (
            str(date.fromisoformat(day) + timedelta(days=days_later)) for day in row[1:3]
        )
    for entry in (*work["holds"].values(), *work["h4"].values()):
        entry[1] = str(date.fromisoformat(entry[1]) + timedelta(days=days_later))
    return work


def arrive(unit: Unit, people: dict[str, User], *, on: str = "2026-04-20") -> None:
    """The arrival walk: a photo of every view, handed over and accepted by name."""
    for view, words in ConditionPhoto.VIEWS:
        if view != "damage":
            photo = card(words, f"Unit {unit.number}, arrival", people["dag"])
            ConditionPhoto.objects.create(unit=unit, photo=photo, view=view, taken_by=people["dag"])
    Unit.objects.filter(pk=unit.pk).update(
        arrived_at=at(on), accepted_by=people["dag"], handed_over_by="Ilse Marrow"
    )


def prepare(unit: Unit, people: dict[str, User], *, days_later: int = 0) -> None:
    """Stages with people and dates, instruments, checks, and which check proves what."""
    work = record_of(days_later)
    for asset, name, due in work["instruments"]:
        Instrument.objects.get_or_create(
            asset=asset, defaults={"name": name, "calibration_due": date.fromisoformat(due)}
        )
    stages = {stage.code: stage for stage in plan_stages(unit=unit, by=people["dag"])}
    for code, start, end, bookings in work["stages"]:
        stage = stages[code]
        stage.planned_start, stage.planned_end = date.fromisoformat(start), date.fromisoformat(end)
        stage.save(update_fields=["planned_start", "planned_end"])
        stage.people.set(people[name] for name, _ in bookings)
    generate_checks(unit=unit, by=people["dag"])
    for number, refs in work["proofs"].items():
        requirement = Requirement.objects.get(job=unit.job, number=number)
        for check in unit.checks.filter(ref__in=refs):
            check.requirements.add(requirement)


def build(unit: Unit, people: dict[str, User], *, until: str = "S12", days_later: int = 0) -> None:
    """Work the stages in order up to `until`, with every hold and hour of the record."""
    work = record_of(days_later)
    for code, start, _end, bookings in work["stages"]:
        stage = Stage.objects.get(unit=unit, code=code)
        _release_holds(stage, work, people)
        _book(stage, start, bookings, people)
        _check_stage(stage, work, people)
        if code == until:
            return


def _release_holds(stage: Stage, work: dict[str, Any], people: dict[str, User]) -> None:
    for hold in stage.holds.all():
        if hold.code == "H4":
            who, day, why = work["h4"]["refused"]
            refuse_hold(hold=hold, by=people[who], reason=why, at=at(day))
            who, day, note = work["h4"]["released"]
        else:
            who, day, note = work["holds"][hold.code]
        release_hold(hold=hold, by=people[who], note=note, at=at(day))


def _book(stage: Stage, start: str, bookings: list[Any], people: dict[str, User]) -> None:
    """Hours in shifts from the first day on; the last person finishes the stage."""
    end = at(start)
    for name, minutes in bookings:
        day, left = date.fromisoformat(start), minutes
        while left > 0:
            shift = min(left, SHIFT_MINUTES)
            start_work(stage=stage, by=people[name], at=at(day))
            stop_work(
                stage=stage, by=people[name], at=at(day) + timedelta(minutes=shift), minutes=shift
            )
            end = max(end, at(day) + timedelta(minutes=shift))
            day, left = day + timedelta(days=1), left - shift
    finish_stage(stage=stage, by=people[bookings[-1][0]], at=end)


def _check_stage(stage: Stage, work: dict[str, Any], people: dict[str, User]) -> None:
    """Every check of the stage, the two that failed first with their rework, then the signature."""
    who = people[WHO_CHECKS.get(stage.code, "wren")]
    failing = {defect["check"]: defect for defect in work["defects"]}
    checks = list(stage.checks.filter(retired=False).order_by("position"))
    for check in checks:
        if check.ref in failing:
            _fail(check, failing[check.ref], work, people)
        else:
            record_check(
                check=check, by=who, reading=_reading(check, work), photos=_photos(check, who)
            )
    for defect in (failing[check.ref] for check in checks if check.ref in failing):
        _rework(stage.unit, defect, work, people)
    if stage.code == "S13":
        settle_dispute(stage.unit, work["dispute"], people)
    if checks:
        sign_off(stage=stage, by=people["wren"])


def _photos(check: Check, who: User) -> list[Any]:
    if not check.photo_required:
        return []
    return [card(check.title, f"{check.unit.number} {check.ref}", who)]


def _reading(
    check: Check, work: dict[str, Any], value: str = "", asset: str = "", pressed: str = "pass"
) -> Reading:
    """What the record says, else the predicted value: the demo invents its readings."""
    typed, default_asset = work["readings"].get(check.ref, ["", "DM-2"])
    typed = value or typed
    if check.kind != Check.Kind.READING:
        return Reading(client_id=uuid.uuid4(), pressed=pressed)
    if not typed:
        middle = check.predicted if check.predicted is not None else check.high
        typed = f"{Decimal(check.low * 2 if middle is None else middle):.2f}"
    own = {"A": "CM-1", "lbf": "PT-1", "s": "ST-1"}
    default_asset = own.get(check.unit_of_measure, default_asset)
    return Reading(
        client_id=uuid.uuid4(),
        pressed=pressed,
        value_typed=typed,
        conditions=work["conditions"],
        instrument=Instrument.objects.get(asset=asset or default_asset)
        if check.instrument_needed
        else None,
        at_device=timezone.now(),
    )


def _fail(
    check: Check, facts: dict[str, Any], work: dict[str, Any], people: dict[str, User]
) -> None:
    reading = _reading(check, work, facts["found"], facts["instrument"], pressed="fail")
    reading = Reading(**{**_fields(reading), "reason": facts["note"]})
    _, defect = record_check(check=check, by=people[facts["by"]], reading=reading)
    describe_defect(
        defect=defect,
        by=people[facts["reworker"]],
        seen_version=0,
        cause=facts["cause"],
        cause_text=facts["cause_text"],
        containment=facts["containment"],
        disposition=facts["disposition"],
        rework_text=facts["rework"],
    )


def _fields(reading: Reading) -> dict[str, Any]:
    return {name: getattr(reading, name) for name in Reading.__slots__}


def _rework(
    unit: Unit, facts: dict[str, Any], work: dict[str, Any], people: dict[str, User]
) -> None:
    """Reworked, then the failed check and everything disturbed pass again, by somebody else."""
    defect = unit.defects.get(check_item__ref=facts["check"])
    disturbed = list(unit.checks.filter(ref__in=facts["retest"]))
    mark_reworked(defect=defect, by=people[facts["reworker"]], retest=disturbed)
    ordered = list(unit.checks.filter(ref__in=facts.get("contain", ()), retired=False))
    contain(defect=defect, by=people["dag"], checks=ordered)
    value, asset, who = facts["again"]
    for check in [defect.check_item, *disturbed, *ordered]:
        check.refresh_from_db()
        own = check.pk == defect.check_item_id
        reading = _reading(check, work, value if own else "", asset if own else "")
        record_check(check=check, by=people[who], reading=reading)


def check_again(unit: Unit, people: dict[str, User]) -> None:
    """What a new program asks, after its stage was signed: by somebody who did not write it."""
    waiting = unit.checks.filter(retired=False, state="open").exclude(about="")
    for check in waiting.order_by("position"):
        record_check(check=check, by=people["wren"], reading=_reading(check, read("work")))


def deliver(unit: Unit, people: dict[str, User]) -> Packet:
    """Final checks, release, training, packet, receipt. Acceptance is the customer's own step."""
    work = read("work")
    for ref, serials in work["serials"].items():
        line = BuildLine.objects.get(job=unit.job, ref=ref)
        for serial in serials:
            Serial.objects.get_or_create(unit=unit, line=line, serial=serial)
    for code, start, _end, bookings in work["stages"][-2:]:
        stage = Stage.objects.get(unit=unit, code=code)
        if code == "S14":
            release_unit(unit=unit, by=people["wren"])
            _release_holds(stage, work, people)
        _book(stage, start, bookings, people)
        _check_stage(stage, work, people)
    place_things(unit, people)
    for name, topics in work["training"]:
        today = timezone.localdate()  # as the release: nobody is handed a vehicle before it
        record_training(unit=unit, by=people["dag"], name=name, topics=topics, on=today)
    receipt = work["receipt"]
    fresh = Unit.objects.get(pk=unit.pk)
    record_receipt(
        unit=fresh,
        by=people["dag"],
        received_by=receipt["by"],
        keys=receipt["keys"],
        odometer_mi=receipt["odometer"],
        condition=receipt["condition"],
    )
    return build_packet(unit=Unit.objects.get(pk=unit.pk), by=people["nessa"])
