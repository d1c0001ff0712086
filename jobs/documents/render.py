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

import pydyf
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

LINK = "sheet:"  # href="sheet:KEY" jumps to the section with that key
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


@cache
def _press(page_size: str) -> tuple[list[CSS], FontConfiguration]:
    """Style sheets and fonts, parsed once a process: that is half the cost of a short section."""
    fonts = FontConfiguration()
    text = (settings.BASE_DIR / STYLE_SHEET).read_text()
    paper = f"@page {{ size: {page_size} }} @page wide {{ size: {page_size} landscape }}"
    fetcher = _Fetcher({})
    sheets = [CSS(string=css, font_config=fonts, url_fetcher=fetcher) for css in (paper, text)]
    return sheets, fonts


def render(html: str, *, key: str, assets: Mapping[str, Asset], page_size: str) -> bytes:
    """Render one section. Raises RenderError with a reason, never a PDF that lacks a picture.

    `key` names the section's content; it makes the names of table headings unique in the packet.
    """
    sheets, fonts = _press(page_size)
    with _without_gc(), _complaints() as complaints:
        try:
            document = HTML(string=html, url_fetcher=_Fetcher(assets)).render(
                stylesheets=sheets, font_config=fonts, pdf_tags=True
            )
            tags = _Tags(prefix=key[:12])
            pdf = document.write_pdf(pdf_tags=True, finisher=tags.finish)
        except FatalURLFetchingError as error:
            raise RenderError(str(error)) from None
    if complaints:
        raise RenderError(complaints[0])
    expected = html.count("<img ") + html.count("<svg")
    if tags.figures != expected:
        raise RenderError(f"{expected} pictures were asked for, {tags.figures} are on the sheets")
    return pdf


def warm_up() -> None:
    """Load fonts and styles before the worker forks, so that its children share them."""
    html = '<html lang="en"><title>Warm</title><p>Up <b>and</b> ready <code class="mono">A1</code>'
    render(html, key="warm", assets={}, page_size="letter")
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


class _Tags:
    """Last look at the structure before it is written: count pictures, name table headings.

    The renderer repeats a heading's name on every page of a split table. Names must be unique in
    the whole packet, so each table gets its own prefix, and all names are listed in an ID tree.
    """

    def __init__(self, prefix: str) -> None:
        self.prefix, self.figures, self.tables = prefix, 0, 0
        self.renamed: dict[str, str] = {}
        self.cells: list[pydyf.Dictionary] = []
        self.named: dict[str, bytes] = {}

    def finish(self, document: object, pdf: pydyf.PDF) -> None:
        root = None
        for thing in pdf.objects:
            if not isinstance(thing, pydyf.Dictionary):
                continue
            kind = thing.get("S")
            if kind == "/Figure":
                self.figures += 1
            elif kind == "/Table":
                self._name_headings()
                self.tables += 1
            elif kind == "/TH" and "ID" in thing:
                self._rename(thing)
            elif kind == "/TD" and "Headers" in thing.get("A", ()):
                self.cells.append(thing)
            elif thing.get("Type") == "/StructTreeRoot":
                root = thing
        self._name_headings()
        if root is not None and self.named:
            self._list_names(pdf, root)

    def _name_headings(self) -> None:
        """Cells of the table so far, at its end: a row's heading may stand behind its cells."""
        for cell in self.cells:
            names = [self.renamed[name.string] for name in cell["A"]["Headers"]]
            cell["A"]["Headers"] = pydyf.Array(map(pydyf.String, names))
        self.cells.clear()

    def _rename(self, heading: pydyf.Dictionary) -> None:
        name = f"{self.prefix}-{self.tables}-{heading['ID'].string}"
        self.renamed[heading["ID"].string] = name
        self.named[name] = heading.reference
        heading["ID"] = pydyf.String(name)

    def _list_names(self, pdf: pydyf.PDF, root: pydyf.Dictionary) -> None:
        names = sorted(self.named)
        pairs = pydyf.Array()
        for name in names:
            pairs.extend([pydyf.String(name), self.named[name]])
        limits = pydyf.Array([pydyf.String(names[0]), pydyf.String(names[-1])])
        tree = pydyf.Dictionary({"Names": pairs, "Limits": limits})
        pdf.add_object(tree)
        root["IDTree"] = tree.reference
