"""Writing files so that they are whole or absent, also after a power cut."""

import hashlib
import os
import shutil
import tempfile
import time
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

UNFINISHED = ".new-"
# The second is how the framework names an upload that is still arriving.
HALF_WRITTEN = (f"{UNFINISHED}*", "*.upload*")


def write_temporary(folder: Path, chunks: Iterable[bytes | memoryview]) -> tuple[Path, str]:
    """Write chunks to a new file in the folder, forced to disk. Returns its path and SHA-256."""
    folder.mkdir(parents=True, exist_ok=True)
    digest = hashlib.sha256()
    handle, name = tempfile.mkstemp(prefix=UNFINISHED, dir=folder)
    path = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            for chunk in chunks:
                digest.update(chunk)
                file.write(chunk)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        path.unlink(missing_ok=True)
        raise
    return path, digest.hexdigest()


def move_into_place(temporary: Path, path: Path) -> None:
    """Rename and force the folder entry to disk, so that the name survives a power cut too."""
    path.parent.mkdir(parents=True, exist_ok=True)
    temporary.replace(path)
    _force_folder(path.parent)


def keep_first(temporary: Path, path: Path) -> bool:
    """Give the file its name unless that is taken. Of two writers at once exactly one is first."""
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.link(temporary, path)
    except FileExistsError:
        return False
    except OSError:  # a file system without second names for a file
        if path.exists():
            return False
        temporary.replace(path)
    finally:
        temporary.unlink(missing_ok=True)
    _force_folder(path.parent)
    return True


def _force_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sha256_of(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def clear_half_written(*folders: Path, older_than_seconds: float = 24 * 3600) -> None:
    """Remove what killed processes left behind while writing. Young ones may still be written."""
    before = time.time() - older_than_seconds
    for path in (one for folder in folders for name in HALF_WRITTEN for one in folder.glob(name)):
        with suppress(FileNotFoundError):  # its writer finished after all
            if path.stat().st_mtime > before:
                continue
            if path.is_dir():
                shutil.rmtree(path)
            else:
                path.unlink()
