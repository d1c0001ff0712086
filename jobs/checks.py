"""What "manage.py check" finds about this installation. Each message says what to do about it."""

import sqlite3
import stat
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Warning, register
from django.db import connection

INSTALLATION = "installation"
FIXED_SQLITE = (3, 51, 3)
NETWORK_FILE_SYSTEMS = {"nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "fuse.sshfs", "afs"}
LOCAL_HOSTS = {"localhost", "127.0.0.1", "::1"}


def _on_sqlite() -> bool:
    return connection.vendor == "sqlite"


def _old_sqlite(kind: type[CheckMessage], name: str) -> list[CheckMessage]:
    if not _on_sqlite() or sqlite3.sqlite_version_info >= FIXED_SQLITE or settings.OLD_SQLITE_OK:
        return []
    return [
        kind(
            f"SQLite is {sqlite3.sqlite_version}; it should be 3.51.3 or newer, because older ones "
            "can, very rarely, damage a database that two processes write at the same time.",
            hint="Install the pysqlite3 wheel or a newer Python, set DATABASE_URL to PostgreSQL, "
            "or accept the risk with OLD_SQLITE_OK=1 and keep backups.",
            id=name,
        )
    ]


@register(INSTALLATION)
def sqlite_is_fixed(**_: Any) -> list[CheckMessage]:
    """A first look at the program should not fail over it, so this one only warns."""
    return _old_sqlite(Warning, "jobs.W001")


@register(INSTALLATION, deploy=True)
def sqlite_is_fixed_where_it_counts(**_: Any) -> list[CheckMessage]:
    return _old_sqlite(Error, "jobs.E001")


def mount_type(path: Path, mounts: str) -> str:
    """The file system a path lies on, read from the text of /proc/mounts."""
    best, found = "", ""
    for line in mounts.splitlines():
        fields = line.split()
        if len(fields) < 3:
            continue
        folder = fields[1].encode().decode("unicode_escape")  # blanks are written \040
        inside = path == Path(folder) or Path(folder) in path.parents
        if inside and len(folder) >= len(best):
            best, found = folder, fields[2]
    return found


@register(INSTALLATION)
def database_is_on_this_machine(**_: Any) -> list[CheckMessage]:
    mounts = Path("/proc/mounts")
    if not _on_sqlite() or not mounts.exists():
        return []
    kind = mount_type(settings.DATA_DIR, mounts.read_text())
    if kind not in NETWORK_FILE_SYSTEMS:
        return []
    return [
        Warning(
            f"DATA_DIR {settings.DATA_DIR} is on a network file system ({kind}), whose locks "
            "SQLite cannot trust.",
            hint="Keep DATA_DIR on a local disk, or set DATABASE_URL to PostgreSQL.",
            id="jobs.W002",
        )
    ]


@register(INSTALLATION)
def secret_key_is_private(**_: Any) -> list[CheckMessage]:
    path = settings.DATA_DIR / "secret_key"
    if not path.exists() or not path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO):
        return []
    return [
        Warning(
            f"{path} can be read by other accounts of this machine; it signs every session.",
            hint=f"Run: chmod 600 {path}",
            id="jobs.W003",
        )
    ]


@register(INSTALLATION)
def address_is_private_or_encrypted(**_: Any) -> list[CheckMessage]:
    if settings.HTTPS or settings.PUBLIC_HOST in LOCAL_HOSTS:
        return []
    return [
        Warning(
            f"PUBLIC_URL is {settings.PUBLIC_URL}: passphrases and customer links travel "
            "unencrypted, and tablets cannot keep work offline.",
            hint="Serve it over https (a proxy, or GUNICORN_CMD_ARGS with a certificate).",
            id="jobs.W004",
        )
    ]


@register(INSTALLATION)
def debug_stays_at_home(**_: Any) -> list[CheckMessage]:
    if not settings.DEBUG or settings.PUBLIC_HOST in LOCAL_HOSTS:
        return []
    return [
        Error(
            f"DEBUG is on for {settings.PUBLIC_URL}: error pages would show settings to anybody.",
            hint="Unset DEBUG.",
            id="jobs.E005",
        )
    ]
