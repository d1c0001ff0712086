"""A tablet in the bay: a real Chromium with its own profile, that can be killed and come back."""

import json
import random
import re
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import psutil
from PIL import Image
from playwright.sync_api import BrowserContext, Error, Page, Playwright

from tests.running import RunningShop, kill, wait_until

CHROMIUM_ARGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
READY = "#bay-ready[data-ready='1']"
CHECK = re.compile(r"/checks/(C-\d+)/")

# The control: the same pages on a store that forgets with every page. It must lose entries.
FORGETFUL = """
const open = IDBFactory.prototype.open;
const name = `forgetful-${Math.random()}`;
IDBFactory.prototype.open = function (_, version) { return open.call(this, name, version); };
"""


@dataclass(frozen=True, kw_only=True, slots=True)
class Stored:
    """What the server has of one result."""

    id: str
    check: str
    photos: tuple[str, ...]


@dataclass(kw_only=True)
class Figures:
    """What was promised on the screen against what the server has."""

    checks: int
    acknowledged: set[str] = field(default_factory=set)
    photos_sent: int = 0
    browser_kills: int = 0
    server_kills: int = 0
    stored: Sequence[Stored] = ()
    broken: Sequence[str] = ()
    seconds: float = 0

    @property
    def lost(self) -> int:
        """Entries that the screen acknowledged and the server does not have, and checks without."""
        missing = self.acknowledged - {one.id for one in self.stored}
        return max(len(missing), self.checks - len({one.check for one in self.stored}))

    @property
    def doubled(self) -> int:
        return sum(count - 1 for count in Counter(one.check for one in self.stored).values())

    @property
    def photos_lost(self) -> int:
        return self.photos_sent - sum(len(one.photos) for one in self.stored)

    def __str__(self) -> str:
        return (
            f"{self.checks} checks, {self.photos_sent} photos, {self.browser_kills} browser kills, "
            f"{self.server_kills} server kills: {len(self.acknowledged)} acknowledged, "
            f"{len(self.stored)} stored, {self.lost} lost, {self.doubled} doubled, "
            f"{self.photos_lost} photos lost, {len(self.broken)} broken links, {self.seconds:.0f} s"
        )


class Tablet:
    def __init__(self, playwright: Playwright, folder: Path, base: str, *, forgetful: bool = False):
        self.playwright, self.folder, self.base = playwright, folder, base
        self.forgetful = forgetful
        self.context: BrowserContext | None = None

    def start(self, *, offline: bool) -> Page:
        for leftover in self.folder.glob("Singleton*"):
            leftover.unlink()
        self.context = self.playwright.chromium.launch_persistent_context(
            self.folder,
            executable_path=_chromium(),
            args=CHROMIUM_ARGS,
            base_url=self.base,
            viewport={"width": 1280, "height": 800},
        )
        if self.forgetful:
            self.context.add_init_script(FORGETFUL)
        self.context.set_offline(offline)
        return self.page

    @property
    def page(self) -> Page:
        assert self.context is not None
        return self.context.pages[0]

    def sign_in(self, session: str) -> None:
        assert self.context is not None
        cookie = {"name": "session", "value": session, "url": self.base, "expires": 4_000_000_000}
        self.context.add_cookies([cookie])

    def processes(self) -> list[psutil.Process]:
        return [one for one in psutil.process_iter() if str(self.folder) in _command(one)]

    def kill(self) -> None:
        """SIGKILL every process of this profile, as when the tablet's battery is pulled."""
        for process in self.processes():
            kill(process)
        self.close()

    def close(self) -> None:
        try:
            if self.context is not None:
                self.context.close()
        except Error:
            pass
        self.context = None


def _command(process: psutil.Process) -> str:
    try:
        return " ".join(process.cmdline())
    except psutil.Error:
        return ""


def _chromium() -> str:
    import shutil

    return str(shutil.which("chromium") or shutil.which("chromium-browser"))


def make_pictures(folder: Path, count: int, *, seed: int) -> list[Path]:
    """Photos of different content, about as large as a small camera's."""
    noise = random.Random(seed)
    found = []
    for place in range(count):
        path = folder / f"photo-{place}.jpg"
        Image.frombytes("RGB", (400, 300), noise.randbytes(360_000)).save(path, quality=90)
        found.append(path)
    return found


def seed(shop: RunningShop, **rows: int) -> dict[str, Any]:
    """Rows in the running shop: the address of its checks and a session for each person."""
    given = ", ".join(f"{name}={value}" for name, value in rows.items())
    code = (
        "import json\nfrom tests.bay_rows import seed_bay, session_of\n"
        f"rows = seed_bay({given})\n"
        "print(json.dumps({'path': rows.checks_path, "
        "'sessions': [session_of(person) for person in rows.people]}))"
    )
    return dict(json.loads(shop.python(code).splitlines()[-1]))


def stored(shop: RunningShop) -> tuple[list[Stored], list[str]]:
    """Every result that the server has, and what its own proof of the evidence says."""
    code = (
        "import json\nfrom inspections.models import Result\n"
        "from inspections.evidence.verify import verify_all\n"
        "rows = Result.objects.filter(kind='result').prefetch_related('photos__photo')\n"
        "rows = rows.select_related('check_item').order_by('sequence')\n"
        "print(json.dumps([[[str(r.client_id), r.check_item.ref, "
        "[p.photo.sha256 for p in r.photos.all()]] for r in rows], verify_all()]))"
    )
    rows, broken = json.loads(shop.python(code).splitlines()[-1])
    found = [Stored(id=one, check=ref, photos=tuple(photos)) for one, ref, photos in rows]
    return found, broken


# --- one person's hands ---


def open_check(page: Page, path: str, ref: str) -> None:
    for _ in range(3):
        try:
            if f"/{ref}/" not in page.url:
                page.goto(f"{path}{ref}/")
            page.wait_for_selector("form[data-ready]", timeout=10_000)
            return
        except Error:  # the page was just moving on by itself
            time.sleep(0.3)
    raise AssertionError(f"{ref} did not open: {page.url}")


def is_recorded(page: Page) -> bool:
    """Whether the tablet itself knows a result of the check on the screen."""
    words = page.inner_text("#check-state")
    return "Saved here" in words or "Sent" in words


def fill(page: Page, picture: Path | None) -> None:
    if page.locator("[name=value_typed]").count():
        page.fill("[name=value_typed]", "13.2")
        page.select_option("[name=instrument]", index=1)
    if picture is not None:
        have = page.locator(".chosen li").count()
        if not have:
            page.set_input_files("[name=photos]", picture)
            page.wait_for_selector(".chosen li")


def acknowledged(page: Page, ref: str, *, timeout: float = 5_000) -> str:
    """The id of the entry once the screen says that it is saved."""
    line = page.locator(f"#undo p:has-text('Recorded: {ref}') [data-saved]")
    line.wait_for(timeout=timeout)
    return str(line.get_attribute("data-saved"))


def wait_until_sent(page: Page, *, seconds: float = 60) -> None:
    page.goto("/outbox/")
    wait_until(
        lambda: "Everything on this tablet is sent" in page.inner_text("#outbox-summary"),
        seconds=seconds,
        what="everything is sent",
    )


def restart_server(shop: RunningShop) -> None:
    """SIGKILL the web server and its children; the supervisor brings it back."""
    old = shop.service("gunicorn")
    children = old.children(recursive=True)
    kill(old)
    for child in children:
        kill(child)
    wait_until(shop.service_came_back("gunicorn", old), seconds=30, what="a new web server")
    wait_until(shop.answers, seconds=30, what="the web server answers")
