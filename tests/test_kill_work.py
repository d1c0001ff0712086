"""Work that people were told is stored, or asked for, while web, worker and broker are killed."""

import json
import random
import shutil
import threading
import time
import uuid

import pytest

from tests.running import RunningShop, kill, wait_until
from tests.shop_client import Tablet

pytestmark = pytest.mark.slow
CHECKS = 45

UNIT_WITH_CHECKS = f"""
from django.contrib.auth.models import Group, User
from inspections.models import Check
from jobs.models import Shop, Stage
from tests.factories import make_job, make_unit
Shop.objects.create(id=1, name="Test Works")
person = User.objects.create(username="ines")
person.groups.add(Group.objects.get_or_create(name="inspector")[0])
unit = make_unit(job=make_job(number="J-1"), number="U-1")
stage = Stage.objects.create(unit=unit, code="C1", name="Checks", position=1)
for number in range({CHECKS}):
    Check.objects.create(unit=unit, stage=stage, ref=f"V-{{number}}", key=f"v{{number}}",
        position=number, title=f"Look {{number}}", area="All", kind="visual")
"""
STORED = """
import json
from inspections.evidence.verify import verify_unit
from inspections.models import Result
from jobs.models import Unit
print(json.dumps([[str(one) for one in Result.objects.values_list("client_id", flat=True)],
    verify_unit(Unit.objects.get())]))
"""
ASK_FOR_DOCUMENTS = """
from tests.papers import ask, schedule
for number in range(3):
    sections = [schedule(part, rows=100, edit=f" of {number}") for part in range(6)]
    ask(sections=sections, title=f"Document {number}")
"""
DOCUMENTS = """
import json, time
from jobs.documents.files import document_path
from jobs.models import Document
from jobs.background.files import sha256_of
end = time.monotonic() + {seconds}
while time.monotonic() < end and Document.objects.filter(state__in=["queued", "running"]).exists():
    time.sleep(0.2)
found = []
for one in Document.objects.order_by("id"):
    path = document_path(one.file_sha256)
    whole = one.state == "done" and path.exists() and sha256_of(path) == one.file_sha256
    found.append([one.state, one.error, whole])
print(json.dumps(found))
"""


class Tapper(threading.Thread):
    """Presses Pass on every check, again with the same id until the server says it is stored."""

    def __init__(self, tablet: Tablet, refs: list[str]) -> None:
        super().__init__(daemon=True)  # a failed test must not leave it pressing
        self.tablet, self.refs = tablet, refs
        self.acknowledged: list[str] = []
        self.refused: list[str] = []
        self.broken_off = 0

    def run(self) -> None:
        for ref in self.refs:
            client_id = str(uuid.uuid4())
            while not self._press(f"/jobs/J-1/units/U-1/checks/{ref}/", client_id):
                self.broken_off += 1
                time.sleep(0.1)

    def _press(self, path: str, client_id: str) -> bool:
        try:
            fields = self.tablet.hidden_fields(path)
            fields |= {"client_id": client_id, "pressed": "pass", "reason": ""}
            answer = self.tablet.ask("POST", path, fields)
        except OSError:
            return False
        if answer.status == 302:
            self.acknowledged.append(client_id)
        else:
            self.refused.append(f"{path}: {answer.status}")
        return True


def stored(shop: RunningShop) -> tuple[list[str], str | None]:
    results, broken_link = json.loads(shop.python(STORED))
    return results, broken_link


def test_no_acknowledged_result_is_lost_when_the_web_is_killed(idle_shop: RunningShop) -> None:
    idle_shop.python(UNIT_WITH_CHECKS)
    idle_shop.start()
    refs = [f"V-{number}" for number in range(CHECKS)]
    tappers = [Tapper(Tablet(idle_shop, "ines"), refs[part::3]) for part in range(3)]
    for tapper in tappers:
        tapper.start()
    kills = 0
    chance = random.Random(4)
    while any(tapper.is_alive() for tapper in tappers) and kills < 5:
        time.sleep(chance.uniform(0.3, 0.8))
        kill(idle_shop.service("gunicorn"))
        kills += 1
        wait_until(idle_shop.answers, seconds=30, what="the web server answers")
    for tapper in tappers:
        tapper.join(60)
    acknowledged = [one for tapper in tappers for one in tapper.acknowledged]
    results, broken_link = stored(idle_shop)
    assert [one for tapper in tappers for one in tapper.refused] == []
    assert len(acknowledged) == CHECKS
    assert sorted(acknowledged) == sorted(results)  # each exactly once, also when sent twice
    assert broken_link is None
    assert kills >= 2
    assert sum(tapper.broken_off for tapper in tappers) > 0  # the kills did hit somebody


def documents(shop: RunningShop, *, wait: int = 90) -> list[tuple[str, str, bool]]:
    """State, error and whether the file is whole, once all are finished or the time is up."""
    found = json.loads(shop.python(DOCUMENTS.format(seconds=wait)))
    return [(state, error, whole) for state, error, whole in found]


@pytest.mark.parametrize(
    "words", [["celery worker"], ["redis"], ["gunicorn", "celery worker", "redis"]]
)
def test_documents_are_finished_after_a_kill(idle_shop: RunningShop, words: list[str]) -> None:
    idle_shop.start()
    idle_shop.wait_for_worker()
    idle_shop.python(ASK_FOR_DOCUMENTS)
    for word in words:
        kill(idle_shop.service(word))
    assert documents(idle_shop) == [("done", "", True)] * 3


def test_documents_are_finished_after_everything_was_killed_and_redis_lost_its_folder(
    idle_shop: RunningShop,
) -> None:
    idle_shop.start()
    idle_shop.wait_for_worker()
    idle_shop.python(ASK_FOR_DOCUMENTS)
    assert idle_shop.up is not None
    kill(idle_shop.up)
    wait_until(lambda: idle_shop.processes() == [], seconds=5, what="0 orphans")
    before = documents(idle_shop, wait=0)
    assert before[-1][0] != "done", "the kill came too late"
    shutil.rmtree(idle_shop.data_dir / "redis")
    idle_shop.start()
    assert documents(idle_shop) == [("done", "", True)] * 3
