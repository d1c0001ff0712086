"""HTML to PDF. The only module that knows the renderer.

The renderer may read nothing but the assets handed to it and the bundled fonts. Any other address,
and any picture that does not appear, stops the section: a page without its photo is no record.
"""

import gc
import logging
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from io import BytesIO

import pikepdf
from django.conf import settings
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from jobs.documents.fingerprint import STYLE_SHEET

FONT_FOLDERS = {
    "AtkinsonHyperlegible": files("fontpkg_atkinson_hyperlegible") / "files",
    "IBMPlexMono": files("fontpkg_ibm_plex_mono") / "files",
}


class RenderError(Exception):
    """A section that cannot be rendered as asked; trying again would not help."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Asset:
    media_type: str
    data: bytes


@dataclass(frozen=True, kw_only=True, slots=True)
class Sheet:
    """One rendered section."""

    pdf: bytes
    page_count: int


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
            if font.is_file():
                return URLFetcherResponse(url, font.read_bytes(), {"Content-Type": "font/ttf"})
        raise FatalURLFetchingError(f"the address '{url[:80]}' is not part of the document")


@cache
def _press(page_size: str) -> tuple[list[CSS], FontConfiguration]:
    """Style sheets and fonts, parsed once a process: that is half the cost of a short section."""
    fonts = FontConfiguration()
    text = (settings.BASE_DIR / STYLE_SHEET).read_text()
    fetcher = _Fetcher({})
    sheets = [
        CSS(string=css, font_config=fonts, url_fetcher=fetcher)
        for css in (text, f"@page {{ size: {page_size} }}", _landscape(page_size))
    ]
    return sheets, fonts


def _landscape(page_size: str) -> str:
    return f"@page wide {{ size: {page_size} landscape }}"


def render(html: str, *, assets: Mapping[str, Asset], page_size: str) -> Sheet:
    """Render one section. Raises RenderError with a reason, never a PDF that lacks a picture."""
    sheets, fonts = _press(page_size)
    with _without_gc(), _complaints() as complaints:
        try:
            document = HTML(string=html, url_fetcher=_Fetcher(assets)).render(
                stylesheets=sheets, font_config=fonts, pdf_tags=True
            )
            pdf = document.write_pdf(pdf_tags=True)
        except FatalURLFetchingError as error:
            raise RenderError(str(error)) from None
    if complaints:
        raise RenderError(complaints[0])
    _require_pictures(pdf, html.count('src="asset:'))
    return Sheet(pdf=pdf, page_count=len(document.pages))


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
    """Errors the renderer only logs: pictures it could not read, words it did not find."""
    found: list[str] = []
    handler = logging.Handler(logging.ERROR)
    handler.emit = lambda record: found.append(record.getMessage())  # type: ignore[method-assign]
    logger = logging.getLogger("weasyprint")
    logger.addHandler(handler)
    try:
        yield found
    finally:
        logger.removeHandler(handler)


def _require_pictures(pdf: bytes, expected: int) -> None:
    with pikepdf.open(BytesIO(pdf)) as opened:
        figures = sum(
            1
            for thing in opened.objects
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/S") == "/Figure"
        )
    if figures != expected:
        raise RenderError(f"{expected} pictures were asked for, {figures} are on the sheets")
