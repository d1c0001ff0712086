"""The field that takes photos."""

from django import forms
from django.utils.datastructures import MultiValueDict

from jobs.photos.forms import PhotosField
from tests import pictures
from tests.pictures import upload


class _Form(forms.Form):
    note = forms.CharField(required=False)
    photos = PhotosField(required=False, camera=True, most=3)


class _Required(forms.Form):
    photos = PhotosField()


def bound(form: type[forms.Form], *files: object) -> forms.Form:
    return form({}, MultiValueDict({"photos": list(files)}))


def test_field_asks_the_device_for_photos_only() -> None:
    html = str(_Form()["photos"])
    assert 'accept="image/jpeg,image/png,image/webp"' in html
    assert 'capture="environment"' in html
    assert "multiple" in html


def test_field_without_camera_offers_the_gallery() -> None:
    assert "capture" not in str(_Required()["photos"])


def test_field_says_what_it_takes() -> None:
    assert _Form()["photos"].help_text == "JPEG, PNG or WebP; at most 25 MB each, 3 at once."


def test_form_becomes_multipart() -> None:
    assert _Form().is_multipart()


def test_several_photos_are_cleaned_to_a_list() -> None:
    form = bound(_Form, upload("a.jpg", pictures.jpeg()), upload("b.png", pictures.card("PNG")))
    assert form.is_valid()
    assert [file.name for file in form.cleaned_data["photos"]] == ["a.jpg", "b.png"]


def test_no_photo_is_an_empty_list() -> None:
    form = bound(_Form)
    assert form.is_valid()
    assert form.cleaned_data["photos"] == []


def test_required_field_asks_for_a_photo() -> None:
    form = bound(_Required)
    assert form.errors["photos"] == ["This needs a value."]


def test_every_bad_photo_is_named() -> None:
    form = bound(
        _Form,
        upload("a.jpg", b""),
        upload("b.jpg", pictures.jpeg()),
        upload("c.jpg", b"hello " * 50),
    )
    assert form.errors["photos"] == [
        "Photo 'a.jpg' is 0 bytes; at least 64.",
        "Photo 'c.jpg' is not an image; it must be a JPEG, PNG or WebP file.",
    ]


def test_too_many_photos_are_refused() -> None:
    form = bound(_Form, *[upload(f"{n}.jpg", pictures.jpeg(str(n))) for n in range(4)])
    assert form.errors["photos"] == ["4 photos chosen; at most 3 at once."]


def test_photos_count_as_a_change() -> None:
    assert bound(_Form, upload("a.jpg", pictures.jpeg())).has_changed()
    assert not bound(_Form).has_changed()
