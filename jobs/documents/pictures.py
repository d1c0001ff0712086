"""The bytes behind `asset:<sha256>`: drawings of the section, and previews of stored photos."""

import re
from collections.abc import Mapping

from jobs.documents.render import Asset, RenderError
from jobs.photos.files import DamagedFileError
from jobs.photos.previews import preview_digests, print_bytes

_NAMES = re.compile(r'src="asset:([0-9a-f]{64})"')
# Shown instead of a photo that is kept but cannot be decoded.
NO_PREVIEW = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 300">'
    '<rect width="400" height="300" fill="#f2f1ed"/>'
    '<g font-family="Sheet" font-size="20" text-anchor="middle" fill="#151a20">'
    '<text x="200" y="140">This photo cannot be shown.</text>'
    '<text x="200" y="170">The original file is kept.</text></g></svg>'
)


def picture_digests(html: str, drawings: Mapping[str, str]) -> dict[str, str]:
    """For every picture the section shows, the SHA-256 of the bytes that will be printed."""
    photos = sorted(set(_NAMES.findall(html)) - set(drawings))
    try:
        found = preview_digests(photos)
    except DamagedFileError as error:
        raise RenderError(str(error)) from None
    return {**{name: name for name in drawings}, **found}


def assets_of(digests: Mapping[str, str], drawings: Mapping[str, str]) -> dict[str, Asset]:
    """The bytes. Photos and their originals are read against their hashes, or stop the section."""
    return {name: _asset(name, digest, drawings) for name, digest in digests.items()}


def _asset(name: str, digest: str, drawings: Mapping[str, str]) -> Asset:
    if name in drawings:
        return Asset(media_type="image/svg+xml", data=drawings[name].encode())
    if not digest:
        return Asset(media_type="image/svg+xml", data=NO_PREVIEW.encode())
    try:
        return Asset(media_type="image/jpeg", data=print_bytes(name, digest))
    except DamagedFileError as error:
        raise RenderError(str(error)) from None
