"""Enrolling tablets, setting PINs, and taking a tablet over. Guessing is slow and then ends."""

import secrets
from datetime import timedelta
from hashlib import sha256

from django.contrib.auth.hashers import check_password, make_password
from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.db.models import Case, F, Q, When
from django.http import HttpRequest
from django.utils import timezone

from jobs.audit.record import display_name, record
from jobs.people.actions import PeopleError
from jobs.people.tablet_models import QuickPin, Tablet

COOKIE = "tablet"
# In a session that a PIN opened: on which tablet.
BY_PIN = "by_pin"
SHIFT_SECONDS = 12 * 3600
# Wrong tries in a row before a PIN rests, and before it is taken away.
TRIES, LAST_TRY = 5, 10
TABLET_TRIES = 15
REST = timedelta(minutes=15)
LONGEST_KEY = 100


def tablet_of(request: HttpRequest) -> Tablet | None:
    """The enrolled tablet that this request comes from."""
    key = request.COOKIES.get(COOKIE, "")
    if not key or len(key) > LONGEST_KEY:
        return None
    digest = sha256(key.encode()).hexdigest()
    return Tablet.objects.filter(key_sha256=digest, revoked_at=None).first()


def device_words(request: HttpRequest) -> str:
    """What an entry was made on, for the record: the tablet's name, else the browser's system."""
    if tablet := tablet_of(request):
        return f"Tablet {tablet}"
    agent = request.headers.get("User-Agent", "")
    system = agent.partition("(")[2].partition(")")[0].split(";")[0].strip()
    return f"Browser on {system}"[:60] if system.isprintable() and system else ""


@transaction.atomic
def enrol_tablet(*, name: str, by: User) -> tuple[Tablet, str]:
    """A new tablet and the key that the device keeps. The key is shown to nobody."""
    key = secrets.token_urlsafe(32)
    try:
        with transaction.atomic():
            tablet = Tablet.objects.create(
                name=name, key_sha256=sha256(key.encode()).hexdigest(), enrolled_by=by
            )
    except IntegrityError:
        raise PeopleError(f"A tablet is called {name} already. Choose another name.") from None
    record(by=by, verb="enrolled", subject=tablet, sentence=f"Enrolled the tablet {name}.")
    return tablet, key


@transaction.atomic
def revoke_tablet(*, tablet: Tablet, by: User) -> None:
    """No PIN counts on it from now on, for example because it was lost."""
    changed = Tablet.objects.filter(pk=tablet.pk, revoked_at=None).update(
        revoked_at=timezone.now(), revoked_by=by
    )
    if not changed:
        raise PeopleError(f"{tablet} is withdrawn already.")
    record(by=by, verb="withdrew", subject=tablet, sentence=f"Withdrew the tablet {tablet}.")


@transaction.atomic
def set_pin(*, person: User, pin: str) -> None:
    QuickPin.objects.update_or_create(
        person=person,
        defaults={"pin": make_password(pin), "failures": 0, "locked_until": None},
    )
    words = f"{display_name(person)} set a PIN for tablets."
    record(by=person, verb="changed", subject=person, sentence=words)


@transaction.atomic
def remove_pin(*, person: User) -> None:
    if QuickPin.objects.filter(person=person).delete()[0]:
        words = f"{display_name(person)} removed the PIN for tablets."
        record(by=person, verb="changed", subject=person, sentence=words)


def is_withdrawn(tablet_id: object) -> bool:
    return not Tablet.objects.filter(pk=tablet_id, revoked_at=None).exists()


def people_of(tablet: Tablet) -> list[User]:
    """Who can take the tablet over: active people of the shop with a PIN."""
    people = User.objects.filter(is_active=True, quick_pin__isnull=False, groups__isnull=False)
    return list(people.distinct().order_by("first_name", "last_name", "username"))


def check_pin(*, tablet: Tablet, person: User, typed: str) -> None:
    """Raise PeopleError unless the PIN is right. Each try is counted before it is compared.

    Counting and resting are one statement, so that guesses at the same moment win no further try.
    """
    now = timezone.now()
    until = now + REST
    rested = Q(locked_until=None) | Q(locked_until__lte=now)
    counted = F("failures") + 1
    if not Tablet.objects.filter(rested, pk=tablet.pk, revoked_at=None).update(failures=counted):
        raise PeopleError(f"Too many wrong PINs on {tablet}. Wait 15 minutes, or sign in.")
    rest = Case(When(failures=TRIES - 1, then=until), default=F("locked_until"))
    open_pins = QuickPin.objects.filter(rested, person=person, failures__lt=LAST_TRY)
    changed = open_pins.update(failures=counted, locked_until=rest)
    pin = QuickPin.objects.filter(person=person).first()
    if not changed or pin is None:
        raise PeopleError(f"The PIN of {display_name(person)} rests. Wait 15 minutes, or sign in.")
    if check_password(typed, pin.pin):
        QuickPin.objects.filter(pk=pin.pk).update(failures=0, locked_until=None)
        Tablet.objects.filter(pk=tablet.pk).update(failures=0, locked_until=None)
        return
    _rest(tablet, pin, person, until)
    raise PeopleError("This is not the PIN. Nobody was switched.")


def _rest(tablet: Tablet, pin: QuickPin, person: User, until: object) -> None:
    """After too many wrong tries the PIN is gone, and the tablet rests."""
    if pin.failures >= LAST_TRY:
        pin.delete()
        words = f"The PIN of {display_name(person)} was taken away after {LAST_TRY} wrong tries."
        record(by=None, verb="changed", subject=person, sentence=f"{words} On {tablet}.")
        raise PeopleError(f"{words} Sign in with the passphrase and set a new one.")
    full = Tablet.objects.filter(pk=tablet.pk, failures__gte=TABLET_TRIES)
    full.update(locked_until=until, failures=0)
