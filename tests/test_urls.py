"""Who may use which address. Nothing is reachable that the matrix in url_roles.py does not name."""

import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import URLPattern, URLResolver, converters, get_resolver, reverse

from config.access import PUBLIC, ROLES
from tests.conftest import make_person
from tests.url_roles import EVERYBODY, URL_ROLES

# One plausible value for each kind of part that an address can have.
SAMPLES = {
    converters.IntConverter: 1,
    converters.StringConverter: "x",
    converters.SlugConverter: "x",
    converters.UUIDConverter: uuid.UUID(int=1),
    converters.PathConverter: "x",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Address:
    name: str
    view: Callable[..., object]
    kwargs: dict[str, object]

    @property
    def path(self) -> str:
        return reverse(self.name, kwargs=self.kwargs)

    @property
    def roles(self) -> frozenset[str] | None:
        return getattr(self.view, "allowed_roles", None)


def _walk(patterns: list, namespace: str = "", outer: dict | None = None) -> Iterator[Address]:
    for pattern in patterns:
        parts = {**(outer or {}), **pattern.pattern.converters}
        if isinstance(pattern, URLResolver):
            inner = f"{namespace}{pattern.namespace}:" if pattern.namespace else namespace
            yield from _walk(pattern.url_patterns, inner, parts)
        elif isinstance(pattern, URLPattern):
            kwargs = {key: SAMPLES.get(type(kind), "x") for key, kind in parts.items()}
            yield Address(name=f"{namespace}{pattern.name}", view=pattern.callback, kwargs=kwargs)


ADDRESSES = sorted(_walk(get_resolver().url_patterns), key=lambda address: address.name)
CLOSED = [address for address in ADDRESSES if address.roles not in (PUBLIC, None)]


def _line(address: Address) -> str:
    """The row of the matrix that this address would need."""
    roles = address.roles
    if roles == PUBLIC:
        words = "PUBLIC"
    elif roles == EVERYBODY:
        words = "EVERYBODY"
    else:
        words = f"only({', '.join(role.upper() for role in ROLES if role in roles)})"
    return f'    "{address.name}": {words},'


def test_every_view_carries_one_mark():
    assert [address.name for address in ADDRESSES if address.roles is None] == []


def test_the_matrix_names_every_address_and_its_roles():
    real = {address.name: address.roles for address in ADDRESSES if address.roles}
    wrong = [
        _line(address)
        for address in ADDRESSES
        if address.roles and URL_ROLES.get(address.name) != address.roles
    ]
    assert not wrong, "Put into tests/url_roles.py:\n" + "\n".join(wrong)
    gone = sorted(URL_ROLES.keys() - real.keys())
    assert not gone, f"Take out of tests/url_roles.py: {gone}"


def test_url_name_is_the_name_of_its_view():
    odd = [
        f"{address.name} -> {address.view.__name__}"
        for address in ADDRESSES
        if address.name.rpartition(":")[2] != address.view.__name__
    ]
    assert odd == []


def test_no_view_takes_a_method_it_does_not_know(client: Client, shop):
    """Refused before anything is looked up: nothing behind these addresses exists."""
    client.force_login(make_person("all", *ROLES))
    taken = [
        f"{address.name} answers {answer.status_code}"
        for address in ADDRESSES
        if (answer := client.delete(address.path)).status_code != 405
    ]
    assert taken == []


def test_no_form_is_taken_from_another_site(shop):
    """Public pages included: each POST without the token of its page is refused."""
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(make_person("all", *ROLES))
    taken = [
        f"{address.name} answers {answer.status_code}"
        for address in ADDRESSES
        if (answer := strict.post(address.path)).status_code != 403
    ]
    assert taken == []


def test_no_name_is_used_twice():
    names = [address.name for address in ADDRESSES]
    assert sorted(set(names)) == names


@pytest.mark.parametrize("address", CLOSED, ids=lambda address: address.name)
def test_signed_out_people_are_sent_to_sign_in(client: Client, shop, address: Address):
    for answer in (client.get(address.path), client.post(address.path)):
        assert answer.status_code == 302
        assert answer.url.startswith(reverse("jobs:sign_in"))


@pytest.fixture
def nobody(shop) -> User:
    return make_person("nora")


@pytest.fixture
def of_one_role(shop) -> dict[str, User]:
    return {role: make_person(f"only_{role}", role) for role in ROLES}


@pytest.mark.parametrize("address", CLOSED, ids=lambda address: address.name)
def test_a_wrong_role_is_refused(
    client: Client, nobody: User, of_one_role: dict[str, User], address: Address
):
    """Whichever method the view takes, people without the role get 403 before anything is read."""
    strangers = [nobody] + [of_one_role[role] for role in ROLES if role not in address.roles]
    for person in strangers:
        client.force_login(person)
        answers = {client.get(address.path).status_code, client.post(address.path).status_code}
        assert 403 in answers and answers <= {403, 405}, f"{person}: {answers}"


def test_a_right_role_is_let_in(client: Client, of_one_role: dict[str, User]):
    """The marks do not only refuse: each role opens the start page and its own account."""
    for person in of_one_role.values():
        client.force_login(person)
        assert client.get(reverse("inspections:my_day")).status_code == 200
        assert client.get(reverse("jobs:own_account")).status_code == 200
