"""The web server is killed while a photo arrives: nothing half is kept, and sending again works."""

import http.client
import json
import time
import uuid
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest

from tests.bay import make_pictures, stored
from tests.running import RunningShop, kill, wait_until
from tests.shop_client import Answer, Tablet
from tests.test_kill_work import UNIT_WITH_CHECKS

pytestmark = pytest.mark.slow


def connect(tablet: Tablet, method: str, path: str, length: int) -> http.client.HTTPConnection:
    """A request whose body is still to come."""
    connection = http.client.HTTPConnection("127.0.0.1", tablet.port, timeout=20)
    connection.putrequest(method, path)
    connection.putheader("Cookie", "; ".join(f"{k}={v}" for k, v in tablet.cookies.items()))
    connection.putheader("X-CSRFToken", tablet.cookies["csrf"])
    connection.putheader("Content-Type", "image/jpeg" if method == "PUT" else "application/json")
    connection.putheader("Content-Length", str(length))
    connection.endheaders()
    return connection


def send(tablet: Tablet, method: str, path: str, body: bytes) -> Answer:
    with closing(connect(tablet, method, path, len(body))) as connection:
        connection.send(body)
        response = connection.getresponse()
        return Answer(status=response.status, body=response.read().decode())


def test_a_photo_cut_off_by_a_kill_is_sent_again_and_counts_once(
    idle_shop: RunningShop, tmp_path: Path
) -> None:
    idle_shop.python(UNIT_WITH_CHECKS)
    idle_shop.start()
    tablet = Tablet(idle_shop, "ines")
    person = json.loads(tablet.ask("GET", "/sync/").body)["person"]
    photo = make_pictures(tmp_path, 1, seed=3)[0].read_bytes()
    name = sha256(photo).hexdigest()
    entry = {
        "id": str(uuid.uuid4()), "device": str(uuid.uuid4()), "number": 1, "person": person,
        "kind": "result", "at_device": int(time.time() * 1000), "job": "J-1", "unit": "U-1",
        "check": "V-0", "check_version": 1, "base_sequence": 0, "pressed": "pass",
        "photos": [name],
    }  # fmt: skip
    events = json.dumps({"events": [entry]}).encode()

    def answer() -> str:
        answers = json.loads(send(tablet, "POST", "/sync/events/", events).body)["answers"]
        return str(answers[0]["answer"])

    assert answer() == "waiting"
    cut_off = connect(tablet, "PUT", f"/sync/photos/{name}/", len(photo))
    cut_off.send(photo[: len(photo) // 2])
    uploads = idle_shop.data_dir / "uploads"
    wait_until(lambda: list(uploads.iterdir()), seconds=20, what="the photo is arriving")
    old = idle_shop.service("gunicorn")
    for process in [old, *old.children(recursive=True)]:
        kill(process)
    cut_off.close()
    wait_until(idle_shop.service_came_back("gunicorn", old), seconds=30, what="a new web server")
    wait_until(idle_shop.answers, seconds=30, what="the web server answers")
    originals = idle_shop.data_dir / "evidence"
    assert not [one for one in originals.rglob("*") if one.is_file()]
    assert answer() == "waiting"  # half a photo is no photo
    assert send(tablet, "PUT", f"/sync/photos/{name}/", photo).status == 201
    assert send(tablet, "PUT", f"/sync/photos/{name}/", photo).status == 200
    assert answer() == "accepted"
    found, broken = stored(idle_shop)
    assert [(one.id, one.photos) for one in found] == [(entry["id"], (name,))]
    assert broken == []
