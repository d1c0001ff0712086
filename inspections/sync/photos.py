"""Receiving a photo by itself: streamed to disk, compared with its name, stored as any other."""

import hashlib
from collections.abc import Iterator

from django.conf import settings
from django.contrib.auth.models import User
from django.core.files.uploadedfile import TemporaryUploadedFile
from django.http import HttpRequest

from inspections.sync.models import DeviceEvent
from jobs.models import Photo
from jobs.photos.actions import store_photo
from jobs.photos.headers import PhotoError, megabytes

CHUNK = 64 * 1024
ENDINGS = {"image/jpeg": ".jpg", "image/png": ".png", "image/webp": ".webp"}


class TooLargeError(PhotoError):
    """More bytes than a photo may have."""


class OtherBytesError(PhotoError):
    """What arrived is not what was announced; sending it again helps."""


def is_awaited(sha256: str, by: User) -> bool:
    """Whether an entry of this person names the photo. Nothing else is taken in."""
    waiting = DeviceEvent.objects.filter(person=by, answer=DeviceEvent.Answer.WAITING)
    return any(sha256 in body["photos"] for body in waiting.values_list("body", flat=True))


def receive_photo(*, request: HttpRequest, sha256: str, by: User) -> Photo:
    """Store the request's body as the photo of this SHA-256; raise PhotoError with a sentence."""
    name = f"{sha256[:16]}{ENDINGS.get(request.content_type or '', '.jpg')}"
    with TemporaryUploadedFile(name, request.content_type, 0, None) as file:
        digest = hashlib.sha256()
        for chunk in _chunks(request):
            digest.update(chunk)
            file.write(chunk)
        file.flush()
        file.size = file.tell()
        if digest.hexdigest() != sha256:
            raise OtherBytesError("The photo arrived incomplete; it is sent again.")
        return store_photo(file=file, by=by)


def _chunks(request: HttpRequest) -> Iterator[bytes]:
    limit, read = settings.LARGEST_PHOTO_BYTES, 0
    while chunk := request.read(CHUNK):
        read += len(chunk)
        if read > limit:
            raise TooLargeError(f"The photo is larger than {megabytes(limit)}.")
        yield chunk
