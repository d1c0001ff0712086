"""Taking a photo in: checked by its header, stored by its content, previewed by the worker."""

from collections.abc import Iterable
from typing import Any

from django.db import transaction

from jobs.background.bell import ring_when_saved
from jobs.background.files import keep_first, sha256_of, write_temporary
from jobs.photos.files import CHUNK, original_path
from jobs.photos.headers import PhotoError, read_header
from jobs.photos.models import Photo
from jobs.photos.previews import DRAIN

__all__ = ["PhotoError", "store_photo", "store_photos"]


def store_photo(*, file: Any, by: Any) -> Photo:
    """Store one uploaded photo and ask for its preview. The same bytes twice are one row.

    The bytes are on disk, forced, before the row exists: a photo that was confirmed is never lost.
    """
    header = read_header(file)
    sha256 = _store_bytes(file, name=header.name)
    with transaction.atomic():
        photo, _ = Photo.objects.get_or_create(
            sha256=sha256,
            defaults={
                "size_bytes": header.size_bytes,
                "media_type": header.media_type,
                "width": header.width,
                "height": header.height,
                "original_name": header.name,
                "uploaded_by": by,
            },
        )
        ring_when_saved(DRAIN)
    return photo


def store_photos(*, files: Iterable[Any], by: Any) -> list[Photo]:
    """Store several photos of one form, in the order chosen."""
    return [store_photo(file=file, by=by) for file in files]


def _store_bytes(file: Any, *, name: str) -> str:
    """Write the bytes under their SHA-256. An existing file is compared, never overwritten."""
    file.seek(0)
    folder = original_path("00").parent.parent
    temporary, sha256 = write_temporary(folder, file.chunks(CHUNK))
    temporary.chmod(0o440)
    path = original_path(sha256)
    if not keep_first(temporary, path) and sha256_of(path) != sha256:
        raise PhotoError(
            f"photo '{name}' was stored before, but that copy is damaged; tell the office"
        )
    return sha256
