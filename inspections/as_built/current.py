"""The vehicle as it stands: what was kept on release with every change since laid over it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from functools import cached_property
from typing import Any

from django.utils import timezone

from catalog.quantities import AMPERE, FOOT
from inspections.as_built.snapshot import Snapshot, released
from jobs.build_sheet.design import design_of
from jobs.build_sheet.review import Kept, Review, review
from jobs.electrical.case import Case
from jobs.electrical.design import Design
from jobs.electrical.input_check import design_problems
from jobs.electrical.tables.conductors import THIN_TO_THICK
from jobs.models import Circuit, Job, Unit
from jobs.quoting.words import day_words
from jobs.templatetags.units import amps, feet

# What may differ on one unit, and what a person calls it.
WHAT = {
    "device": "Protective device (A)",
    "awg": "Conductor size (AWG)",
    "length": "One-way length (ft)",
    "colour": "Conductor colour",
    "label": "Wire label",
    "channel": "Channel or slot",
    "note": "Remark",
}
MOST_AMPS, MOST_FEET = Decimal(600), Decimal(300)


class ChangeError(ValueError):
    """Why a value cannot be, as a sentence."""


def checked(what: str, typed: str) -> str:
    """The value as it is kept, or ChangeError naming field, value and limit."""
    value = typed.strip()
    if what == "device":
        return _figure(value, "Device rating", MOST_AMPS, "A")
    if what == "length":
        return _figure(value, "Length", MOST_FEET, "ft")
    if what == "awg" and value not in THIN_TO_THICK:
        raise ChangeError(
            f"Conductor size is {value}; it must be one of {', '.join(THIN_TO_THICK)}."
        )
    most = 20 if what in ("label", "channel", "colour") else 200
    if len(value) > most:
        raise ChangeError(f"{WHAT[what]} has {len(value)} letters; at most {most}.")
    return value


def _figure(value: str, name: str, most: Decimal, unit: str) -> str:
    try:
        figure = Decimal(value)
    except InvalidOperation:
        raise ChangeError(f"{name} is {value!r}; it must be a number of {unit}.") from None
    if not figure.is_finite() or not 0 < figure <= most:
        raise ChangeError(
            f"{name} is {value} {unit}; it must be above 0 and at most {most} {unit}."
        )
    return f"{figure.normalize():f}"


def shown(what: str, value: str) -> str:
    """A kept value in words."""
    if not value:
        return "nothing"
    return {"device": f"{value} A", "length": f"{value} ft", "awg": f"{value} AWG"}.get(what, value)


def name_of(what: str) -> str:
    return WHAT.get(what, what.replace("_", " ").capitalize())


def change_words(change: Mapping[str, str]) -> str:
    """L15: serial number was SA-0412, now SA-0527."""
    name = name_of(change["what"]).partition(" (")[0].lower()
    was, now = (shown(change["what"], change[end]) for end in ("before", "after"))
    return f"{change['about']}: {name} was {was}, now {now}"


def value_of(circuit: Circuit, what: str) -> str:
    """What stands now, spelled as `checked` spells it."""
    if what == "device":
        return amps(circuit.device_ma).removesuffix(" A") if circuit.device_ma else ""
    if what == "length":
        return feet(circuit.length_mm).removesuffix(" ft") if circuit.length_mm else ""
    if what == "label":
        return circuit.label or circuit.ref
    return str(getattr(circuit, what))


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    revision: int
    about: str
    what: str
    before: str
    after: str
    reason: str
    by: str
    at: Any

    @property
    def name(self) -> str:
        return name_of(self.what)

    @property
    def was(self) -> str:
        return shown(self.what, self.before)

    @property
    def now(self) -> str:
        return shown(self.what, self.after)


class AsBuilt:
    """One unit: its circuits with what changed since release, and the sums that follow."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit
        self.revisions = list(unit.as_built_revisions.all())
        self.changes = [
            Change(
                revision=revision.number,
                reason=revision.reason,
                by=revision.made_by,
                at=revision.made_at,
                **change,
            )
            for revision in self.revisions
            for change in revision.changes
        ]

    @property
    def number(self) -> int:
        return self.revisions[-1].number if self.revisions else 0

    @cached_property
    def released(self) -> Snapshot | None:
        """The wiring kept on release; None before it."""
        return released(self.unit)

    @property
    def words(self) -> str:
        """Which revision of the vehicle this is."""
        release = getattr(self.unit, "release", None)
        if release is None:
            return "Not released yet: the design as it stands today"
        number = self.released.design_revision if self.released else None
        on = f"as released {day_words(timezone.localdate(release.released_at))}"
        on += f", design revision {number}" if number else ""
        if not self.revisions:
            return on[0].upper() + on[1:]
        changed = day_words(timezone.localdate(self.revisions[-1].made_at))
        return f"As-built revision {self.number} of {changed}: {on}, with what changed since"

    def changes_of(self, ref: str) -> list[Change]:
        return [change for change in self.changes if change.about == ref]

    @cached_property
    def circuits(self) -> list[Circuit]:
        """Rows with the changes laid over them. They are for reading; never saved."""
        found = self.released.circuits if self.released else _rows(self.unit.job)
        by_ref = {circuit.ref: circuit for circuit in found}
        for change in self.changes:
            if change.what in WHAT and change.about in by_ref:
                _lay_over(by_ref[change.about], change)
        return found

    def circuit(self, ref: str) -> Circuit | None:
        return next((circuit for circuit in self.circuits if circuit.ref == ref), None)

    @cached_property
    def design(self) -> Design | None:
        """What is calculated with; None when what was kept cannot be."""
        kept = self.released
        design = kept.design if kept else design_of(self.unit.job, unit=self.unit)
        return None if design is None else _changed(design, self.changes)

    def review(self) -> Review:
        """Findings and figures of this vehicle, not of what the job's design became since."""
        kept, design = self.released, self.design
        if kept is None or design is None:
            return review(self.unit.job, unit=self.unit)
        as_kept = Kept(design=design, feeds=kept.feeds, circuits=self.circuits)
        return review(self.unit.job, unit=self.unit, kept=as_kept)

    @cached_property
    def case(self) -> Case | None:
        """The sums of this vehicle; None while the entries cannot be calculated with."""
        design = self.design
        return None if design is None or design_problems(design) else Case(design)


def _rows(job: Job) -> list[Circuit]:
    """As the design stands, before the release."""
    rows = job.circuits.select_related("node", "feed__supply", "feed__second_supply")
    return list(rows.prefetch_related("loads__line__part__part"))


def _lay_over(circuit: Circuit, change: Change) -> None:
    if change.what == "device":
        circuit.device_ma = AMPERE.to_stored(Decimal(change.after))
    elif change.what == "length":
        circuit.length_mm = FOOT.to_stored(Decimal(change.after))
    else:
        setattr(circuit, change.what, change.after)


def _changed(design: Design, changes: Iterable[Change]) -> Design:
    fields: dict[str, dict[str, Any]] = {}
    for change in changes:
        own = fields.setdefault(change.about, {})
        if change.what == "device":
            own["device_a"] = float(change.after)
        elif change.what == "length":
            own["length_m"] = float(change.after) * 0.3048
        elif change.what in ("awg", "label", "channel"):
            own[change.what] = change.after
    circuits = tuple(replace(one, **fields.get(one.ref, {})) for one in design.circuits)
    return replace(design, circuits=circuits)
