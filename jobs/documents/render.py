"""HTML to PDF. The only module that knows the renderer.

The renderer may read nothing but the assets handed to it and the bundled fonts. Any other address,
and any picture that does not appear, stops the section: a page without its photo is no record.
"""

import gc
import logging
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from django.conf import settings

try:
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse
except OSError as problem:  # the system library is loaded on import
    raise ImportError(
        "The Pango library is missing, so documents cannot be made. Install it: "
        "apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0, "
        f"or brew install pango. ({problem})"
    ) from problem

from jobs.documents.fingerprint import STYLE_SHEET
from jobs.documents.tagging import tidy

LINK = "sheet:"  # href="sheet:KEY" jumps to the section with that key
FONT_FOLDERS = {
    "AtkinsonHyperlegible": files("fontpkg_atkinson_hyperlegible") / "files",
    "IBMPlexMono": files("fontpkg_ibm_plex_mono") / "files",
}


_ONLY = re.compile(r"/\* @only([a-z0-9 -]*)\*/")
_HIDDEN = re.compile(r"(?:, [a-z]+)\[hidden\]|\[hidden\], (?=area)")
_UNSEEN = re.compile(r"^.*(?:\[hidden\]|\[dir|\[rules|::footnote|::note).*$", re.M)


class RenderError(Exception):
    """A section that cannot be rendered as asked; trying again would not help."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Asset:
    media_type: str
    data: bytes


class _Fetcher(URLFetcher):
    """Opens `asset:<sha256>` and `font:<file>`; everything else is fatal, also inside drawings."""

    def __init__(self, assets: Mapping[str, Asset]) -> None:
        super().__init__(allowed_protocols=[])
        self.assets = assets

    def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:
        scheme, _, name = url.partition(":")
        if scheme == "asset" and name in self.assets:
            asset = self.assets[name]
            return URLFetcherResponse(url, asset.data, {"Content-Type": asset.media_type})
        if scheme == "font" and (folder := FONT_FOLDERS.get(name.partition("-")[0])):
            font = folder / name
            if "/" not in name and font.is_file():
                return URLFetcherResponse(url, font.read_bytes(), {"Content-Type": "font/ttf"})
        raise FatalURLFetchingError(f"the address '{url[:80]}' is not part of the document")


class _Sheet(HTML):
    """One section. Elements have the renderer's usual look, less what no sheet of ours can show."""

    def _ua_stylesheets(self, forms: bool = False) -> list[CSS]:
        return [_elements()]


@cache
def _elements() -> CSS:
    """The renderer's own rules without those on forms, notes, hidden parts and directions.

    Each of them would be tried on every cell of every table; five of them give every element five
    more styles that nothing shows. That is a seventh of the time of a schedule.
    """
    text = (files("weasyprint.css") / "html5_ua.css").read_text()
    text = _HIDDEN.sub("", text.partition("/* Form fields */")[0])
    return CSS(string=_UNSEEN.sub("", text).replace("\n::marker", "\nli::marker"))


@cache
def _press(page_size: str) -> tuple[list[tuple[set[str], CSS]], FontConfiguration]:
    """Style sheets and fonts, parsed once a process: that is half the cost of a short section.

    Parts of the sheet under "@only words" are for sections that hold one of these words.
    """
    fonts = FontConfiguration()
    text = (settings.BASE_DIR / STYLE_SHEET).read_text()
    paper = f"@page {{ size: {page_size} }} @page wide {{ size: {page_size} landscape }}"
    fetcher = _Fetcher({})
    first, *rest = _ONLY.split(text)
    parts = [("", paper), ("", first), *zip(rest[::2], rest[1::2], strict=True)]
    sheets = [
        (set(words.split()), CSS(string=css, font_config=fonts, url_fetcher=fetcher))
        for words, css in parts
    ]
    return sheets, fonts


def _sheets(html: str, page_size: str) -> tuple[list[CSS], FontConfiguration]:
    parts, fonts = _press(page_size)
    return [css for words, css in parts if not words or any(word in html for word in words)], fonts


def render(html: str, *, assets: Mapping[str, Asset], page_size: str) -> bytes:
    """Render one section. Raises RenderError with a reason, never a PDF that lacks a picture."""
    figures: list[int] = []
    sheets, fonts = _sheets(html, page_size)
    with _without_gc(), _complaints() as complaints:
        try:
            document = _Sheet(string=html, url_fetcher=_Fetcher(assets)).render(
                stylesheets=sheets, font_config=fonts, pdf_tags=True
            )
            pdf = document.write_pdf(
                pdf_tags=True, finisher=lambda _, file: figures.append(tidy(file))
            )
        except FatalURLFetchingError as error:
            raise RenderError(str(error)) from None
    if complaints:
        raise RenderError(complaints[0])
    expected = html.count("<img ") + html.count("<svg")
    if figures != [expected]:
        raise RenderError(f"{expected} pictures were asked for, {figures[0]} are on the sheets")
    return pdf


def warm_up() -> None:
    """Load fonts and styles before the worker forks, so that its children share them."""
    html = '<html lang="en"><title>Warm</title><p>Up <b>and</b> ready <code class="mono">A1</code>'
    render(html, assets={}, page_size="letter")
    gc.collect()
    gc.freeze()


@contextmanager
def _without_gc() -> Iterator[None]:
    """Layout makes very many small objects that live until the end; collecting costs a quarter."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@contextmanager
def _complaints() -> Iterator[list[str]]:
    """Errors the renderer only logs: pictures it could not read, places it did not find."""
    found: list[str] = []
    handler = logging.Handler(logging.ERROR)
    handler.emit = lambda record: found.append(record.getMessage())  # type: ignore[method-assign]
    logger = logging.getLogger("weasyprint")
    logger.addHandler(handler)
    try:
        yield found
    finally:
        logger.removeHandler(handler)
