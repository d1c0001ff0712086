"""Files of the embedded services, and processes that do not outlive their parent."""

import os
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from config.embedded import LONGEST_SOCKET_PATH, local_secret, redis_socket

PROJECT = Path(__file__).resolve().parents[2]
ORPHAN = """
import os, sys, time
from config.embedded import die_with_parent
parent = os.getpid()
child = os.fork()
if not child:
    time.sleep(float(sys.argv[1]))
    die_with_parent(parent)
    time.sleep(60)
print(child, flush=True)
time.sleep(60)
"""


def test_local_secret_stays_the_same(tmp_path: Path) -> None:
    assert local_secret(tmp_path) == local_secret(tmp_path)


def test_redis_socket_lies_in_the_data_folder() -> None:
    assert redis_socket(Path("/srv/shop")) == Path("/srv/shop/redis/r.sock")


def test_redis_socket_moves_when_the_path_is_too_long_for_one() -> None:
    deep = Path("/srv") / ("x" * LONGEST_SOCKET_PATH)
    found = redis_socket(deep)
    assert len(str(found)) <= LONGEST_SOCKET_PATH
    assert found == redis_socket(deep)
    assert found != redis_socket(deep / "other")


@pytest.mark.slow
@pytest.mark.parametrize("asks_after_seconds", ["0", "1"], ids=["asks before", "asks after"])
def test_die_with_parent_ends_the_child_of_a_killed_process(asks_after_seconds: str) -> None:
    parent = subprocess.Popen(
        [sys.executable, "-c", ORPHAN, asks_after_seconds],
        cwd=PROJECT,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert parent.stdout is not None
    child = psutil.Process(int(parent.stdout.readline()))
    time.sleep(0.3)
    assert child.is_running()
    parent.kill()
    parent.communicate()
    _, alive = psutil.wait_procs([child], timeout=5)
    assert alive == []
    assert child.pid != os.getpid()
