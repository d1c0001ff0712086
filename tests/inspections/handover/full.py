"""A unit with something in every section of its packet."""

from datetime import date
from typing import Any

from django.contrib.auth.models import User
from django.db import models

from inspections.as_built.actions import add_pins, add_place, add_place_photos, record_origin
from inspections.checklists.generate import generate_checks
from inspections.models import PunchItem, Training
from jobs.models import Circuit, Serial, Shop, Unit
from jobs.photos.actions import store_photo
from jobs.photos.tasks import drain_photos
from tests.factories import make_requirement, make_working_unit
from tests.pictures import saved, test_card, upload

# A language in each word, and signs that fonts like to lose.
NAMES = "Łódź Ñandú Čapek Søren Þór Ğüneş Ἀθήνα Ω µ ½ × – 5 °C"


def full_unit(*, by: User, circuits: int = 3, **fields: Any) -> Unit:
    unit = make_working_unit(by=by, number="SR-4", **fields)
    make_requirement(job=unit.job, number=1, text=f"Lights for {NAMES}")
    feed = unit.job.feeds.get()
    for number in range(2, circuits + 1):
        Circuit.objects.create(
            job=unit.job, feed=feed, ref=f"A-{number:02}", device_kind="fuse_blade",
            designation=f"Load number {number} with a name of some length", device_ma=10_000,
            awg="12", length_mm=3000, channel=str(number), label=f"A-{number:02}",
        )  # fmt: skip
    generate_checks(unit=unit, by=by)
    for kind, ref in (("ground", "G1"), ("connector", "X1"), ("route", "W1"), ("part", "P1")):
        place = add_place(
            unit=unit, by=by, kind=kind, ref=ref, name=f"Place {ref}", zone="roof",
            where="Left, behind the panel", hidden=True, circuits=list(unit.job.circuits.all()),
        )  # fmt: skip
        photo = store_photo(file=upload(f"{ref}.jpg", saved(test_card(ref))), by=by)
        add_place_photos(
            place=place, photos=[photo], caption=f"Photo of {ref}", for_customer=True, by=by
        )
        if kind == "connector":
            add_pins(place=place, rows=[{"number": "1", "function": "Supply"}], by=by)
    line = unit.job.lines.get()
    record_origin(unit=unit, by=by, kind="lot", line=line, value="L-1", on=date(2026, 1, 2))
    Serial.objects.create(unit=unit, line=line, serial="SN-1")
    Training.objects.create(unit=unit, name=NAMES, topics="Mast", on=date(2026, 1, 3), trainer="T")
    PunchItem.objects.create(unit=unit, text="Spare fuses")
    Shop.objects.update(address="14 Tidemill Road")
    previews()
    return Unit.objects.get(pk=unit.pk)


def previews() -> None:
    """What the worker does meanwhile."""
    drain_photos()


def fill_with(row: models.Model, text: str, *, but: tuple[str, ...] = ()) -> list[str]:
    """Put a text into every free text field of a row, as long as it may be; the fields' names."""
    filled = []
    for field in row._meta.fields:
        free = isinstance(field, models.CharField | models.TextField) and not field.choices
        if free and not field.unique and field.name not in but:
            setattr(row, field.name, text[: field.max_length or len(text)])
            filled.append(field.name)
    type(row).objects.filter(pk=row.pk).update(**{name: getattr(row, name) for name in filled})
    return filled
