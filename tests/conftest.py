"""What every test may use: the shop, its people, the append-only guard, a real browser."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.contrib.auth.models import Group, User
from hypothesis import settings as hypothesis_settings
from pytest_django.plugin import blocking_manager_key

import config.celery  # noqa: F401 (what is queued goes to this application)
from config.access import DESIGNER, INSPECTOR, MANAGER, ROLES, TECHNICIAN
from jobs.audit.append_only import guard_tables
from jobs.models import Shop

pytest_plugins = ["tests.browser", "tests.running", "tests.services"]

# A busy machine is no reason to fail a law.
hypothesis_settings.register_profile("shop", deadline=None)
hypothesis_settings.load_profile("shop")

# Playwright's event loop makes Django believe that it runs inside async code.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings_parallel_suffix: None, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """SQLite on disk, as in a shop: each thread of the live server opens its own connection.

    In memory all threads would share one, which this SQLite module does not allow: it crashes.
    """
    database = settings.DATABASES["default"]
    if database["ENGINE"] == "django.db.backends.sqlite3":
        database["TEST"]["NAME"] = str(tmp_path_factory.mktemp("database") / "test.sqlite3")


@pytest.fixture(autouse=True)
def own_folders(settings, tmp_path: Path) -> None:
    """Files of one test stay in its own folder; hashed static names need no collectstatic."""
    settings.EVIDENCE_DIR = tmp_path / "evidence"
    settings.PREVIEW_DIR = tmp_path / "previews"
    settings.DOCUMENT_DIR = tmp_path / "documents"
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def guard(*, up: bool) -> None:
    """Put the append-only guards up or take them down, as the migrations do."""
    for app in ("jobs", "inspections"):
        guard_tables(tables=apps.get_app_config(app).append_only, up=up)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_teardown(item: pytest.Item) -> Iterator[None]:
    """The guard is off only while the tables of a test with real commits are emptied."""
    if not commits(item):
        return (yield)
    with item.config.stash[blocking_manager_key].unblock():
        guard(up=False)
    try:
        return (yield)
    finally:
        with item.config.stash[blocking_manager_key].unblock():
            guard(up=True)


def commits(item: pytest.Item) -> bool:
    marker = item.get_closest_marker("django_db")
    fixtures = getattr(item, "fixturenames", ())
    return bool(
        (marker and marker.kwargs.get("transaction"))
        or {"transactional_db", "live_server"}.intersection(fixtures)
    )


@pytest.fixture
def append_only(transactional_db) -> None:
    """For tests with real commits."""


@pytest.fixture
def shop(db) -> Shop:
    return Shop.objects.create(
        id=1, name="Test Works", labour_rate_cents=11_800, supplies_bp=300, phone="555 0100"
    )


def make_person(username: str, *roles: str, first: str = "", last: str = "") -> User:
    user = User.objects.create_user(
        username, password="a long test phrase", first_name=first, last_name=last
    )
    for role in roles:
        user.groups.add(Group.objects.get_or_create(name=role)[0])
    return user


@pytest.fixture
def manager(shop) -> User:
    return make_person("mona", MANAGER, first="Mona", last="Ash")


@pytest.fixture
def designer(shop) -> User:
    return make_person("dan", DESIGNER, first="Dan", last="Birch")


@pytest.fixture
def technician(shop) -> User:
    return make_person("tess", TECHNICIAN, first="Tess", last="Cedar")


@pytest.fixture
def other_technician(shop) -> User:
    return make_person("theo", TECHNICIAN, first="Theo", last="Dogwood")


@pytest.fixture
def inspector(shop) -> User:
    return make_person("ines", INSPECTOR, first="Ines", last="Elm")


@pytest.fixture
def owner(shop) -> User:
    """A sole trader: every role in one person."""
    return make_person("olga", *ROLES, first="Olga", last="Fir")


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    return {
        **browser_type_launch_args,
        "executable_path": chromium,
        "args": [
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
        ],
    }
