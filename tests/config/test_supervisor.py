"""Keeping services up, with small real processes. The whole command is killed in test_kill.py."""

import os
import socket
import sys
import time
from pathlib import Path

import psutil
import pytest

from config.supervisor import CannotStart, Service, lock, require_free_port, services
from tests.running import is_alive, wait_until

FAILS = "raise SystemExit(3)"
STUBBORN = """
import signal, subprocess, sys, time
signal.signal(signal.SIGTERM, signal.SIG_IGN)
child = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(60)"])
print(child.pid, flush=True)
open(sys.argv[1], "w").write(str(child.pid))
time.sleep(60)
"""


def service(code: str, *words: str, patience: float = 2.0) -> Service:
    return Service("tool", [sys.executable, "-c", code, *words], os.environ, patience)


def test_service_that_fails_at_once_pauses_longer_each_time() -> None:
    said: list[str] = []
    tool = service(FAILS)
    tool.start()
    pauses = []
    for _ in range(4):
        assert tool.process is not None
        tool.process.wait(10)
        before = time.monotonic()
        tool.watch(said.append)
        pauses.append(round(max(tool.start_after - before, 0)))
        tool.start_after = 0
        tool.watch(said.append)
    tool.stop()
    assert pauses == [0, 1, 2, 4]
    assert said[2] == "tool stopped with code 3; starting it again in 2 s"


def test_service_that_was_steady_starts_again_at_once() -> None:
    said: list[str] = []
    tool = service("import time; time.sleep(60)")
    tool.start()
    tool.failures = 5
    tool.started_at -= 3600
    assert tool.process is not None
    tool.process.kill()
    tool.process.wait()
    tool.watch(said.append)
    running = tool.process
    tool.stop()
    assert running is not None
    assert tool.failures == 1
    assert said == ["tool was ended by SIGKILL; starting it again in 0 s"]


def test_stop_ends_a_service_that_does_not_listen_and_its_children(tmp_path: Path) -> None:
    note = tmp_path / "child"
    tool = service(STUBBORN, str(note), patience=0.3)
    tool.start()
    wait_until(lambda: note.exists() and note.read_text(), seconds=10, what="the child runs")
    child = psutil.Process(int(note.read_text()))
    tool.stop()
    wait_until(lambda: not is_alive(child), seconds=5, what="the child is gone")


def test_lock_refuses_a_second_holder_and_names_the_first(tmp_path: Path) -> None:
    held = lock(tmp_path)
    with pytest.raises(CannotStart, match=rf"from {tmp_path} \(process {os.getpid()}\)"):
        lock(tmp_path)
    held.close()
    lock(tmp_path).close()


def test_lock_is_not_passed_on_to_children(tmp_path: Path) -> None:
    held = lock(tmp_path)
    assert os.get_inheritable(held.fileno()) is False
    held.close()


def test_require_free_port_names_the_way_out() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        with pytest.raises(CannotStart, match=f"Port {port} is in use .* PORT=8001"):
            require_free_port("127.0.0.1", port)


def test_require_free_port_names_an_address_that_is_not_ours() -> None:
    with pytest.raises(CannotStart, match=r"cannot be opened on 192\.0\.2\.1: .* PORT and BIND"):
        require_free_port("192.0.2.1", 8000)


def test_services_leave_out_redis_when_the_broker_is_elsewhere(tmp_path: Path) -> None:
    found = services(data_dir=tmp_path, redis_socket=None, host="127.0.0.1", port=8123)
    assert [one.name for one in found] == ["worker", "clock", "web"]
    assert found[2].environment["PORT"] == "8123"


def test_services_can_all_stop_within_ten_seconds(tmp_path: Path) -> None:
    found = services(
        data_dir=tmp_path, redis_socket=tmp_path / "r" / "r.sock", host="127.0.0.1", port=8123
    )
    assert [one.name for one in found] == ["redis", "worker", "clock", "web"]
    assert sum(one.patience_seconds for one in found) < 10
