"""The bytes behind `asset:<sha256>`: drawings of the section, and previews of stored photos."""

import re

from jobs.documents.render import Asset, RenderError
from jobs.photos.files import DamagedFileError
from jobs.photos.previews import print_bytes

_NAMES = re.compile(r'src="asset:([0-9a-f]{64})"')


def assets_of(html: str, drawings: dict[str, str]) -> dict[str, Asset]:
    """Every picture the section names. Photos are read against their hash, or stop the section."""
    found = {
        sha256: Asset(media_type="image/svg+xml", data=svg.encode())
        for sha256, svg in drawings.items()
    }
    for sha256 in set(_NAMES.findall(html)) - set(found):
        try:
            found[sha256] = Asset(media_type="image/jpeg", data=print_bytes(sha256))
        except DamagedFileError as error:
            raise RenderError(str(error)) from None
    return found
