"""What makes two documents the same: their data, templates, renderer and fonts, as one digest."""

import hashlib
import json
import re
from collections.abc import Callable
from functools import cache
from importlib.metadata import version
from typing import Any

from django.conf import settings
from django.template import engines

from jobs.photos.files import PAPER

RENDERERS = ("weasyprint", "pydyf", "pikepdf", "pillow")
FONT_PACKAGES = ("fontpkg-atkinson-hyperlegible", "fontpkg-ibm-plex-mono")
STYLE_SHEET = "templates/print/print.css"
FILTERS = "jobs/templatetags/*.py"
_PARTS = re.compile(r"""\{%\s*(?:extends|include)\s+["']([^"']+)["']""")


def _once_a_process(function: Callable[..., Any]) -> Callable[..., Any]:
    """Remember answers, except while somebody is editing templates."""
    return function if settings.DEBUG else cache(function)


def canonical(value: Any) -> bytes:
    """One spelling per value: sorted keys, no spaces, UTF-8. NaN is refused, it equals nothing."""
    return json.dumps(
        value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    ).encode()


def fingerprint_of(**parts: Any) -> str:
    """SHA-256 over the parts of a document plus everything that turns them into a page.

    Photos are named by their own SHA-256 inside the data, so their bytes are covered too.
    """
    names = sorted({section["template"] for section in parts["sections"]})
    machine = {"templates": {name: template_digest(name) for name in names}, "tools": tools()}
    return hashlib.sha256(canonical({**parts, "machine": machine})).hexdigest()


@_once_a_process
def tools() -> dict[str, str]:
    """Versions and digests of what else decides how a page looks."""
    found = {name: version(name) for name in (*RENDERERS, *FONT_PACKAGES)}
    found["photo pixels"] = str(PAPER)
    for path in sorted([settings.BASE_DIR / STYLE_SHEET, *settings.BASE_DIR.glob(FILTERS)]):
        found[path.name] = hashlib.sha256(path.read_bytes()).hexdigest()
    return found


@_once_a_process
def template_digest(name: str, seen: frozenset[str] = frozenset()) -> str:
    """Digest of a template's text and of all templates it names."""
    source = engines["django"].get_template(name).template.source
    digest = hashlib.sha256(source.encode())
    for part in sorted(set(_PARTS.findall(source)) - seen - {name}):
        digest.update(template_digest(part, seen | {name}).encode())
    return digest.hexdigest()
