"""Each check of the installation: what it says, and when it stays silent."""

import sqlite3
import sys
from pathlib import Path

import pytest

from jobs import checks

MOUNTS = """\
/dev/sda1 / ext4 rw 0 0
server:/shop /srv nfs4 rw 0 0
/dev/sdb1 /srv/local ext4 rw 0 0
//nas/share /mnt/shop\\040data cifs rw 0 0
"""


@pytest.fixture(autouse=True)
def on_sqlite(monkeypatch, settings) -> None:
    monkeypatch.setattr(checks, "_on_sqlite", lambda: True)
    settings.OLD_SQLITE_OK = False


@pytest.mark.parametrize(
    ("version", "found"), [((3, 51, 2), ["jobs.W001"]), ((3, 51, 3), []), ((3, 53, 0), [])]
)
def test_sqlite_is_fixed_from_3_51_3(monkeypatch, version: tuple, found: list[str]) -> None:
    monkeypatch.setattr(sqlite3, "sqlite_version_info", version)
    assert [one.id for one in checks.sqlite_is_fixed()] == found


def test_old_sqlite_is_an_error_for_deployment(monkeypatch) -> None:
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 40, 1))
    assert [one.id for one in checks.sqlite_is_fixed_where_it_counts()] == ["jobs.E001"]


def test_old_sqlite_can_be_accepted(monkeypatch, settings) -> None:
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 40, 1))
    settings.OLD_SQLITE_OK = True
    assert checks.sqlite_is_fixed_where_it_counts() == []


def test_sqlite_does_not_matter_on_postgres(monkeypatch) -> None:
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 40, 1))
    monkeypatch.setattr(checks, "_on_sqlite", lambda: False)
    assert checks.sqlite_is_fixed() == []


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux has a wheel with the fix")
def test_this_suite_runs_on_a_fixed_sqlite() -> None:
    assert checks.sqlite_is_fixed() == []


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/home/shop", "ext4"),
        ("/srv/shop", "nfs4"),
        ("/srv", "nfs4"),
        ("/srv/local/shop", "ext4"),
        ("/srvs/shop", "ext4"),
        ("/mnt/shop data/var", "cifs"),
    ],
)
def test_mount_type_takes_the_nearest_mount(path: str, kind: str) -> None:
    assert checks.mount_type(Path(path), MOUNTS) == kind


def test_database_is_on_this_machine_warns_on_a_network_disk(monkeypatch) -> None:
    monkeypatch.setattr(checks, "mount_type", lambda path, mounts: "nfs4")
    found = checks.database_is_on_this_machine()
    assert [one.id for one in found] == ["jobs.W002"]


@pytest.mark.parametrize(("mode", "found"), [(0o600, 0), (0o640, 1), (0o604, 1)])
def test_secret_key_is_private(settings, tmp_path: Path, mode: int, found: int) -> None:
    settings.DATA_DIR = tmp_path
    key = tmp_path / "secret_key"
    key.write_text("x" * 50)
    key.chmod(mode)
    assert len(checks.secret_key_is_private()) == found


@pytest.mark.parametrize(
    ("https", "host", "found"),
    [(True, "shop.example", 0), (False, "localhost", 0), (False, "192.168.1.5", 1)],
)
def test_address_is_private_or_encrypted(settings, https: bool, host: str, found: int) -> None:
    settings.HTTPS, settings.PUBLIC_HOST = https, host
    assert len(checks.address_is_private_or_encrypted()) == found


@pytest.mark.parametrize(
    ("debug", "host", "found"),
    [(True, "127.0.0.1", 0), (True, "shop.example", 1), (False, "shop.example", 0)],
)
def test_debug_stays_at_home(settings, debug: bool, host: str, found: int) -> None:
    settings.DEBUG, settings.PUBLIC_HOST = debug, host
    assert len(checks.debug_stays_at_home()) == found
