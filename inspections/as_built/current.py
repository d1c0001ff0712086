"""The vehicle as it stands: the released design with every change since laid over it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from functools import cached_property
from typing import Any

from catalog.quantities import AMPERE, FOOT
from jobs.build_sheet.design import design_of
from jobs.electrical.case import Case
from jobs.electrical.design import Design
from jobs.electrical.input_check import design_problems
from jobs.electrical.tables.conductors import THIN_TO_THICK
from jobs.models import Circuit, Unit
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
        return WHAT.get(self.what, self.what.replace("_", " ").capitalize())

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

    def changes_of(self, ref: str) -> list[Change]:
        return [change for change in self.changes if change.about == ref]

    @cached_property
    def circuits(self) -> list[Circuit]:
        """Rows with the changes laid over them. They are for reading; never saved."""
        rows = self.unit.job.circuits.select_related(
            "node", "feed__supply", "feed__second_supply"
        ).prefetch_related("loads__line__part__part")
        found = list(rows)
        by_ref = {circuit.ref: circuit for circuit in found}
        for change in self.changes:
            if change.what in WHAT and change.about in by_ref:
                _lay_over(by_ref[change.about], change)
        return found

    def circuit(self, ref: str) -> Circuit | None:
        return next((circuit for circuit in self.circuits if circuit.ref == ref), None)

    @cached_property
    def case(self) -> Case | None:
        """The sums of this vehicle; None while the entries cannot be calculated with."""
        design = _changed(design_of(self.unit.job, unit=self.unit), self.changes)
        return None if design_problems(design) else Case(design)


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
