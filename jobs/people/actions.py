"""What happens to the shop and its people. Every change is told in the history."""

from collections.abc import Iterable

from django.contrib.auth.models import Group, User
from django.db import IntegrityError, transaction

from config.access import MANAGER, ROLE_NAMES, ROLES
from jobs.audit.record import display_name, record
from jobs.people.models import Shop


class PeopleError(Exception):
    """A sentence for the person who asked."""


def active_managers() -> int:
    return User.objects.filter(groups__name=MANAGER, is_active=True).count()


def _set_roles(person: User, roles: Iterable[str]) -> None:
    person.groups.set(Group.objects.filter(name__in=list(roles)))


def role_words(roles: Iterable[str]) -> str:
    held = set(roles)
    return ", ".join(ROLE_NAMES[role] for role in ROLES if role in held) or "no role"


@transaction.atomic
def open_shop(*, shop_name: str, full_name: str, username: str, passphrase: str) -> User:
    """Make the shop, the roles and the first account, which holds all of them. Works once."""
    try:
        with transaction.atomic():
            shop = Shop.objects.create(id=1, name=shop_name)
    except IntegrityError:
        raise PeopleError("This shop is open already. Sign in instead.") from None
    Group.objects.bulk_create([Group(name=role) for role in ROLES], ignore_conflicts=True)
    person = User.objects.create_user(username, password=passphrase, first_name=full_name)
    _set_roles(person, ROLES)
    record(by=person, verb="opened", subject=shop, sentence=f"Opened the shop {shop.name}.")
    return person


@transaction.atomic
def add_person(
    *, full_name: str, username: str, email: str, roles: Iterable[str], passphrase: str, by: User
) -> User:
    roles = list(roles)
    person = User.objects.create_user(
        username, email=email, password=passphrase, first_name=full_name
    )
    _set_roles(person, roles)
    record(
        by=by,
        verb="added",
        subject=person,
        sentence=f"Added {full_name} ({username}) as {role_words(roles)}.",
    )
    return person


@transaction.atomic
def change_person(
    *,
    person: User,
    full_name: str,
    username: str,
    email: str,
    roles: Iterable[str],
    is_active: bool,
    by: User,
) -> User:
    """Change name, roles and access together. The shop always keeps one active manager."""
    # Two managers who remove each other at once wait here for one another.
    Group.objects.select_for_update().get(name=MANAGER)
    roles = list(roles)
    person.first_name, person.last_name = full_name, ""
    person.username, person.email, person.is_active = username, email, is_active
    person.save(update_fields=["first_name", "last_name", "username", "email", "is_active"])
    _set_roles(person, roles)
    if not active_managers():
        raise PeopleError(
            f"{full_name} is the last active office manager. Give that role to somebody else first."
        )
    access = "may sign in" if is_active else "may not sign in"
    record(
        by=by,
        verb="changed",
        subject=person,
        sentence=f"Changed {full_name} ({username}): {role_words(roles)}, {access}.",
    )
    return person


@transaction.atomic
def set_passphrase(*, person: User, passphrase: str, by: User) -> None:
    """A new passphrase also ends the person's other sessions."""
    person.set_password(passphrase)
    person.save(update_fields=["password"])
    own = by.pk == person.pk
    whose = "their own passphrase" if own else f"the passphrase of {display_name(person)}"
    record(by=by, verb="changed", subject=person, sentence=f"Changed {whose}.")


@transaction.atomic
def change_shop(*, shop: Shop, changed: Iterable[str], by: User) -> None:
    """Save the fields named in `changed`; the instance already holds the new values."""
    fields = list(changed)
    if not fields:
        return
    shop.save(update_fields=fields)
    words = ", ".join(str(Shop._meta.get_field(name).verbose_name) for name in fields)
    record(by=by, verb="changed", subject=shop, sentence=f"Changed the shop's {words}.")
