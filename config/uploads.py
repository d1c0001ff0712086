"""Receiving files: what is too large is counted, so that people can be told, but not kept."""

from typing import Any

from django.conf import settings
from django.core.files.uploadhandler import StopUpload, TemporaryFileUploadHandler

# Nobody sends this much by mistake; the connection is closed without an answer.
ABSURD_BYTES = 1024**3


class LimitedUploadHandler(TemporaryFileUploadHandler):
    """Keeps at most one byte more than the largest photo of each file on the disk."""

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.kept = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> None:
        if start > ABSURD_BYTES:
            raise StopUpload(connection_reset=True)
        room = settings.LARGEST_PHOTO_BYTES + 1 - self.kept
        self.kept += len(raw_data[:room])
        if room:
            self.file.write(raw_data[:room])
