"""The form field that takes photos, for every form that needs some."""

from typing import Any

from django import forms
from django.conf import settings

from jobs.photos.headers import PhotoError, megabytes, read_header

ACCEPT = "image/jpeg,image/png,image/webp"


class PhotosInput(forms.ClearableFileInput):
    allow_multiple_selected = True


class PhotosField(forms.FileField):
    """Any number of photos, each checked by its header. Cleans to a list of uploaded files.

    Hand the list to store_photos() before the action's transaction: disks are slow.
    """

    widget = PhotosInput

    def __init__(self, *, camera: bool = False, most: int = 10, **kwargs: Any) -> None:
        self.camera, self.most = camera, most
        kwargs.setdefault("label", "Photos")
        limit = megabytes(settings.LARGEST_PHOTO_BYTES)
        kwargs.setdefault("help_text", f"JPEG, PNG or WebP; at most {limit} each, {most} at once.")
        super().__init__(**kwargs)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        attrs = {"accept": ACCEPT}
        return {**attrs, "capture": "environment"} if self.camera else attrs

    def clean(self, data: Any, initial: Any = None) -> list[Any]:
        files = data if isinstance(data, (list, tuple)) else [data] if data else []
        if not files and self.required:
            raise forms.ValidationError(self.error_messages["required"], code="required")
        if len(files) > self.most:
            raise forms.ValidationError(f"{len(files)} photos chosen; at most {self.most} at once.")
        errors = [error for error in map(_problem, files) if error]
        if errors:
            raise forms.ValidationError(errors)
        return list(files)

    def has_changed(self, initial: Any, data: Any) -> bool:
        return bool(data)


def _problem(file: Any) -> str:
    try:
        read_header(file)
    except PhotoError as error:
        sentence = str(error)
        return sentence[0].upper() + sentence[1:] + "."
    return ""
