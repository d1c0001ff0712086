"""Files are whole or absent."""

import hashlib
import os
import time
from pathlib import Path

import pytest

from jobs.background.files import (
    clear_half_written,
    keep_first,
    move_into_place,
    sha256_of,
    write_temporary,
)


def test_temporary_file_knows_its_hash(tmp_path: Path) -> None:
    path, sha256 = write_temporary(tmp_path / "new", [b"one", b"two"])
    assert path.read_bytes() == b"onetwo"
    assert sha256 == hashlib.sha256(b"onetwo").hexdigest() == sha256_of(path)


def test_broken_source_leaves_no_file(tmp_path: Path) -> None:
    def chunks():
        yield b"one"
        raise OSError("gone")

    with pytest.raises(OSError, match="gone"):
        write_temporary(tmp_path, chunks())
    assert list(tmp_path.iterdir()) == []


def test_file_is_moved_whole(tmp_path: Path) -> None:
    temporary, _ = write_temporary(tmp_path, [b"data"])
    move_into_place(temporary, tmp_path / "ab" / "name")
    assert (tmp_path / "ab" / "name").read_bytes() == b"data"
    assert not temporary.exists()


def test_first_file_keeps_its_name(tmp_path: Path) -> None:
    path = tmp_path / "ab" / "name"
    assert keep_first(write_temporary(tmp_path, [b"first"])[0], path)
    assert not keep_first(write_temporary(tmp_path, [b"second"])[0], path)
    assert path.read_bytes() == b"first"
    assert [file for file in tmp_path.rglob("*") if file.is_file()] == [path]


def test_bytes_and_folder_entry_are_forced_to_disk(tmp_path: Path, monkeypatch) -> None:
    forced, real = [], os.fsync

    def fsync(number: int) -> None:
        forced.append(Path(f"/proc/self/fd/{number}").readlink())
        real(number)

    monkeypatch.setattr(os, "fsync", fsync)
    temporary, _ = write_temporary(tmp_path, [b"data"])
    move_into_place(temporary, tmp_path / "ab" / "name")
    assert forced == [temporary, tmp_path / "ab"]


def test_what_killed_writers_left_is_cleared(tmp_path: Path) -> None:
    old, young, kept, folder = (tmp_path / n for n in (".new-old", ".new-young", "kept", ".new-f"))
    upload = tmp_path / "tmpk3x9.upload.jpg"
    for path in (old, young, kept, upload):
        path.write_bytes(b"x")
    folder.mkdir()
    (folder / "large").write_bytes(b"x")
    day_before = time.time() - 25 * 3600
    for path in (old, kept, folder, upload):
        os.utime(path, (day_before, day_before))
    clear_half_written(tmp_path, tmp_path / "nowhere")
    assert sorted(path.name for path in tmp_path.iterdir()) == [".new-young", "kept"]
