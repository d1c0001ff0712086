"""A packet of 40 pages and 24 photos beside its peers on the same HTML, in turn in one run.

Peers: one plain tagged render by WeasyPrint, and a warm Chromium printing a tagged PDF with an
outline. Ours: two warm worker processes over the section cache, then the join.
"""

import math
import multiprocessing
import os
import resource
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import connections

from tests.bench import paper
from tests.bench.clock import Figure

ROUNDS = 3
ROWS, PHOTOS = 600, 24
SIZES = (600, 1200, 2400)
LONG_ROWS, LONG_PHOTOS = 34 * 120, 400


def _work(stop: Any, peak: Any) -> None:
    """A worker: warm as after the fork in a shop, looks for documents until it is told to stop."""
    import gc

    from jobs.documents.render import warm_up
    from jobs.documents.tasks import drain_documents

    gc.unfreeze()
    connections.close_all()
    warm_up()
    while not stop.is_set():
        drain_documents()
        peak.value = max(peak.value, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
        time.sleep(0.003)


class Workers:
    """Two of them, forked; `peak_mb` is the larger one's memory so far."""

    def __enter__(self) -> "Workers":
        connections.close_all()
        context = multiprocessing.get_context("fork")
        self.stop = context.Event()
        self.peaks = [context.Value("L", 0) for _ in range(2)]
        self.processes = [
            context.Process(target=_work, args=(self.stop, peak)) for peak in self.peaks
        ]
        for process in self.processes:
            process.start()
        time.sleep(2)
        return self

    def __exit__(self, *_: object) -> None:
        self.stop.set()
        for process in self.processes:
            process.join(20)

    @property
    def peak_mb(self) -> float:
        return max(peak.value for peak in self.peaks) / 1024


def figures() -> Iterator[Figure]:
    names = paper.photos(PHOTOS)
    with Workers() as workers:
        yield from _beside_peers(names)
        yield from _growth(workers)
        yield from _long(names, workers)


def _ours(content: list[dict[str, Any]], title: str) -> tuple[bytes, float]:
    start = time.perf_counter()
    document = paper.finished(paper.asked(content, title).pk)
    return paper.file_of(document), time.perf_counter() - start


def _timed(work: Callable[[], bytes]) -> tuple[bytes, float]:
    start = time.perf_counter()
    made = work()
    return made, time.perf_counter() - start


def _beside_peers(names: list[str]) -> Iterator[Figure]:
    from playwright.sync_api import sync_playwright

    # The browser's driver runs a loop of its own, which is no reason to refuse the database.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    first = paper.asked(paper.sections(ROWS, names), "As one page")
    plain_html = paper.one_page(paper.finished(first.pk))
    found: dict[str, list[float]] = {}
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        chromium = _Chromium(playwright, Path(folder), plain_html)
        for turn in range(ROUNDS):
            plain, took = _timed(lambda: paper.plain_render(plain_html))
            found.setdefault("plain", []).append(took)
            _forget_sections()
            cold, took = _ours(paper.sections(ROWS, names), f"Cold {turn}")
            found.setdefault("cold", []).append(took)
            _, took = _ours(paper.sections(ROWS, names, edit=f"edit {turn}"), f"Edited {turn}")
            found.setdefault("edit", []).append(took)
            _, took = _ours(paper.sections(ROWS, names, edit=f"edit {turn}"), f"Same {turn}")
            found.setdefault("same", []).append(took)
            found.setdefault("chromium", []).append(_timed(chromium.render)[1])
    yield from _ratios({name: statistics.median(times) for name, times in found.items()}, cold)
    size = len(cold) / len(plain)
    yield Figure(
        name=f"its file ({len(cold) / 1e6:.1f} MB) over plain", value=size, budget=0.45, unit="x"
    )
    ours, theirs = paper.tags(cold), paper.tags(plain)
    # A renderer repeats a table's heading on every sheet; sheets differ between the two.
    wanted = ("/TD", "/Figure", "/H1")
    differ = sum(abs(ours[kind] - theirs[kind]) for kind in wanted)
    total = sum(ours[kind] for kind in wanted)
    yield Figure(name=f"tags lost or added by joining, of {total}", value=differ, budget=0)


def _ratios(middle: dict[str, float], pdf: bytes) -> Iterator[Figure]:
    base = middle["plain"]
    rows = (
        (f"packet, {paper.page_count(pdf)} pages, {PHOTOS} photos, whole", "cold", base, 0.43),
        ("after editing one section, over plain", "edit", base, 0.07),
        ("after editing one section, over warm Chromium", "edit", middle["chromium"], 0.35),
        ("unchanged, over plain", "same", base, 0.035),
    )
    for name, key, peer, budget in rows:
        name = f"{name} ({middle[key]:.2f} of {peer:.2f} s)"
        yield Figure(name=name, value=middle[key] / peer, budget=budget, unit="x")


class _Chromium:
    """A browser that is open already and prints the page anew."""

    def __init__(self, playwright: Any, folder: Path, html: str) -> None:
        path = shutil.which("chromium") or shutil.which("chromium-browser")
        browser = playwright.chromium.launch(
            executable_path=path, args=["--no-sandbox", "--disable-gpu"]
        )
        self.page = browser.new_page()
        self.file = folder / "page.html"
        self.file.write_text(html)

    def render(self) -> bytes:
        self.page.goto(self.file.as_uri())
        return bytes(self.page.pdf(format="Letter", tagged=True, outline=True))


def _forget_sections() -> None:
    shutil.rmtree(Path(settings.DOCUMENT_DIR) / "sections", ignore_errors=True)


def _growth(workers: Workers) -> Iterator[Figure]:
    times, memory = [], []
    for rows in SIZES:
        _forget_sections()  # a longer packet begins with the sheets of a shorter one
        times.append(_ours(paper.sections(rows, []), f"{rows} rows")[1])
        memory.append(workers.peak_mb)
    slope = math.log(times[-1] / times[0]) / math.log(SIZES[-1] / SIZES[0])
    name = f"exponent in rows, {SIZES[0]} to {SIZES[-1]} ({times[0]:.1f} to {times[-1]:.1f} s)"
    yield Figure(name=name, value=slope, budget=1.05)
    name = f"a worker's memory over them ({memory[0]:.0f} to {memory[-1]:.0f} MB)"
    yield Figure(name=name, value=memory[-1] / memory[0], budget=1.4, unit="x")


def _long(names: list[str], workers: Workers) -> Iterator[Figure]:
    """A very long packet ends; every photo of it is a stored one."""
    many = names + paper.photos(LONG_PHOTOS - len(names))
    pdf, took = _ours(paper.sections(LONG_ROWS, many), "Long")
    pages = paper.page_count(pdf)
    name = (
        f"pages with {LONG_PHOTOS} photos, finished in {took:.0f} s,"
        f" {len(pdf) / 1e6:.0f} MB, at most {workers.peak_mb:.0f} MB a worker"
    )
    yield Figure(name=name, value=pages, budget=300, least=True)
