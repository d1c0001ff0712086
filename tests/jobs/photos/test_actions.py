"""Taking photos in: stored once, untouched, before anybody is told that they are saved."""

import hashlib
from pathlib import Path

import pytest

from jobs.photos.actions import PhotoError, store_photo, store_photos
from jobs.photos.files import original_path
from jobs.photos.models import Photo
from tests import pictures
from tests.pictures import upload, upload_from_disk


def files_under(folder: str) -> list[Path]:
    return [path for path in Path(folder).rglob("*") if path.is_file()]


def test_original_is_kept_byte_for_byte(technician, settings) -> None:
    data = pictures.turned_jpeg(6)
    photo = store_photo(file=upload("van.jpg", data), by=technician)
    sha256 = hashlib.sha256(data).hexdigest()
    path = Path(settings.EVIDENCE_DIR) / sha256[:2] / sha256
    assert path.read_bytes() == data
    assert files_under(settings.EVIDENCE_DIR) == [path]
    assert (photo.sha256, photo.size_bytes, photo.media_type) == (sha256, len(data), "image/jpeg")
    assert (photo.width, photo.height) == (1200, 800)
    assert (photo.original_name, photo.uploaded_by) == ("van.jpg", technician)
    assert photo.preview == Photo.Preview.QUEUED


def test_upload_on_disk_is_kept_the_same(technician) -> None:
    data = pictures.noisy_jpeg((1500, 1000))
    photo = store_photo(file=upload_from_disk("van.jpg", data), by=technician)
    assert original_path(photo.sha256).read_bytes() == data


def test_same_photo_twice_is_one_photo(technician, manager) -> None:
    data = pictures.jpeg()
    first = store_photo(file=upload("a.jpg", data), by=technician)
    before = original_path(first.sha256).stat()
    second = store_photo(file=upload("b.jpg", data), by=manager)
    after = original_path(first.sha256).stat()
    assert second.pk == first.pk
    assert second.original_name == "a.jpg"
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_original_cannot_be_written_again(technician) -> None:
    photo = store_photo(file=upload("a.jpg", pictures.jpeg()), by=technician)
    assert original_path(photo.sha256).stat().st_mode & 0o222 == 0


def test_damaged_copy_is_never_covered_up(technician) -> None:
    data = pictures.jpeg()
    photo = store_photo(file=upload("a.jpg", data), by=technician)
    path = original_path(photo.sha256)
    path.chmod(0o640)
    path.write_bytes(data[:-1] + b"X")
    with pytest.raises(
        PhotoError, match=r"photo 'a\.jpg' was stored before, but that copy is damaged"
    ):
        store_photo(file=upload("a.jpg", data), by=technician)
    assert path.read_bytes() == data[:-1] + b"X"


def test_refused_photo_leaves_nothing_behind(technician, settings) -> None:
    with pytest.raises(PhotoError, match=r"photo 'x\.jpg' is 0 bytes; at least 64"):
        store_photo(file=upload("x.jpg", b""), by=technician)
    assert Photo.objects.count() == 0
    assert files_under(settings.EVIDENCE_DIR) == []


def test_broken_upload_leaves_nothing_behind(technician, settings) -> None:
    file = upload("x.jpg", pictures.jpeg())

    def chunks(size: int):
        yield b"\xff\xd8"
        raise OSError("the tablet went away")

    file.chunks = chunks
    with pytest.raises(OSError, match="went away"):
        store_photo(file=file, by=technician)
    assert Photo.objects.count() == 0
    assert files_under(settings.EVIDENCE_DIR) == []


def test_several_photos_keep_their_order(technician) -> None:
    files = [upload(f"{text}.jpg", pictures.jpeg(text)) for text in ("one", "two", "three")]
    photos = store_photos(files=files, by=technician)
    assert [photo.original_name for photo in photos] == ["one.jpg", "two.jpg", "three.jpg"]


def test_name_that_is_too_long_is_cut(technician) -> None:
    photo = store_photo(file=upload("x" * 90 + ".jpg", pictures.jpeg()), by=technician)
    photo.refresh_from_db()
    assert photo.original_name.endswith(".jpg")
