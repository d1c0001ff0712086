import io

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from jobs.photos.actions import store_photo
from jobs.photos.tasks import drain_photos


def jpeg(size=(1000, 750)):
    b = io.BytesIO()
    Image.new("RGB", size, "teal").save(b, "JPEG")
    return b.getvalue()


def test_a_photo_is_stored_and_previewed(technician):
    photo = store_photo(file=SimpleUploadedFile("a.jpg", jpeg()), by=technician)
    drain_photos()
    photo.refresh_from_db()
    assert photo.error == ""
    assert photo.preview == "ready"
