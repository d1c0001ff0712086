"""The bytes behind `asset:<sha256>`: drawings of the section, and previews of stored photos."""

import re
from collections.abc import Mapping, Sequence

from jobs.documents.render import Asset, RenderError
from jobs.photos.files import DamagedFileError
from jobs.photos.previews import preview_digests, print_bytes

_NAMES = re.compile(r'src="asset:([^"]*)"')
# Shown instead of a photo that is kept but cannot be decoded.
NO_PREVIEW = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 300">'
    '<rect width="400" height="300" fill="#f2f1ed"/>'
    '<g font-family="Sheet" font-size="20" text-anchor="middle" fill="#151a20">'
    '<text x="200" y="140">This photo cannot be shown.</text>'
    '<text x="200" y="170">The original file is kept.</text></g></svg>'
)


def photo_digests(names: Sequence[str]) -> dict[str, str]:
    """For every name that is a stored photo, the SHA-256 of the bytes that will be printed."""
    try:
        return preview_digests(names)
    except DamagedFileError as error:
        raise RenderError(str(error)) from None


def assets_of(
    html: str, drawings: Mapping[str, str], photos: Mapping[str, str]
) -> dict[str, Asset]:
    """Bytes of all pictures shown. Photos and originals are read against their hashes."""
    return {name: _asset(name, drawings, photos) for name in set(_NAMES.findall(html))}


def _asset(name: str, drawings: Mapping[str, str], photos: Mapping[str, str]) -> Asset:
    if name in drawings:
        return Asset(media_type="image/svg+xml", data=drawings[name].encode())
    if name not in photos:
        raise RenderError(f"photo {name[:12]} is not in the shop's records")
    if not photos[name]:
        return Asset(media_type="image/svg+xml", data=NO_PREVIEW.encode())
    try:
        data = print_bytes(name, photos[name])
    except DamagedFileError as error:
        raise RenderError(str(error)) from None
    return Asset(media_type="image/jpeg", data=data)
