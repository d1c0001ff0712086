"""Files that are too large cost no disk, and their senders are told how large they were."""

import pytest
from django.core.files.uploadhandler import StopUpload
from django.test import RequestFactory

from config.uploads import ABSURD_BYTES, LimitedUploadHandler
from jobs.photos.headers import PhotoError, read_header
from tests import pictures
from tests.pictures import upload

LIMIT = 200_000


def received(data: bytes):
    request = RequestFactory().post("/", {"photo": upload("van.jpg", data)})
    return request.FILES["photo"]


def test_file_within_the_limit_arrives_whole(settings) -> None:
    settings.LARGEST_PHOTO_BYTES = LIMIT
    data = pictures.jpeg()
    file = received(data)
    assert file.read() == data
    assert file.size == len(data)
    file.close()


def test_file_over_the_limit_is_counted_but_not_kept(settings) -> None:
    settings.LARGEST_PHOTO_BYTES = LIMIT
    file = received(pictures.jpeg() + bytes(2_000_000))
    assert file.size > 2_000_000
    file.seek(0, 2)
    assert file.tell() == LIMIT + 1
    file.close()


@pytest.mark.slow
def test_60_mb_photo_is_refused_with_a_sentence() -> None:
    file = received(pictures.jpeg() + bytes(60 * 1024 * 1024 - len(pictures.jpeg())))
    with pytest.raises(PhotoError) as refused:
        read_header(file)
    assert str(refused.value) == "photo 'van.jpg' is 60 MB; at most 25 MB"
    file.close()


def test_endless_upload_is_cut_off(rf) -> None:
    handler = LimitedUploadHandler(rf.get("/"))
    handler.new_file("photo", "x.jpg", "image/jpeg", None)
    with pytest.raises(StopUpload) as stopped:
        handler.receive_data_chunk(b"x", ABSURD_BYTES + 1)
    assert stopped.value.connection_reset
    handler.file.close()
