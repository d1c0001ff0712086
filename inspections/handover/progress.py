"""How far a unit is, in words for who ordered it: no codes, no names of people at work."""

from dataclasses import dataclass

from inspections.checklists.models import Check
from inspections.handover.facts import day
from jobs.models import Stage, Unit

GOOD = (Check.State.PASS, Check.State.NOT_APPLICABLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """`state` as the status mark takes it: pass, wait or open."""

    state: str
    word: str
    text: str


def progress(unit: Unit) -> list[Step]:
    """Arrived, in work, checked, released, handed over, accepted."""
    accepted = unit.acceptances.exclude(answer="rejected").last()
    receipt = getattr(unit, "receipt", None)
    release = getattr(unit, "release", None)
    return [
        _dated("Vehicle at our shop", unit.arrived_at),
        _work(unit),
        _checks(unit),
        _dated("Released to leave the shop", release and release.released_at),
        _dated("Handed over", receipt and receipt.received_at),
        _dated("Accepted by you", accepted and accepted.at),
    ]


def _dated(text: str, when: object) -> Step:
    if when:
        return Step(state="pass", word="Done", text=f"{text}, {day(when)}")
    return Step(state="open", word="To come", text=text)


def _work(unit: Unit) -> Step:
    stages = list(unit.stages.order_by("position"))
    done = [one for one in stages if one.state in (Stage.State.FINISHED, Stage.State.SIGNED)]
    now = [one.name for one in stages if one.state == Stage.State.WORKING]
    if stages and len(done) == len(stages):
        return Step(state="pass", word="Done", text=f"Built: all {len(stages)} steps of work")
    if not done and not now:
        return Step(state="open", word="To come", text="Building has not begun")
    doing = f"; now: {', '.join(now).lower()}" if now else ""
    text = f"Being built: {len(done)} of {len(stages)} steps of work are done{doing}"
    return Step(state="wait", word="In work", text=text)


def _checks(unit: Unit) -> Step:
    states = list(unit.checks.filter(retired=False).values_list("state", flat=True))
    good = sum(state in GOOD for state in states)
    if states and good == len(states):
        return Step(state="pass", word="Done", text=f"Checked: all {good} checks passed")
    if not good:
        return Step(state="open", word="To come", text="Checks by somebody who did not do the work")
    text = f"Being checked: {good} of {len(states)} checks have passed"
    return Step(state="wait", word="In work", text=text)
