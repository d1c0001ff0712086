"""Showing photos: who may see what, and with which headers."""

import pytest
from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse

from jobs.photos.actions import store_photo
from jobs.photos.files import original_path, preview_path
from jobs.photos.models import Photo
from jobs.photos.tasks import drain_photos
from tests import pictures
from tests.pictures import upload


@pytest.fixture
def photo(technician) -> Photo:
    photo = store_photo(file=upload("van.jpg", pictures.polyglot_jpeg()), by=technician)
    drain_photos()
    photo.refresh_from_db()
    return photo


def preview(photo: Photo, size: int = 400) -> str:
    return reverse("jobs:photo_preview", args=[photo.sha256, size])


def original(photo: Photo) -> str:
    return reverse("jobs:photo_original", args=[photo.sha256])


def body(response) -> bytes:
    return b"".join(response.streaming_content)


@pytest.mark.parametrize("size", [400, 1600])
def test_preview_is_shown_to_people_of_the_shop(client, technician, photo, size) -> None:
    client.force_login(technician)
    response = client.get(preview(photo, size))
    assert response.status_code == 200
    assert body(response) == preview_path(photo.sha256, size).read_bytes()
    assert response["Content-Type"] == "image/jpeg"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cross-Origin-Resource-Policy"] == "same-origin"
    assert response["Cache-Control"].startswith("private")


def test_preview_asks_for_sign_in(client, photo) -> None:
    assert client.get(preview(photo)).status_code == 302


def test_person_without_a_role_sees_no_preview(client, photo, django_user_model) -> None:
    client.force_login(django_user_model.objects.create_user("nobody"))
    assert client.get(preview(photo)).status_code == 403


def test_other_sizes_are_unknown(client, technician, photo) -> None:
    client.force_login(technician)
    assert client.get(preview(photo, 800)).status_code == 404


def test_unknown_photo_is_not_found(client, manager, shop) -> None:
    client.force_login(manager)
    for name in ("jobs:photo_original", "jobs:photo_preview"):
        args = ["0" * 64] if name.endswith("original") else ["0" * 64, 400]
        assert client.get(reverse(name, args=args)).status_code == 404


def test_path_tricks_are_not_found(client, manager, photo) -> None:
    client.force_login(manager)
    for name in ("..", "%2e%2e%2fsecret_key", "..%2f..%2fdb.sqlite3"):
        assert client.get(f"/photos/{name}/original/").status_code == 404


def test_waiting_preview_is_not_found_yet(client, technician) -> None:
    photo = store_photo(file=upload("van.jpg", pictures.jpeg()), by=technician)
    client.force_login(technician)
    assert client.get(preview(photo)).status_code == 404


def test_missing_preview_file_is_not_found(client, technician, photo) -> None:
    preview_path(photo.sha256, 400).unlink()
    client.force_login(technician)
    assert client.get(preview(photo)).status_code == 404


def test_missing_original_is_not_found(client, manager, photo) -> None:
    original_path(photo.sha256).unlink()
    client.force_login(manager)
    assert client.get(original(photo)).status_code == 404


@pytest.mark.parametrize("person", ["manager", "inspector"])
def test_original_is_a_file_no_browser_runs(client, photo, request, person) -> None:
    client.force_login(request.getfixturevalue(person))
    response = client.get(original(photo))
    assert body(response) == pictures.polyglot_jpeg()
    assert response["Content-Disposition"] == f'attachment; filename="{photo.sha256[:16]}.jpg"'
    assert response["Content-Type"] == "application/octet-stream"
    assert response["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cross-Origin-Resource-Policy"] == "same-origin"
    assert response["Cache-Control"] == "no-store"


@pytest.mark.parametrize("person", ["technician", "designer"])
def test_original_needs_the_office_or_an_inspector(client, photo, request, person) -> None:
    client.force_login(request.getfixturevalue(person))
    assert client.get(original(photo)).status_code == 403


def test_photos_are_only_read(client: Client, manager, photo) -> None:
    client.force_login(manager)
    for path in (preview(photo), original(photo)):
        assert client.post(path).status_code == 405


def test_thumbnail_names_what_it_shows(photo) -> None:
    html = render_to_string("jobs/photos/_photo.html", {"photo": photo, "alt": "Tray <left>"})
    assert f'src="{preview(photo)}"' in html
    assert 'alt="Tray &lt;left&gt;"' in html


@pytest.mark.parametrize(
    ("state", "words"), [("queued", "Preview is being made"), ("failed", "The original is kept")]
)
def test_thumbnail_without_preview_says_so(photo, state, words) -> None:
    photo.preview = state
    html = render_to_string("jobs/photos/_photo.html", {"photo": photo, "alt": "Tray"})
    assert words in html
    assert "<img" not in html
