"""Pictures on printed sheets. Every picture is named by its SHA-256 and has words beside it."""

import hashlib
from collections.abc import Mapping, Sequence
from typing import Any

from django import template
from django.template.base import render_value_in_context
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


@register.simple_tag(takes_context=True)
def print_rows(context: template.Context, table: Mapping[str, Any]) -> SafeString:
    """The rows of a table; the first cell heads its row. A template would take tenfold."""
    marks = [_mark(column) for column in table["columns"]]
    lines = []
    for row in table["rows"]:
        texts = [render_value_in_context(cell, context) for cell in row]
        cells = [
            f"<td{mark}>{text}</td>" if place else f'<th scope="row"{mark}>{text}</th>'
            for place, (text, mark) in enumerate(zip(texts, marks, strict=True))
        ]
        lines.append(f"<tr>{''.join(cells)}</tr>\n")
    return SafeString("".join(lines))  # every text was escaped above


def _mark(column: Mapping[str, Any]) -> str:
    words = " ".join(word for word in ("num", "mono") if column.get(word))
    return f' class="{words}"' if words else ""


@register.filter
def at(items: Sequence[Any], place: int) -> Any:
    """The item at a place: {{ columns|at:forloop.counter0 }}."""
    return items[place]


def _picture(sha256: str, alt: Any) -> SafeString:
    if not str(alt).strip():
        raise PictureError(f"picture {sha256[:12]} has no words saying what it shows")
    return format_html('<img src="asset:{}" alt="{}">', sha256, alt)
