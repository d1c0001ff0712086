"""Pictures on printed sheets. Every picture is named by its SHA-256 and has words beside it."""

import hashlib
from collections.abc import Sequence
from typing import Any

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

register = template.Library()


class PictureError(ValueError):
    """A picture that must not be printed as it is."""


@register.simple_tag
def print_photo(sha256: str, alt: str) -> SafeString:
    """A stored photo: {% print_photo photo.sha256 "Battery tray, driver side" %}."""
    return _picture(sha256, alt)


@register.simple_tag(takes_context=True)
def print_svg(context: template.Context, svg: str, alt: str) -> SafeString:
    """A drawing given as SVG text: {% print_svg diagram.svg diagram.words %}."""
    sha256 = hashlib.sha256(svg.encode()).hexdigest()
    context["_drawings"][sha256] = svg
    return _picture(sha256, alt)


@register.filter
def at(items: Sequence[Any], place: int) -> Any:
    """The item at a place: {{ columns|at:forloop.counter0 }}."""
    return items[place]


def _picture(sha256: str, alt: Any) -> SafeString:
    if not str(alt).strip():
        raise PictureError(f"picture {sha256[:12]} has no words saying what it shows")
    return format_html('<img src="asset:{}" alt="{}">', sha256, alt)
