"""Showing photos: previews to people of the shop, originals only as a file to keep."""

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from config.access import INSPECTOR, MANAGER, any_role, bay_page, role_required
from jobs.photos.files import LARGE, SMALL, original_path, preview_path
from jobs.photos.models import Photo

A_DAY = 24 * 3600


@any_role
@require_safe
@bay_page
def photo_preview(request: HttpRequest, sha256: str, size: int) -> HttpResponse:
    """One re-encoded copy, without any metadata of the original."""
    if size not in (LARGE, SMALL):
        raise Http404(f"Previews are {SMALL} or {LARGE} pixels, not {size}.")
    get_object_or_404(Photo, sha256=sha256, preview=Photo.Preview.READY)
    path = preview_path(sha256, size)
    if not path.is_file():
        raise Http404("The preview file is missing.")
    response = FileResponse(path.open("rb"), content_type="image/jpeg")
    response["Cache-Control"] = f"private, max-age={A_DAY}, immutable"
    response["X-Content-Type-Options"] = "nosniff"
    response["Cross-Origin-Resource-Policy"] = "same-origin"
    return response


@role_required(MANAGER, INSPECTOR)
@require_safe
def photo_original(request: HttpRequest, sha256: str) -> HttpResponse:
    """The untouched bytes, served so that no browser will ever interpret them."""
    photo = get_object_or_404(Photo, sha256=sha256)
    path = original_path(sha256)
    if not path.is_file():
        raise Http404("The original file is missing.")
    ending = photo.media_type.rpartition("/")[2].replace("jpeg", "jpg")
    response = FileResponse(
        path.open("rb"),
        as_attachment=True,
        filename=f"{sha256[:16]}.{ending}",
        content_type="application/octet-stream",
    )
    response["Content-Security-Policy"] = "default-src 'none'; sandbox"
    response["X-Content-Type-Options"] = "nosniff"
    response["Cross-Origin-Resource-Policy"] = "same-origin"
    response["Cache-Control"] = "no-store"
    return response
