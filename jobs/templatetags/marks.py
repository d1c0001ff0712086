"""The glyph beside a status word."""

from functools import lru_cache

from django import template
from lucide.templatetags.lucide import lucide

register = template.Library()

GLYPHS = {
    "pass": "check",
    "fail": "x",
    "na": "minus",
    "decision": "arrow-left-right",
    "again": "rotate-cw",
    "wait": "clock",
    "info": "info",
}


@register.simple_tag
def status_mark(state: str) -> str:
    """A drawing for each state; a ring for what is still open."""
    return _drawn(GLYPHS.get(str(state), "circle"))


@lru_cache(maxsize=len(GLYPHS) + 1)
def _drawn(name: str) -> str:
    """Drawn once: a page shows one of these in every row."""
    return lucide(name, size=18, **{"class": "icon", "aria_hidden": "true"})
