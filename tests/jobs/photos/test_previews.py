"""The queue of previews: nothing is made twice at once, nothing is forgotten."""

from datetime import timedelta

import pytest
from django.db.models.functions import Now
from django.utils import timezone

from jobs.photos.actions import store_photo
from jobs.photos.files import (
    LARGE,
    SMALL,
    DamagedFileError,
    original_path,
    paper_path,
    preview_path,
)
from jobs.photos.models import Photo
from jobs.photos.previews import (
    MOST_ATTEMPTS,
    claim_photo,
    make_preview,
    preview_digests,
    print_bytes,
    release_all,
)
from jobs.photos.tasks import drain_photos
from tests import pictures
from tests.pictures import upload


@pytest.fixture
def photo(technician) -> Photo:
    return store_photo(file=upload("van.jpg", pictures.jpeg()), by=technician)


def test_worker_makes_both_previews(photo: Photo) -> None:
    drain_photos()
    photo.refresh_from_db()
    assert (photo.preview, photo.error, photo.lease_until) == (Photo.Preview.READY, "", None)
    assert preview_path(photo.sha256, LARGE).is_file()
    assert preview_path(photo.sha256, SMALL).is_file()


def test_claimed_photo_is_not_claimed_again(photo: Photo) -> None:
    assert claim_photo() == photo
    assert claim_photo() is None


def test_photo_of_a_dead_worker_is_claimed_again(photo: Photo) -> None:
    claim_photo()
    Photo.objects.update(lease_until=Now() - timedelta(seconds=1))
    again = claim_photo()
    assert again == photo
    assert again.preview_attempts == 2


def test_starting_worker_takes_over_at_once(photo: Photo) -> None:
    claim_photo()
    release_all()
    assert claim_photo() == photo


def test_photo_that_cannot_be_decoded_is_kept_and_says_so(technician) -> None:
    data = pictures.half_jpeg()
    photo = store_photo(file=upload("half.jpg", data), by=technician)
    drain_photos()
    photo.refresh_from_db()
    assert photo.preview == Photo.Preview.FAILED
    assert "cannot be decoded" in photo.error
    assert original_path(photo.sha256).read_bytes() == data
    assert not preview_path(photo.sha256, LARGE).exists()


def test_photo_whose_original_was_changed_gets_no_preview(photo: Photo) -> None:
    damage(photo)
    drain_photos()
    photo.refresh_from_db()
    assert photo.preview == Photo.Preview.FAILED
    assert "was changed on disk" in photo.error


def test_photo_that_ends_workers_is_given_up(photo: Photo) -> None:
    Photo.objects.update(preview_attempts=MOST_ATTEMPTS)
    drain_photos()
    photo.refresh_from_db()
    assert photo.error == f"no preview after {MOST_ATTEMPTS} attempts"


def test_worker_that_was_replaced_changes_nothing(photo: Photo) -> None:
    slow = claim_photo()
    Photo.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    claim_photo()
    make_preview(slow)
    photo.refresh_from_db()
    assert photo.preview == Photo.Preview.QUEUED


def test_a_document_does_not_wait_for_the_queue(photo: Photo) -> None:
    digests = preview_digests([photo.sha256])
    assert print_bytes(photo.sha256, digests[photo.sha256]).startswith(b"\xff\xd8")
    photo.refresh_from_db()
    assert photo.preview == Photo.Preview.READY


def test_previews_that_were_cleared_away_are_made_again(photo: Photo) -> None:
    drain_photos()
    before = preview_digests([photo.sha256])
    preview_path(photo.sha256, LARGE).unlink()
    assert preview_digests([photo.sha256]) == before
    assert preview_path(photo.sha256, LARGE).is_file()


def test_preview_changed_on_disk_is_refused_once_and_then_made_again(photo: Photo) -> None:
    drain_photos()
    digest = preview_digests([photo.sha256])[photo.sha256]
    path = preview_path(photo.sha256, LARGE)
    path.write_bytes(path.read_bytes() + b"x")
    paper_path(digest).unlink()
    with pytest.raises(DamagedFileError, match=r"preview of photo .* was changed on disk"):
        print_bytes(photo.sha256, digest)
    assert print_bytes(photo.sha256, preview_digests([photo.sha256])[photo.sha256])


def test_copy_for_paper_is_made_once_when_the_photo_comes_in(photo: Photo) -> None:
    drain_photos()
    digest = preview_digests([photo.sha256])[photo.sha256]
    preview_path(photo.sha256, LARGE).write_bytes(b"not needed for printing")
    assert print_bytes(photo.sha256, digest).startswith(b"\xff\xd8")


@pytest.mark.parametrize(
    "damage_it", [lambda path: path.unlink(), lambda path: path.write_bytes(b"x" * 99)]
)
def test_copy_for_paper_that_is_gone_or_damaged_is_made_again(photo: Photo, damage_it) -> None:
    drain_photos()
    digest = preview_digests([photo.sha256])[photo.sha256]
    before = print_bytes(photo.sha256, digest)
    damage_it(paper_path(digest))
    assert print_bytes(photo.sha256, digest) == before
    assert paper_path(digest).read_bytes().endswith(before)


def test_original_changed_on_disk_is_refused_although_its_preview_is_right(photo: Photo) -> None:
    digest = preview_digests([photo.sha256])[photo.sha256]
    damage(photo)
    with pytest.raises(DamagedFileError, match=f"photo {photo.sha256[:12]} was changed on disk"):
        print_bytes(photo.sha256, digest)


def test_names_that_are_no_photos_are_left_out(photo: Photo) -> None:
    assert list(preview_digests([photo.sha256, "0" * 64])) == [photo.sha256]


def damage(photo: Photo) -> None:
    path = original_path(photo.sha256)
    path.chmod(0o640)
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)
