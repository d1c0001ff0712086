"""A unit with many checks of every sort and people to check it, for tests of the bay."""

from dataclasses import dataclass
from decimal import Decimal

from django.conf import settings
from django.contrib.auth.models import User
from django.test import Client

from config.access import INSPECTOR, MANAGER, TECHNICIAN
from inspections.models import Check
from jobs.models import Shop, Stage, Unit
from tests.conftest import make_person
from tests.factories import make_instrument, make_job, make_unit

STAGE = "S9"


@dataclass(frozen=True, kw_only=True, slots=True)
class BayRows:
    unit: Unit
    people: list[User]

    @property
    def checks_path(self) -> str:
        return f"/jobs/{self.unit.job.number}/units/{self.unit.number}/checks/"


def seed_bay(*, checks: int = 60, photos: int = 20, people: int = 8) -> BayRows:
    """Every third check with a photo, every third a reading, until the numbers are reached."""
    Shop.objects.get_or_create(
        pk=1, defaults={"name": "Test Works", "labour_rate_cents": 11_800, "supplies_bp": 300}
    )
    make_instrument(asset="DM-7")
    unit = make_unit(job=make_job(number="J-0060"), number="U-60")
    stage = Stage.objects.create(unit=unit, code=STAGE, name="Final checks", position=1)
    Check.objects.bulk_create(
        _check(unit, stage, place, photos=photos) for place in range(1, checks + 1)
    )
    first = make_person("mona", MANAGER, first="Mona", last="Ash")
    rest = [
        make_person(f"bay{place}", TECHNICIAN, INSPECTOR, first=f"Bay{place}", last="Elm")
        for place in range(1, people + 1)
    ]
    return BayRows(unit=unit, people=[*rest, first])


def _check(unit: Unit, stage: Stage, place: int, *, photos: int) -> Check:
    reading = place % 3 == 2
    return Check(
        unit=unit,
        stage=stage,
        ref=f"C-{place:02d}",
        key=f"bay/{place}",
        position=place,
        title=f"Function {place}",
        area=("Roof", "Cab", "Engine space", "Rear")[place * 4 // 61],
        instruction="Switch it on and look.",
        kind=Check.Kind.READING if reading else Check.Kind.VISUAL,
        unit_of_measure="V" if reading else "",
        low=Decimal("12.6") if reading else None,
        high=Decimal("14.4") if reading else None,
        expected_text="12.6 to 14.4 V" if reading else "Works, no other function reacts",
        tolerance_source="Common practice, no source",
        photo_required=place % 3 == 0 and place // 3 <= photos,
    )


def session_of(person: User) -> str:
    """The key of a new session, as the sign-in page would give it."""
    client = Client()
    client.force_login(person)
    return str(client.cookies[settings.SESSION_COOKIE_NAME].value)
