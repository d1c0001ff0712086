"""The queue of previews: claimed by conditional update, leased, retried, swept."""

import hashlib
import tempfile
from collections.abc import Sequence
from datetime import timedelta
from functools import partial
from pathlib import Path

from django.conf import settings
from django.db.models import F, Q
from django.db.models.functions import Now

from jobs.background.files import UNFINISHED, move_into_place, sha256_of, write_temporary
from jobs.photos.files import (
    LARGE,
    SMALL,
    DamagedFileError,
    paper_path,
    preview_path,
    verify_original,
)
from jobs.photos.models import Photo
from jobs.photos.shrink import ShrinkError, for_paper, in_limited_child, shrink

DRAIN = "jobs.drain_photos"
MOST_ATTEMPTS = 5
LEASE = timedelta(seconds=90)
DIGEST = hashlib.sha256().digest_size


def waiting() -> "Q":
    """Photos that nobody works on: never claimed, or claimed by a worker that died."""
    return Q(preview=Photo.Preview.QUEUED) & (
        Q(lease_until__isnull=True) | Q(lease_until__lt=Now())
    )


def claim_photo() -> Photo | None:
    """Take one waiting photo, or None. Two workers never get the same one."""
    for pk in Photo.objects.filter(waiting()).order_by("id").values_list("pk", flat=True)[:20]:
        taken = Photo.objects.filter(waiting(), pk=pk).update(
            lease_until=Now() + LEASE, preview_attempts=F("preview_attempts") + 1
        )
        if taken:
            return Photo.objects.get(pk=pk)
    return None


def release_all() -> None:
    """Give back everything claimed. Only for a worker that knows it is the only one, starting."""
    Photo.objects.filter(preview=Photo.Preview.QUEUED).update(lease_until=None)


def make_preview(photo: Photo) -> None:
    """Make and record the previews of a claimed photo; a failure is kept as a sentence."""
    if photo.preview_attempts > MOST_ATTEMPTS:
        _finish(photo, Photo.Preview.FAILED, error=f"no preview after {MOST_ATTEMPTS} attempts")
        return
    try:
        digest = _publish_previews(photo.sha256)
    except (ShrinkError, DamagedFileError) as error:
        _finish(photo, Photo.Preview.FAILED, error=str(error))
    else:
        _finish(photo, Photo.Preview.READY, digest=digest)


def _publish_previews(sha256: str) -> str:
    """Write all previews under their final names. Returns the SHA-256 of the large one."""
    source = verify_original(sha256)
    Path(settings.PREVIEW_DIR).mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=UNFINISHED, dir=settings.PREVIEW_DIR) as folder:
        large, small = Path(folder, "large"), Path(folder, "small")
        in_limited_child(partial(shrink, source, large, small))
        digest = sha256_of(large)
        _keep_for_paper(digest, for_paper(large.read_bytes()))
        move_into_place(small, preview_path(sha256, SMALL))
        move_into_place(large, preview_path(sha256, LARGE))
    return digest


def _finish(photo: Photo, state: Photo.Preview, *, error: str = "", digest: str = "") -> None:
    """Record the end, unless another worker took the photo over meanwhile."""
    Photo.objects.filter(
        pk=photo.pk, preview=Photo.Preview.QUEUED, preview_attempts=photo.preview_attempts
    ).update(preview=state, lease_until=None, error=error, preview_sha256=digest)


def preview_digests(names: Sequence[str]) -> dict[str, str]:
    """SHA-256 of the large preview of every name that is a photo; empty if it has no preview.

    Previews that still wait, or were cleared away, are made now: a document does not wait.
    """
    photos = Photo.objects.in_bulk(names, field_name="sha256") if names else {}
    return {name: _preview_digest(photo) for name, photo in photos.items()}


def _preview_digest(photo: Photo) -> str:
    if photo.preview == Photo.Preview.FAILED:
        verify_original(photo.sha256)  # undecodable is bearable, damaged is not
        return ""
    if photo.preview == Photo.Preview.READY and preview_path(photo.sha256, LARGE).is_file():
        return photo.preview_sha256
    Photo.objects.filter(pk=photo.pk, preview=Photo.Preview.READY).update(
        preview=Photo.Preview.QUEUED, preview_attempts=0
    )
    photo.refresh_from_db()
    make_preview(photo)
    photo.refresh_from_db()
    return _preview_digest(photo)


def print_bytes(sha256: str, digest: str) -> bytes:
    """The copy for paper, after checking it and the original against their hashes.

    It is made when the photo comes in: scaling costs more than all the rest of a printed photo.
    """
    verify_original(sha256)
    kept = paper_path(digest)
    if kept.is_file():
        found = kept.read_bytes()
        if hashlib.sha256(found[DIGEST:]).digest() == found[:DIGEST]:
            return found[DIGEST:]
    data = for_paper(_large_bytes(sha256, digest))
    _keep_for_paper(digest, data)
    return data


def _large_bytes(sha256: str, digest: str) -> bytes:
    path = preview_path(sha256, LARGE)
    data = path.read_bytes()
    if hashlib.sha256(data).hexdigest() != digest:
        path.unlink()  # the next attempt makes a new one from the original
        raise DamagedFileError(f"the preview of photo {sha256[:12]} was changed on disk")
    return data


def _keep_for_paper(digest: str, data: bytes) -> None:
    chunks = [hashlib.sha256(data).digest(), data]
    temporary, _ = write_temporary(Path(settings.PREVIEW_DIR), chunks)
    move_into_place(temporary, paper_path(digest))
