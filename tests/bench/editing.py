"""One length edited on the demo, through every layer, beside a plain list in the same run."""

import gc
import statistics
import time
from collections.abc import Iterator
from urllib.parse import urlencode

from django.contrib.auth.models import User
from django.core.management import call_command
from django.test import Client, override_settings

from config.web import settle
from jobs.models import Circuit
from tests.bench.clock import Figure, p95

ROUNDS = 150


def figures() -> Iterator[Figure]:
    call_command("collectstatic", verbosity=0, interactive=False)
    call_command("demo", verbosity=0)
    with override_settings(ROOT_URLCONF="tests.bench.plain_urls", ALLOWED_HOSTS=["*"]):
        settle()  # as each web process does when it starts
        edits, plain, worked = _measured()
    gc.unfreeze()
    middle = statistics.median(edits)
    name = f"edit one length, all checks, changed rows: p95 (p50 {1000 * middle:.1f} ms)"
    yield Figure(name=name, value=1000 * p95(edits), budget=20, unit="ms")
    name = f"its processor time alone: p95 (p50 {1000 * statistics.median(worked):.1f} ms)"
    yield Figure(name=name, value=1000 * p95(worked), budget=20, unit="ms")
    name = f"the same over a plain list of 50 rows (p50 {1000 * statistics.median(plain):.1f} ms)"
    yield Figure(name=name, value=middle / statistics.median(plain), budget=4, unit="x")


def _measured() -> tuple[list[float], list[float], list[float]]:
    """Edits and lists in turn, so that both meet the same machine; processor time of the edits."""
    client = Client(headers={"HX-Request": "true"})
    client.force_login(User.objects.get(username="pell"))
    row = Circuit.objects.get(job__number="KS-1051", ref="A-02")
    edits: list[float] = []
    plain: list[float] = []
    worked: list[float] = []
    for turn in range(ROUNDS + 10):
        Circuit.objects.filter(pk=row.pk).update(version=turn)
        data = {
            "device_ma": "15", "awg": "12", "insulation_c": "125", "version": turn,
            "length_mm": "30" if turn % 2 else "18",
        }  # fmt: skip
        began = time.process_time()
        took, page = _timed(
            lambda data=data: client.post(
                f"/jobs/KS-1051/circuits/{row.pk}/row/",
                urlencode(data),
                content_type="application/x-www-form-urlencoded",
                secure=True,
            )
        )
        spent = time.process_time() - began
        assert page.status_code == 200, page.content[:300]
        assert b"appeared" in page.content or b"vanished" in page.content or turn == 0
        listed, page = _timed(lambda: client.get("/bench/plain/", secure=True))
        assert page.status_code == 200 and page.content.count(b"<tr>") == 50
        if turn >= 10:
            edits.append(took)
            worked.append(spent)
            plain.append(listed)
    return edits, plain, worked


def _timed(work):
    start = time.perf_counter()
    answer = work()
    return time.perf_counter() - start, answer
